// What a run writes: never over what it read, never over a file made or changed by hand, never two under one
// name; and what it says when the place gives no room.
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <filesystem>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

constexpr const char* kWork = "cases/work_order/case.toml";
constexpr const char* kFilled = "cases/work_order/filled.csv";

bool is_one_sentence(const std::string& told) {
  for (const char* inside : {"H5", "errno", "terminate", "std::", "what():", "HDF5"})
    if (has(told, inside)) return false;
  return has(told, "error: ");
}

TEST(Outputs, AnInputIsNeverWrittenOver) {
  const ScratchFolder folder;
  const std::string text = read_text(kWork);
  const std::string mine = folder.write("case.toml", text),
                    sheet = folder.write("filled.csv", read_text(kFilled));
  std::filesystem::create_symlink(mine, folder.path("link"));
  for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
           {"sheet", mine, "--no-uncertainty", "--out", folder.path("o"), "--json", mine},
           {"sheet", mine, "--no-uncertainty", "--out", folder.path("o"), "--json", mine, "--force"},
           {"sheet", mine, "--no-uncertainty", "--out", folder.path("o"), "--json", folder.path("link"),
            "--force"},
           {"bands", mine, "--csv", mine, "--force"},
           {"feel", mine, "--csv", folder.path("link"), "--force"},
           {"sheet", mine, "--read", sheet, "--json", sheet, "--out", folder.path("o"), "--force"}}) {
    const auto said = run(words);
    EXPECT_EQ(said.exit_code, 1) << said.err;
    EXPECT_TRUE(has(said.err, "was read by this run")) << said.err;
    EXPECT_EQ(read_text(mine), text);
  }
  EXPECT_EQ(folder.names(), (std::vector<std::string>{"case.toml", "filled.csv", "link"}));
}

TEST(Outputs, AFileMadeByHandStaysUnlessForced) {
  const ScratchFolder folder;
  const std::string mine = folder.write("numbers.json", "mine");
  const std::vector<std::string> words = {"sheet", "--out", folder.path("o"), "--json", mine};
  const auto said = run(words);
  EXPECT_EQ(said.exit_code, 1);
  EXPECT_TRUE(has(said.err, "--force")) << said.err;
  EXPECT_EQ(read_text(mine), "mine");
  auto forced = words;
  forced.emplace_back("--force");
  EXPECT_EQ(run(forced).exit_code, 0);
  EXPECT_NE(read_text(mine), "mine");
  EXPECT_EQ(run(words).exit_code, 0) << "its own file may be written again";
}

TEST(Outputs, ASheetReadAgainKeepsACaseChangedByHand) {
  const ScratchFolder folder;
  const std::vector<std::string> words = {"sheet", kWork, "--read", kFilled, "--out", folder.path("o")};
  ASSERT_EQ(run(words).exit_code, 0);
  ASSERT_EQ(run(words).exit_code, 0) << "nothing was changed in between";
  const std::string mine = read_text(folder.path("o/case_C4.toml")) + "# two hours of work\n";
  folder.write("o/case_C4.toml", mine);
  const std::string other = read_text(folder.path("o/case_F4.toml"));
  const auto said = run(words);
  EXPECT_EQ(said.exit_code, 1);
  EXPECT_TRUE(has(said.err, "case_C4.toml")) << said.err;
  EXPECT_EQ(read_text(folder.path("o/case_C4.toml")), mine);
  EXPECT_EQ(read_text(folder.path("o/case_F4.toml")), other);
}

TEST(Outputs, NotesThatDifferGetFilesThatDiffer) {
  const ScratchFolder folder;
  const auto read_notes = [&](const std::string& notes) {
    const std::string sheet =
        folder.write("filled.csv", "line, measurement, unit, " + notes +
                                       "\n11, spread, mm, 112.7, ,\n81, down weight, gf, 53, 54, 55\n"
                                       "82, up weight, gf, 22, 23, 24\n");
    std::filesystem::remove_all(folder.path("o"));
    return run({"sheet", kWork, "--read", sheet, "--out", folder.path("o")});
  };
  const auto three = read_notes("C#4, C 4, C+4");
  ASSERT_EQ(three.exit_code, 0) << three.err;
  int cases = 0;
  for (const auto& name : folder.names()) cases += has(name, "case_") ? 1 : 0;
  EXPECT_EQ(cases, 3);
  EXPECT_TRUE(std::filesystem::exists(folder.path("o/case_Csharp4.toml")));
  const auto alike = read_notes("C4, c4, D4");
  EXPECT_EQ(alike.exit_code, 1);
  EXPECT_TRUE(has(alike.err, "two outputs of this run would have this name")) << alike.err;
}

TEST(Outputs, WordsThatMeanNothingAreRefused) {
  const ScratchFolder folder;
  const std::string json = folder.path("a.json");
  for (const auto& [words, told] : std::vector<std::pair<std::vector<std::string>, std::string>>{
           {{"sheet", "--out", ""}, "--out is given, but empty"},
           {{"feel", kCase, "--json", json, "--csv", json}, "both name"},
           {{"feel", kCase, "--json", json, "--csv", folder.path("./a.json")}, "both name"},
           {{"sheet", "--out", folder.path("o"), "--json", "/dev/null"}, "no ordinary file"},
           {{"play", kCase, "--cut-off", "nan", "--history", "x.csv"}, "no finite number"},
           {{"film", "x.h5", "--slow", "inf"}, "no finite number"}}) {
    const auto said = run(words);
    EXPECT_EQ(said.exit_code, 1);
    EXPECT_TRUE(has(said.err, told)) << told << " <- " << said.err;
  }
  EXPECT_TRUE(folder.names().empty());
}

