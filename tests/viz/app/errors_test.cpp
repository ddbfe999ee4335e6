// What a user can get wrong: exit code 1, words on standard error, nothing on standard output, no file left.
#include <gtest/gtest.h>

#include <filesystem>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

std::vector<std::string> broken_cases() {
  std::vector<std::string> names;
  for (const auto& entry :
       std::filesystem::directory_iterator(LEVERWRIGHT_SOURCE_DIR "/tests/models/case_file/broken"))
    if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
  return names;
}

class BrokenCase : public testing::TestWithParam<std::string> {};

TEST_P(BrokenCase, IsRefusedAndLeavesNoFile) {
  const ScratchFolder folder;
  folder.write("older.txt", "stays");
  const std::string path = "tests/models/case_file/broken/" + GetParam() + ".toml";
  const Ended e = run({"compare", path, "--out", folder.path("o/p"), "--json", folder.path("a.json"), "--csv",
                       folder.path("a.csv")},
                      {{"LEVERWRIGHT_MODELS", LEVERWRIGHT_TEST_MODELS}});
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_EQ(e.out, "");
  EXPECT_TRUE(has(e.err, "error: ")) << e.err;
  EXPECT_TRUE(has(e.err, GetParam() + ".toml") || has(e.err, "/test_models/")) << "names no file:\n" << e.err;
  for (const char* inside : {"terminate called", "Assertion", "what():", "std::", "Sanitizer"})
    EXPECT_FALSE(has(e.err, inside)) << e.err;
  EXPECT_EQ(folder.names(), std::vector<std::string>{"older.txt"});
}

INSTANTIATE_TEST_SUITE_P(All, BrokenCase, testing::ValuesIn(broken_cases()),
                         [](const auto& one) { return one.param; });

struct Wrong {
  std::vector<std::string> words;
  std::vector<std::string> told;
};

TEST(WrongWords, NameTheNearestThatIsKnown) {
  const std::vector<Wrong> table = {
      {{}, {"no verb is given", "compare", "leverwright --help"}},
      {{"compar", kCase}, {"unknown verb \"compar\"", "did you mean \"leverwright compare\"?"}},
      {{"--width", "100", "wiegh", kCase}, {"unknown verb \"wiegh\"", "leverwright weigh"}},
      {{"qqqqqq"}, {"unknown verb \"qqqqqq\"", "cautions"}},
      {{"weigh", kCase, "--setup", "x"}, {"unknown option \"--setup\"", "did you mean --set-up?"}},
      {{"compare", kCase, "--no-picture"}, {"unknown option \"--no-picture\"", "--no-pictures"}},
      {{"weigh", kCase, "--set-up", "capstan relocate"},
       {"no set-up \"capstan relocate\"", "\"heel build-up\"",
        "did you mean --set-up \"capstan relocated\"?"}},
      {{"regulate", kCase, "--policy", "keep dip and blw"},
       {"unknown policy", "did you mean --policy \"keep dip and blow\"?"}},
      {{"bands", kCase, "--set-up", "nothing like it"}, {"no set-up", "\"as found\""}},
      {{"compare"}, {"CASE", "leverwright compare --help"}},
      {{"read", kCase, "another.toml"}, {"another.toml", "leverwright read --help"}},
      {{"cautions", "--width", "20"}, {"--width"}},
      {{"cautions", "--colour", "red"}, {"--colour"}},
      {{"read", "no_such_file.toml"}, {"no_such_file.toml"}},
      {{"check", kCase}, {"not an HDF5 file"}},
      {{"check", "no_such_file.h5"}, {"no_such_file.h5"}},
      {{"draw", kCase, "--out", "should_not_be_made"}, {"not an HDF5 file"}},
  };
  for (const Wrong& wrong : table) {
    const Ended e = run(wrong.words);
    std::string line = "leverwright";
    for (const auto& w : wrong.words) line += " " + w;
    EXPECT_EQ(e.exit_code, 1) << line;
    EXPECT_EQ(e.out, "") << line;
    for (const auto& told : wrong.told)
      EXPECT_TRUE(has(e.err, told)) << line << "\nshould tell: " << told << "\n" << e.err;
  }
  EXPECT_FALSE(std::filesystem::exists("should_not_be_made"));
}

#ifdef __linux__  // has a device that is always full
TEST(WrongWords, AFullDiskIsTold) {
  Program program({"cautions"}, {}, "/dev/full");
  const Ended e = program.wait();
  EXPECT_EQ(e.exit_code, 1);
  EXPECT_TRUE(has(e.err, "standard output")) << e.err;
}
#endif

TEST(Help, EveryVerbShowsAnExampleThatNamesIt) {
  const Ended all = run({"--help"});
  EXPECT_EQ(all.exit_code, 0);
  EXPECT_TRUE(has(all.out, "Exit codes"));
  for (const char* verb :
       {"compare", "weigh", "regulate", "play", "read", "draw", "check", "bands", "cautions"}) {
    EXPECT_TRUE(has(all.out, verb));
    const Ended e = run({verb, "--help"});
    EXPECT_EQ(e.exit_code, 0);
    EXPECT_TRUE(has(e.out, "\nExample")) << e.out;
    EXPECT_TRUE(has(e.out, std::string("\n  leverwright ") + verb)) << e.out;
    EXPECT_EQ(e.err, "");
  }
}

TEST(Help, VersionIsThatOfTheProject) {
  const Ended e = run({"--version"});
  EXPECT_EQ(e.exit_code, 0);
  const std::string lists = read_text("CMakeLists.txt");
  const auto at = lists.find("VERSION ", lists.find("project(")) + 8;
  EXPECT_EQ(e.out, "leverwright " + lists.substr(at, lists.find(' ', at) - at) + "\n");
}

}  // namespace
}  // namespace leverwright::app_test
