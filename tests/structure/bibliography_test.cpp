// models/bibliography.bib: every source cited is listed, every source listed is cited.
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <regex>
#include <set>

#include "tests/support/read_text.h"

namespace leverwright::structure {
namespace {

namespace fs = std::filesystem;
using support::read_text;

const fs::path kRoot = LEVERWRIGHT_SOURCE_DIR;

std::set<std::string> listed() {
  const std::string text = read_text(kRoot / "models/bibliography.bib");
  const std::regex entry("(^|\n)@[a-z]+\\{([A-Za-z0-9_]+),");
  std::set<std::string> out;
  for (std::sregex_iterator it(text.begin(), text.end(), entry), end; it != end; ++it)
    EXPECT_TRUE(out.insert((*it)[2]).second) << (*it)[2] << " stands there twice";
  return out;
}

// Key -> a file that cites it.
std::map<std::string, std::string> cited() {
  const std::regex mark("\\[@([A-Za-z0-9_]+)\\]");
  const std::set<std::string> endings{".h", ".cpp", ".md", ".toml", ".csv"};
  std::map<std::string, std::string> out;
  for (const char* top : {"sim", "models", "cases", "viz", "tests", "benchmarks"})
    for (const auto& file : fs::recursive_directory_iterator(kRoot / top)) {
      if (!file.is_regular_file() || endings.count(file.path().extension().string()) == 0) continue;
      const std::string text = read_text(file.path());
      for (std::sregex_iterator it(text.begin(), text.end(), mark), end; it != end; ++it)
        out.emplace((*it)[1], file.path().lexically_relative(kRoot).generic_string());
    }
  return out;
}

TEST(Bibliography, ListsEverySourceThatIsCited) {
  const auto known = listed();
  const auto used = cited();
  EXPECT_GE(used.size(), 30u) << "the test looked at the wrong place";
  for (const auto& [key, file] : used) EXPECT_EQ(known.count(key), 1u) << key << ", cited in " << file;
}

TEST(Bibliography, ListsNoSourceThatNobodyCites) {
  const auto used = cited();
  for (const std::string& key : listed()) EXPECT_EQ(used.count(key), 1u) << key;
}

}  // namespace
}  // namespace leverwright::structure