TEST(Outputs, WhatAKilledRunLeftIsTakenAway) {
  const ScratchFolder folder;
  const pid_t gone = fork();
  if (gone == 0) _exit(0);
  waitpid(gone, nullptr, 0);  // a number no run has now
  folder.write(".sheet.part" + std::to_string(gone) + ".html", "half");
  folder.write(".sheet.part" + std::to_string(getpid()) + ".csv", "of a run that goes on");
  folder.write(".mine.part", "not one of ours");
  ASSERT_EQ(run({"sheet", "--out", folder.path()}).exit_code, 0);
  const auto names = folder.names();
  EXPECT_EQ(std::count(names.begin(), names.end(), ".sheet.part" + std::to_string(gone) + ".html"), 0);
  EXPECT_EQ(std::count(names.begin(), names.end(), ".sheet.part" + std::to_string(getpid()) + ".csv"), 1);
  EXPECT_EQ(std::count(names.begin(), names.end(), ".mine.part"), 1);
}

// A closed pipe and a full device end in one sentence and exit code 1.
TEST(Outputs, APipeNobodyReadsIsTold) {
  const auto said = run_into_a_closed_pipe({"cautions"});
  EXPECT_EQ(said.exit_code, 1) << said.signal;
  EXPECT_TRUE(is_one_sentence(said.err)) << said.err;
}

// A limit on the size of files stands in for a quota or a full disk; the older results stay whole.
TEST(Outputs, AFullDiskLeavesTheOlderResultsWhole) {
  const ScratchFolder folder;
  const std::vector<std::string> words = {"compare",       kCase,   "--no-uncertainty", "--no-touches",
                                          "--no-pictures", "--out", folder.path("o"),   "--quiet"};
  ASSERT_EQ(run(words).exit_code, 0);
  const std::string whole = read_text(folder.path("o/missed_heel.h5"));
  rlimit before{};
  getrlimit(RLIMIT_FSIZE, &before);
  for (const rlim_t most : {rlim_t{4'000}, rlim_t{60'000}, static_cast<rlim_t>(whole.size() - 20)}) {
    rlimit limit = before;
    limit.rlim_cur = most;
    signal(SIGXFSZ, SIG_IGN);
    ASSERT_EQ(setrlimit(RLIMIT_FSIZE, &limit), 0);
    const auto said = run(words);
    setrlimit(RLIMIT_FSIZE, &before);
    EXPECT_EQ(said.exit_code, 1) << said.signal << said.err;
    EXPECT_TRUE(is_one_sentence(said.err)) << said.err;
    EXPECT_TRUE(has(said.err, "could not be written")) << said.err;
    EXPECT_TRUE(read_text(folder.path("o/missed_heel.h5")) == whole);
    EXPECT_EQ(folder.names(), (std::vector<std::string>{"o", "o/missed_heel.h5"}));
  }
}

TEST(Outputs, TwoComparesIntoOneFolderAtOnceEndWithOneWholeStudy) {
  const ScratchFolder folder;
  const std::vector<std::string> words = {"compare",       kCase,   "--no-uncertainty", "--no-touches",
                                          "--no-pictures", "--out", folder.path("o"),   "--quiet"};
  Program one(words), two(words);
  const auto a = one.wait(), b = two.wait();
  EXPECT_TRUE(a.exit_code == 0 || b.exit_code == 0) << a.err << b.err;
  for (const auto& e : {a, b})
    if (e.exit_code != 0) {
      EXPECT_EQ(e.exit_code, 1);
      EXPECT_TRUE(has(e.err, "another run is writing")) << e.err;
    }
  EXPECT_EQ(run({"check", folder.path("o/missed_heel.h5")}).exit_code, 0);
  EXPECT_EQ(folder.names(), (std::vector<std::string>{"o", "o/missed_heel.h5"}));
}

TEST(Outputs, AReportDoesNotReplaceItsOwnStudy) {
  if (!LEVERWRIGHT_PICTURES) return;
  const ScratchFolder folder;
  ASSERT_EQ(run({"compare", kCase, "--no-uncertainty", "--no-touches", "--no-pictures", "--out",
                 folder.path(), "--quiet"})
                .exit_code,
            0);
  const std::string study = folder.path("missed_heel.h5"), whole = read_text(study);
  for (const std::string& out : {study, std::string(kCase)}) {
    const auto said = run({"report", study, "-o", out, "--no-film"});
    EXPECT_EQ(said.exit_code, 1) << said.err;
    EXPECT_TRUE(has(said.err, "error: ")) << said.err;
  }
  EXPECT_TRUE(read_text(study) == whole);
  // A program that is missing is told before the work.
  const auto no_gnuplot =
      run({"compare", kCase, "--out", folder.path("p")}, {{"LEVERWRIGHT_GNUPLOT", "/nowhere/gnuplot"}});
  EXPECT_EQ(no_gnuplot.exit_code, 1);
  EXPECT_TRUE(has(no_gnuplot.err, "/nowhere/gnuplot")) << no_gnuplot.err;
  EXPECT_FALSE(std::filesystem::exists(folder.path("p")));
  for (const auto& [option, value] :
       std::vector<std::pair<std::string, std::string>>{{"--size", "640x360junk"},
                                                        {"--size", "100000x100000"},
                                                        {"--size", "x"},
                                                        {"--slow", "-1"},
                                                        {"--slow", "1e300"},
                                                        {"--rate", "0"}}) {
    const auto said = run({"film", study, option, value, "--out", folder.path("a.mp4")});
    EXPECT_EQ(said.exit_code, 1) << option << value;
  }
  EXPECT_FALSE(std::filesystem::exists(folder.path("a.mp4")));
}

}  // namespace
}  // namespace leverwright::app_test
