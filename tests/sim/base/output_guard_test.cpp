// What a run may write, file by file. The guard is switched on for a whole process, so each test has one of
// its own.
#include "sim/base/output_guard.h"

#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <functional>

#include "sim/base/error.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::base {
namespace {

using support::ScratchFolder;

// Runs `steps` in a child with the guard on; its exit code, 0 when they returned true.
int in_a_run(const std::function<bool()>& steps, bool force = false) {
  const pid_t child = fork();
  if (child == 0) {
    guard_outputs(force);
    bool good = false;
    try {
      good = steps();
    } catch (...) {
    }
    _exit(good ? 0 : 1);
  }
  int status = 0;
  waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

bool allowed(const std::string& path) {
  try {
    check_output(path);
    return true;
  } catch (const UserError&) {
    return false;
  }
}

// As an output is written: under another name, then renamed.
void put(const std::string& path, const std::string& text) {
  std::ofstream(path + ".part") << text;
  note_output(path, path + ".part");
  std::filesystem::rename(path + ".part", path);
}

TEST(OutputGuard, AFileMadeByHandIsReplacedOnlyWhenForced) {
  const ScratchFolder folder;
  folder.write("numbers.csv", "mine");
  const std::string path = folder.path("numbers.csv");
  EXPECT_EQ(in_a_run([&] { return !allowed(path); }), 0);
  EXPECT_EQ(in_a_run([&] { return allowed(path); }, true), 0);
  EXPECT_EQ(in_a_run([&] { return allowed(folder.path("new.csv")); }), 0);
}

TEST(OutputGuard, TheNextRunReplacesWhatStandsAsTheLastOneLeftIt) {
  const ScratchFolder folder;
  const std::string path = folder.path("numbers.csv");
  EXPECT_EQ(in_a_run([&] { return put(path, "first"), true; }), 0);
  EXPECT_EQ(in_a_run([&] { return allowed(path) && (put(path, "second"), true); }), 0);
  EXPECT_EQ(in_a_run([&] { return allowed(path); }), 0);
  folder.write("numbers.csv", "second, with a remark by hand");
  EXPECT_EQ(in_a_run([&] { return !allowed(path); }), 0);
  folder.write("numbers.csv", "second");  // put back as it was
  EXPECT_EQ(in_a_run([&] { return allowed(path); }), 0);
}

// The list is written before the file has its name: a run killed between the two leaves the older file, which
// is still known.
TEST(OutputGuard, ARunKilledBeforeTheRenameLeavesTheOlderFileKnown) {
  const ScratchFolder folder;
  const std::string path = folder.path("numbers.csv");
  EXPECT_EQ(in_a_run([&] { return put(path, "first"), true; }), 0);
  EXPECT_EQ(in_a_run([&] {
              std::ofstream(path + ".part") << "second";
              note_output(path, path + ".part");
              return true;
            }),
            0);
  EXPECT_EQ(in_a_run([&] { return allowed(path); }), 0);
}

TEST(OutputGuard, WhatTheRunReadIsNeverReplaced) {
  const ScratchFolder folder;
  folder.write("case.toml", "title = \"mine\"");
  const std::string path = folder.path("case.toml");
  std::filesystem::create_symlink(path, folder.path("link.toml"));
  std::filesystem::create_hard_link(path, folder.path("second_name.toml"));
  for (const bool force : {false, true})
    for (const char* name : {"case.toml", "link.toml", "second_name.toml", "./case.toml"})
      EXPECT_EQ(in_a_run(
                    [&] {
                      note_input(path);
                      return !allowed(folder.path(name));
                    },
                    force),
                0)
          << name;
}

TEST(OutputGuard, TwoOutputsWithOneNameAreRefused) {
  const ScratchFolder folder;
  const std::string path = folder.path("a.csv");
  EXPECT_EQ(in_a_run(
                [&] {
                  put(path, "one");
                  return !allowed(path);
                },
                true),
            0);
}

TEST(OutputGuard, DevicesAndFoldersAreNoPlaceForAFile) {
  const ScratchFolder folder;
  EXPECT_FALSE(allowed("/dev/null"));
  EXPECT_FALSE(allowed(folder.path("")));
}

}  // namespace
}  // namespace leverwright::base
