// The answer first: by default a verb prints sixty lines at most, and names what it leaves out.
#include <gtest/gtest.h>

#include <filesystem>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

constexpr std::size_t kMostLines = 60;

void expect_short(const std::vector<std::string>& words) {
  const Ended e = run(words);
  ASSERT_EQ(e.exit_code, 0) << words[0] << " " << words[1] << "\n" << e.err;
  EXPECT_LE(lines_of(e.out).size(), kMostLines) << words[0] << " " << words[1] << "\n" << e.out;
  EXPECT_TRUE(has(e.out, "With --all: ")) << words[0] << " " << words[1];
  for (const std::string& line : lines_of(e.out)) EXPECT_LE(line.size(), 118u) << line;
}

TEST(Lines, EveryCaseIsReadAndWeighedOnOneScreen) {
  std::size_t seen = 0;
  for (const auto& entry : std::filesystem::directory_iterator("cases")) {
    const std::string path = entry.path().string() + "/case.toml";
    if (!std::filesystem::exists(path)) continue;
    for (const char* verb : {"read", "weigh"}) expect_short({verb, path});
    ++seen;
  }
  EXPECT_GE(seen, 13u);
}

TEST(Lines, TheCaseWithMostSetUpsIsComparedOnOneScreen) {
  const ScratchFolder folder;
  const std::string path = "cases/every_remedy/case.toml";
  expect_short(
      {"compare", path, "--no-touches", "--no-uncertainty", "--no-pictures", "--out", folder.path()});
  expect_short({"regulate", path});
}

}  // namespace
}  // namespace leverwright::app_test
