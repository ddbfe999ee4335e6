// Every kept file of the fuzzers, and the files that come with the project, through the reader they were found with:
// an answer or words, in seconds. Needs no clang, so the release and the sanitized tests replay what the fuzzers found.
#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>

#include "tests/fuzz/feed.h"
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
    const auto begun = std::chrono::steady_clock::now();
    GetParam().feed(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(10));
    ++fed;
  }
  EXPECT_GT(fed, 0);
}

INSTANTIATE_TEST_SUITE_P(Kept, Corpus,
                         testing::Values(Reader{"case", feed_case}, Reader{"part", feed_part},
                                         Reader{"sheet", feed_sheet}, Reader{"readings", feed_readings},
                                         Reader{"history", feed_history}, Reader{"results", feed_results}),
                         [](const auto& one) { return one.param.name; });

}  // namespace
}  // namespace leverwright::fuzz
