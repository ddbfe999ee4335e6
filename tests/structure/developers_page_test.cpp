// The answers of DEVELOPERS.md to "where do I change ...": every file named is there, and holds what is named with it.
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <sstream>

#include "tests/support/read_text.h"

namespace leverwright::structure {
namespace {

namespace fs = std::filesystem;
using support::read_text;

const fs::path kRoot = LEVERWRIGHT_SOURCE_DIR;

// "change" -> the names in back quotes of its answer.
std::map<std::string, std::vector<std::string>> answers() {
  const std::string page = read_text(kRoot / "DEVELOPERS.md");
  const std::size_t from = page.find("## Where do I change"), to = page.find("\n## ", from + 3);
  std::map<std::string, std::vector<std::string>> out;
  std::istringstream lines(page.substr(from, to - from));
  for (std::string line; std::getline(lines, line);) {
    const std::size_t bar = line.find(" | ");
    if (line.rfind("| ", 0) != 0 || bar == std::string::npos || line.rfind("| change", 0) == 0) continue;
    auto& names = out[line.substr(2, bar - 2)];
    for (std::size_t at = line.find('`', bar); at != std::string::npos; at = line.find('`', at)) {
      const std::size_t end = line.find('`', at + 1);
      names.push_back(line.substr(at + 1, end - at - 1));
      at = end + 1;
    }
  }
  return out;
}

TEST(DevelopersPage, AnswersWhereToChange) {
  const auto found = answers();
  for (const char* change :
       {"the heel's profile", "a contact", "a measure", "a remedy", "the friction law",
        "how let-off is located", "a picture", "a verb", "an option of a verb", "an option of the model",
        "a table, and what the terminal shows by default", "the report's wording"})
    EXPECT_EQ(found.count(change), 1u) << change;
}

TEST(DevelopersPage, NamesFilesThatAreThereAndWhatTheyHold) {
  for (const auto& [change, names] : answers()) {
    std::string text;
    int files = 0;
    for (const std::string& name : names) {
      if (name.find('/') == std::string::npos) continue;
      EXPECT_TRUE(fs::exists(kRoot / name)) << change << ": " << name;
      ++files;
      if (fs::is_regular_file(kRoot / name)) {
        text += read_text(kRoot / name);
      } else if (fs::is_directory(kRoot / name)) {
        for (const auto& entry : fs::directory_iterator(kRoot / name))
          if (entry.is_regular_file()) text += read_text(entry.path());
      }
    }
    EXPECT_GE(files, 1) << change;
    for (const std::string& name : names) {
      if (name.find('/') != std::string::npos) continue;
      EXPECT_NE(text.find(name), std::string::npos) << change << ": no file named with it has " << name;
    }
  }
}

}  // namespace
}  // namespace leverwright::structure
