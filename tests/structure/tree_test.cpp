// The tree as it stands: includes, top level, lengths of files, half-done work.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "tests/structure/include_rules.h"
#include "tests/support/read_text.h"

namespace leverwright::structure {
namespace {

namespace fs = std::filesystem;
using support::read_text;

const fs::path kRoot = LEVERWRIGHT_SOURCE_DIR;
constexpr long kMostLines = 800;

// Files of the project with one of these endings, as paths from the root.
std::vector<std::string> files_with(const std::set<std::string>& endings) {
  std::vector<std::string> out;
  for (const char* top : {"sim", "models", "cases", "viz", "tests", "benchmarks"})
    for (const auto& entry : fs::recursive_directory_iterator(kRoot / top))
      if (entry.is_regular_file() && endings.count(entry.path().extension().string()) > 0)
        out.push_back(entry.path().lexically_relative(kRoot).generic_string());
  std::sort(out.begin(), out.end());
  return out;
}

TEST(Tree, NoIncludeRunsBack) {
  const IncludeRules rules(read_text(kRoot / "tests/structure/may_include.txt"));
  std::size_t seen = 0;
  for (const std::string& file : files_with({".h", ".cpp"}))
    for (const Include& include : find_includes(file, read_text(kRoot / file))) {
      EXPECT_EQ(rules.judge(include), "");
      ++seen;
    }
  EXPECT_GT(seen, 200u) << "the test looked at the wrong place";
}

TEST(Tree, DevelopersPageShowsEveryListedFolder) {
  const IncludeRules rules(read_text(kRoot / "tests/structure/may_include.txt"));
  const std::string page = read_text(kRoot / "DEVELOPERS.md");
  for (const auto& [folder, unused] : rules.allowed())
    if (folder.find('/') != std::string::npos && fs::is_directory(kRoot / folder)) {
      EXPECT_NE(page.find("`" + folder + "`"), std::string::npos) << folder;
    }
}

TEST(Tree, TopLevelIsAsDesigned) {
  const std::set<std::string> designed{
      "CMakeLists.txt",    "README.md", "DEVELOPERS.md", "LICENSE", "CHANGELOG.md", "CITATION.cff",
      "CMakePresets.json", "sim",       "models",        "cases",   "viz",          "tests",
      "benchmarks"};
  std::set<std::string> found;
  for (const auto& entry : fs::directory_iterator(kRoot)) {
    const std::string name = entry.path().filename().string();
    // Dotfiles, build trees and the results of the demo are not part of the tree.
    if (name.front() == '.' || name.rfind("build", 0) == 0 || name == "out") continue;
    EXPECT_EQ(designed.count(name), 1u) << name;
    found.insert(name);
  }
  for (const std::string& name : designed) EXPECT_EQ(found.count(name), 1u) << name << " is missing";
}

TEST(Tree, NoSourceFileIsTooLong) {
  for (const std::string& file : files_with({".h", ".cpp", ".py", ".sh", ".cmake"})) {
    const std::string text = read_text(kRoot / file);
    EXPECT_LE(std::count(text.begin(), text.end(), '\n'), kMostLines) << file;
  }
}

TEST(Tree, NoHalfDoneWork) {
  // Written in two halves so that this file passes its own test.
  const std::vector<std::string> words{std::string("TO") + "DO", std::string("FIX") + "ME",
                                       std::string("GTEST_") + "SKIP", std::string("DISAB") + "LED_"};
  for (const std::string& file : files_with({".h", ".cpp", ".py", ".sh", ".cmake", ".txt", ".toml"})) {
    const std::string text = read_text(kRoot / file);
    for (const std::string& word : words)
      EXPECT_EQ(text.find(word), std::string::npos) << word << " in " << file;
  }
}

// Tests run side by side: a file of a fixed name is one file to all of them. tests/support/scratch_folder.h
// gives each its own.
TEST(Tree, OnlyTheScratchFolderMakesTemporaryFiles) {
  // Written in two halves, as above.
  const std::vector<std::string> words{std::string("Temp") + "Dir", std::string("temp_directory") + "_path",
                                       std::string("mkd") + "temp", std::string("mks") + "temp",
                                       std::string("tmp") + "nam",  std::string("\"/t") + "mp"};
  std::size_t made = 0;
  for (const std::string& file : files_with({".h", ".cpp"})) {
    // The fuzzers run one process each and name their file by it.
    if (file.rfind("tests/", 0) != 0 || file.rfind("tests/fuzz/", 0) == 0) continue;
    const std::string text = read_text(kRoot / file);
    for (const std::string& word : words) {
      if (text.find(word) == std::string::npos) continue;
      EXPECT_EQ(file, "tests/support/scratch_folder.h") << "makes temporary files itself: " << word;
      ++made;
    }
  }
  EXPECT_GE(made, 2u) << "the test looked at the wrong place";
}

// Every header says what it is for before anything else.
TEST(Tree, HeadersBeginWithANote) {
  for (const std::string& file : files_with({".h"}))
    EXPECT_EQ(read_text(kRoot / file).rfind("//", 0), 0u) << file;
}

// With more groups than ctest can hold it leaves out nothing, and every costly test runs under the sanitizers.
TEST(Tree, ListOfTestsLeftToReleaseIsOneThatCtestTakes) {
  const std::string presets = read_text(kRoot / "CMakePresets.json");
  const std::size_t at = presets.find("\"exclude\"");
  ASSERT_NE(at, std::string::npos);
  const std::string list = presets.substr(at, presets.find('}', at) - at);
  EXPECT_LE(std::count(list.begin(), list.end(), '('), 9);
}

}  // namespace
}  // namespace leverwright::structure
