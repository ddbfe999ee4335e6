// Every kept file of the fuzzers through the reader it was found with, and files shaken out of these and of those that
// come with the project: an answer or words, in seconds. Needs no clang, so the release and the sanitized tests do it.
// LEVERWRIGHT_SHAKEN says how many shaken files a reader gets, LEVERWRIGHT_SHAKEN_SEED from which number they are drawn.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>

#include "tests/fuzz/feed.h"
#include "tests/fuzz/shaken_files.h"
#include "tests/support/read_text.h"

namespace leverwright::fuzz {
namespace {

struct Reader {
  std::string name;
  int (*feed)(const std::uint8_t*, std::size_t);
};

void PrintTo(const Reader& reader, std::ostream* out) { *out << reader.name; }

class Corpus : public testing::TestWithParam<Reader> {};

TEST_P(Corpus, IsAnsweredOrRefusedInWords) {
  int fed = 0;
  for (const auto& entry : std::filesystem::directory_iterator("tests/fuzz/corpus/" + GetParam().name)) {
    const std::string bytes = support::read_text(entry.path().string());
    SCOPED_TRACE(entry.path().string());
    const std::clock_t begun = std::clock();
    GetParam().feed(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    EXPECT_LT(std::clock() - begun, 10 * CLOCKS_PER_SEC);
    ++fed;
  }
  EXPECT_GT(fed, 0);
}

int number_from(const char* name, int otherwise) {
  const char* text = std::getenv(name);
  return text != nullptr && *text != '\0' ? std::atoi(text) : otherwise;
}

// What the reader is made for, with the first byte that chooses where there is one.
std::vector<std::string> given_files(const std::string& reader) {
  namespace fs = std::filesystem;
  std::vector<std::string> out;
  for (const auto& entry : fs::directory_iterator("tests/fuzz/corpus/" + reader))
    out.push_back(support::read_text(entry.path().string()));
  const auto add = [&](const std::string& folder, const std::string& ending, const std::string& first) {
    for (const auto& entry : fs::recursive_directory_iterator(folder))
      if (entry.path().extension() == ending)
        out.push_back(first + support::read_text(entry.path().string()));
  };
  if (reader == "case") add("cases", ".toml", "");
  if (reader == "part")
    for (const char slot : {'\0', '\1', '\2', '\3', '\4'}) add("models/parts", ".toml", std::string(1, slot));
  if (reader == "sheet") add("tests/old_formats", ".csv", "");
  if (reader == "readings")
    for (const char which : {'\0', '\1'}) add("cases", ".csv", std::string(1, which));
  if (reader == "history") add("cases", ".csv", "");
  if (reader == "results") add("tests/old_formats", ".h5", "");
  std::sort(out.begin(), out.end());  // whatever order the folder has
  return out;
}

TEST_P(Corpus, ShakenIsAnsweredOrRefusedInWords) {
  const auto given = given_files(GetParam().name);
  std::mt19937_64 engine(static_cast<std::uint64_t>(number_from("LEVERWRIGHT_SHAKEN_SEED", 20250314)));
  const int count = number_from("LEVERWRIGHT_SHAKEN", 150);
  double longest = 0;
  for (int k = 0; k < count; ++k) {
    const std::string bytes = shake(given, engine);
    const std::clock_t begun = std::clock();
    try {
      GetParam().feed(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    } catch (const std::exception& error) {
      ADD_FAILURE() << "file " << k << " was met with: " << error.what();
    }
    longest = std::max(longest, static_cast<double>(std::clock() - begun) / CLOCKS_PER_SEC);
  }
  std::printf("%s: %d shaken files, the longest took %.3f s\n", GetParam().name.c_str(), count, longest);
  EXPECT_LT(longest, 10);
}

INSTANTIATE_TEST_SUITE_P(Kept, Corpus,
                         testing::Values(Reader{"case", feed_case}, Reader{"part", feed_part},
                                         Reader{"sheet", feed_sheet}, Reader{"readings", feed_readings},
                                         Reader{"history", feed_history}, Reader{"results", feed_results}),
                         [](const auto& one) { return one.param.name; });

}  // namespace
}  // namespace leverwright::fuzz
