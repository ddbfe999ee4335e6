// What is left on the disk however a study ends: finished, stopped, discarded, forgotten, killed, disk full.
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <stdexcept>

#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/sim/store/small_study.h"

namespace leverwright::store {
namespace {

void add_set_up(StudyWriter& writer, const std::string& name) {
  write_small_set_up(writer, writer.begin_set_up(name, "a change"), 0.003);
  writer.finish_set_up();
}

TEST(Life, TheFinalNameAppearsOnlyAtTheEnd) {
  const support::ScratchFolder folder;
  const std::string path = folder.path("new/folders/a.h5");
  StudyWriter writer(path, small_header());
  add_set_up(writer, "as found");
  EXPECT_FALSE(std::filesystem::exists(path));
  EXPECT_TRUE(std::filesystem::exists(path + ".part"));
  EXPECT_EQ(writer.part_path(), path + ".part");
  writer.finish();
  EXPECT_TRUE(std::filesystem::exists(path));
  EXPECT_FALSE(std::filesystem::exists(path + ".part"));
  EXPECT_FALSE(writer.is_open());
}

TEST(Life, StoppedKeepsWhatWasFinished) {
  const support::ScratchFolder folder;
  StudyWriter writer(folder.path("a.h5"), small_header());
  add_set_up(writer, "as found");
  const std::string open = writer.begin_set_up("heel build-up", "0.7 mm high");
  writer.write_strings(open, "warnings", {}, "none yet");
  EXPECT_TRUE(writer.stop("interrupted by the user"));
  EXPECT_EQ(folder.names().size(), 1u);
  const StudyReader reader(folder.path("a.h5"));
  EXPECT_EQ(reader.status(), "stopped");
  EXPECT_EQ(reader.reason(), "interrupted by the user");
  ASSERT_EQ(reader.set_ups().size(), 2u);
  EXPECT_EQ(reader.set_ups()[0].status, "complete");
  EXPECT_EQ(reader.set_ups()[1].status, "stopped");
  const auto problems = check_study(folder.path("a.h5"));
  EXPECT_TRUE(problems.empty()) << base::write_problems(problems);
}

TEST(Life, StoppedWithNothingWorthKeepingLeavesNoFile) {
  const support::ScratchFolder folder;
  StudyWriter writer(folder.path("a.h5"), small_header());
  writer.begin_set_up("as found", "");
  EXPECT_FALSE(writer.stop("interrupted by the user"));
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(Life, DiscardLeavesNoFileEvenWithFinishedSetUps) {
  const support::ScratchFolder folder;
  StudyWriter writer(folder.path("a.h5"), small_header());
  add_set_up(writer, "as found");
  writer.discard();
  EXPECT_EQ(folder.names().size(), 0u);
}

TEST(Life, ForgottenWriterLeavesNothingThatLooksWhole) {
  const support::ScratchFolder folder;
  try {
    StudyWriter writer(folder.path("none.h5"), small_header());
    throw std::runtime_error("something else went wrong");
  } catch (const std::runtime_error&) {
  }
  EXPECT_EQ(folder.names().size(), 0u);
  {
    StudyWriter writer(folder.path("some.h5"), small_header());
    add_set_up(writer, "as found");
  }
  ASSERT_EQ(folder.names().size(), 1u);
  EXPECT_EQ(StudyReader(folder.path("some.h5")).status(), "stopped");
}

TEST(Life, AnOlderStudyStaysUntilTheNewOneIsWhole) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  {
    StudyWriter writer(folder.path("a.h5"), small_header());
    EXPECT_EQ(StudyReader(folder.path("a.h5")).set_ups().size(), 3u);
  }
  EXPECT_EQ(StudyReader(folder.path("a.h5")).set_ups().size(), 3u);
  {
    StudyWriter writer(folder.path("a.h5"), small_header());
    add_set_up(writer, "as found");
    writer.finish();
  }
  EXPECT_EQ(StudyReader(folder.path("a.h5")).set_ups().size(), 1u);
}

TEST(Life, AFolderThatCannotBeMadeIsAUserError) {
  const support::ScratchFolder folder;
  folder.write("file", "not a folder");
  try {
    StudyWriter writer(folder.path("file/a.h5"), small_header());
    FAIL() << "accepted";
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("Not a directory"), std::string::npos) << error.what();
  }
}

TEST(Life, ProgrammerErrorsAreNotUserErrors) {
  const support::ScratchFolder folder;
  StudyWriter writer(folder.path("a.h5"), small_header());
  const Meta metres = make_meta("m", "mm", "W", "a length");
  const std::vector<double> six{1, 2, 3, 4, 5, 6};
  EXPECT_THROW(make_meta("m", "gf", "W", "a length in weights"), std::logic_error);
  EXPECT_THROW(writer.write_series("/g", "a/b", six, metres), std::logic_error);
  EXPECT_THROW(writer.write_series("g", "a", six, metres), std::logic_error);
  EXPECT_THROW(writer.write_series("/g", "a", six, 4, metres), std::logic_error);
  EXPECT_THROW(writer.write_series("/g", "a", six, 3, metres, {{"x", "y"}}), std::logic_error);
  EXPECT_THROW(writer.write_series("/g", "a", six, Meta{"m", "mm", 10, "W", "wrong factor"}),
               std::logic_error);
  EXPECT_THROW(writer.write_series("/g", "a", six, Meta{"m", "mm", 1000, "W", ""}), std::logic_error);
  EXPECT_THROW(writer.write_numbers("/g", "n", {{"row", 1, "gf", "gf"}}, "stored in gf"), std::logic_error);
  EXPECT_THROW(writer.write_table(
                   "/g", "t", {"uneven", {number_column("a", metres, {1}), number_column("b", metres, {})}}),
               std::logic_error);
  EXPECT_THROW(writer.finish_set_up(), std::logic_error);
  writer.begin_set_up("as found", "");
  EXPECT_THROW(writer.begin_set_up("another", ""), std::logic_error);
  EXPECT_THROW(writer.finish(), std::logic_error);
  writer.discard();
  EXPECT_THROW(writer.flush(), std::logic_error);
}

// Runs `work` in a process of its own, which says "ready" through a pipe; returns its process id.
template <typename Work>
pid_t start_apart(int ready[2], Work work) {
  if (pipe(ready) != 0) return -1;
  const pid_t child = fork();
  if (child == 0) {
    alarm(240);  // it may wait to be killed by a test that is gone
    work();
    _exit(0);
  }
  close(ready[1]);  // so that a child that is gone is no wait for ever
  return child;
}

TEST(Life, KilledAfterAFlushLeavesAReadablePart) {
  const support::ScratchFolder folder;
  const std::string path = folder.path("a.h5");
  int ready[2];
  const pid_t child = start_apart(ready, [&] {
    StudyWriter writer(path, small_header());
    add_set_up(writer, "as found");  // flushes
    writer.begin_set_up("heel build-up", "0.7 mm high");
    writer.flush();
    if (write(ready[1], "x", 1) != 1) _exit(1);
    for (;;) pause();
  });
  ASSERT_GT(child, 0);
  char c = 0;
  ASSERT_EQ(read(ready[0], &c, 1), 1);
  ASSERT_EQ(kill(child, SIGKILL), 0);
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  EXPECT_TRUE(WIFSIGNALED(status));
  close(ready[0]);

  EXPECT_FALSE(std::filesystem::exists(path));
  const StudyReader reader(path + ".part");
  EXPECT_EQ(reader.status(), "running");
  ASSERT_EQ(reader.set_ups().size(), 2u);
  EXPECT_EQ(reader.set_ups()[0].status, "complete");
  EXPECT_EQ(reader.set_ups()[1].status, "running");
  EXPECT_EQ(reader.read_number("/set_ups/00/numbers", "down weight").value, 0.481 + 0.003);
  const auto problems = check_study(path + ".part");
  ASSERT_EQ(problems.size(), 1u) << base::write_problems(problems);
  EXPECT_NE(problems[0].what.find("cut off while it ran"), std::string::npos);
}

// A limit on the size of files stands in for a full disk.
TEST(Life, AFullDiskIsAUserErrorAndNoCrash) {
  const support::ScratchFolder folder;
  const std::string path = folder.path("a.h5");
  int ready[2];
  const pid_t child = start_apart(ready, [&] {
    signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{200'000, 200'000};
    if (setrlimit(RLIMIT_FSIZE, &limit) != 0) _exit(3);
    int code = 4;
    try {
      StudyWriter writer(path, small_header());
      const std::vector<double> many(20'000, 0.25);
      for (int i = 0; i < 10; ++i) {
        writer.write_series("/extra", "series " + std::to_string(i), many, make_meta("m", "mm", "W", "many"));
        writer.flush();
      }
      writer.finish();
    } catch (const base::UserError& error) {
      code = std::string(error.what()).find("could not be written") != std::string::npos ? 0 : 5;
    }
    std::exit(code);  // with everything libraries do at the end of a program
  });
  ASSERT_GT(child, 0);
  int status = 0;
  ASSERT_EQ(waitpid(child, &status, 0), child);
  close(ready[0]);
  ASSERT_TRUE(WIFEXITED(status)) << "signal " << WTERMSIG(status);
  EXPECT_EQ(WEXITSTATUS(status), 0);
  EXPECT_FALSE(std::filesystem::exists(path));
  EXPECT_FALSE(std::filesystem::exists(path + ".part"));
}

}  // namespace
}  // namespace leverwright::store
