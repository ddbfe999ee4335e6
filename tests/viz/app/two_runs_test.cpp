// Two runs in one place at the same moment: neither takes the other's folder, writes into the other's temporary file or
// loses what the other kept.
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <functional>

#include "sim/base/error.h"
#include "tests/viz/app/run_program.h"
#include "viz/app/output.h"
#include "viz/scene/output_file.h"
#include "viz/scene/work_folder.h"

namespace leverwright::app_test {
namespace {

namespace fs = std::filesystem;

// Each in a process of its own; how many did not return true.
int failed_of(const std::vector<std::function<bool()>>& runs) {
  std::vector<pid_t> children;
  for (const auto& run : runs) {
    const pid_t child = fork();
    if (child == 0) {
      alarm(120);
      bool good = false;
      try {
        good = run();
      } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
      }
      _exit(good ? 0 : 1);
    }
    children.push_back(child);
  }
  int failed = 0;
  for (const pid_t child : children) {
    int status = 0;
    waitpid(child, &status, 0);
    failed += WIFEXITED(status) && WEXITSTATUS(status) == 0 ? 0 : 1;
  }
  return failed;
}

TEST(TwoRuns, AFolderAnotherRunIsAtWorkInIsNotTakenAway) {
  const ScratchFolder folder;
  const std::string path = folder.path("a/b");
  {
    auto first = std::make_unique<app::OutputFolder>(path);
    const app::OutputFolder second(path);
    first.reset();
    EXPECT_TRUE(fs::is_directory(path));
  }
  fs::remove_all(folder.path("a"));
  { const app::OutputFolder alone(path); }
  EXPECT_TRUE(folder.names().empty());
}

// One leaves nothing each time and takes its folder along, the other writes: its folder is there whenever it does.
TEST(TwoRuns, OneThatLeavesNothingAndOneThatWrites) {
  const ScratchFolder folder;
  const std::string path = folder.path("a/b");
  constexpr int kTimes = 100;
  EXPECT_EQ(failed_of({[&] {
                         for (int k = 0; k < kTimes; ++k) const app::OutputFolder o(path);
                         return true;
                       },
                       [&] {
                         for (int k = 0; k < kTimes; ++k) {
                           const app::OutputFolder o(path);
                           app::write_text_file(o.file("a.txt"), "whole");
                           if (read_text(o.file("a.txt")) != "whole") return false;
                           fs::remove(o.file("a.txt"));
                         }
                         return true;
                       }}),
            0);
}

// In two containers two runs may have the same number, and so the same temporary name.
TEST(TwoRuns, ATemporaryFileInUseIsNotWrittenInto) {
  const ScratchFolder folder;
  scene::OutputFile first(folder.path("a.txt"));
  first.write("whole");
  try {
    const scene::OutputFile second(folder.path("a.txt"));
    ADD_FAILURE() << "both write " << second.part_path();
  } catch (const base::UserError& error) {
    EXPECT_TRUE(has(error.what(), "another run is writing")) << error.what();
  }
  first.keep();
  EXPECT_EQ(read_text(folder.path("a.txt")), "whole");
  EXPECT_EQ(folder.names(), std::vector<std::string>{"a.txt"});
}

// As `try --keep` adds to a case: whoever is told that it was kept finds it there at the end.
TEST(TwoRuns, WhatIsKeptInOneFileByManyIsAllThere) {
  const ScratchFolder folder;
  const std::string path = folder.write("case.toml", "");
  fs::permissions(path, fs::perms::owner_read | fs::perms::owner_write);
  constexpr int kLines = 20;
  std::vector<std::function<bool()>> runs;
  for (const std::string name : {"one", "two", "three", "four"})
    runs.emplace_back([&path, name] {
      for (int kept = 0; kept < kLines;) {
        const std::string before = read_text(path);
        try {
          app::replace_unchanged(path, before, before + name + "\n", "the line");
          ++kept;
        } catch (const base::UserError&) {  // changed in between: once more
        }
      }
      return true;
    });
  EXPECT_EQ(failed_of(runs), 0);
  EXPECT_EQ(lines_of(read_text(path)).size(), 4u * kLines);
  EXPECT_EQ(fs::status(path).permissions(), fs::perms::owner_read | fs::perms::owner_write);
  EXPECT_EQ(folder.names(), std::vector<std::string>{"case.toml"});
}

TEST(TwoRuns, AFolderOfAKilledRunIsTakenAwayAndNoOther) {
  const ScratchFolder temporary;
  const pid_t gone = fork();
  if (gone == 0) _exit(0);
  waitpid(gone, nullptr, 0);  // a number no run has now
  const std::string begin = "leverwright-work-";
  fs::create_directories(temporary.path(begin + std::to_string(gone) + "-abcdef/below"));
  fs::create_directories(temporary.path(begin + std::to_string(getppid()) + "-abcdef"));
  fs::create_directories(temporary.path(begin + "mine"));
  EXPECT_EQ(run({"try", kCase, "lead 14 g at 110 mm", "--no-uncertainty"}, {{"TMPDIR", temporary.path()}})
                .exit_code,
            0);
  EXPECT_EQ(temporary.names(),
            (std::vector<std::string>{begin + std::to_string(getppid()) + "-abcdef", begin + "mine"}));
}

// What draws the charts is in no group that Ctrl-C at a terminal is sent to.
TEST(TwoRuns, CtrlCIsNotForTheProgramThatDrawsCharts) {
  if (!LEVERWRIGHT_PICTURES) return;
  const ScratchFolder folder;
  const std::string groups = folder.path("groups"),
                    stand_in =
                        folder.write("gnuplot", "#!/bin/sh\ncut -d' ' -f5 /proc/$$/stat /proc/$PPID/stat >>" +
                                                    groups + "\nexec gnuplot \"$@\"\n");
  fs::permissions(stand_in, fs::perms::owner_all);
  const auto said = run({"feel", kCase, "--set-up", "as found", "--out", folder.path("o")},
                        {{"LEVERWRIGHT_GNUPLOT", stand_in}});
  ASSERT_EQ(said.exit_code, 0) << said.err;
  const auto found = lines_of(read_text(groups));
  ASSERT_GE(found.size(), 2u);
  for (std::size_t k = 0; k + 1 < found.size(); k += 2) EXPECT_NE(found[k], found[k + 1]);
}

}  // namespace
}  // namespace leverwright::app_test
