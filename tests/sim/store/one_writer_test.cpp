// One writer a file: a second run is refused before a byte of the first one's work is touched.
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>

#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/study_reader.h"
#include "tests/sim/store/small_study.h"
#include "tests/support/read_text.h"

namespace leverwright::store {
namespace {

void add_set_up(StudyWriter& writer, const std::string& name) {
  write_small_set_up(writer, writer.begin_set_up(name, "a change"), 0.003);
  writer.finish_set_up();
}

// Its message, or "".
std::string refusal(const std::string& path) {
  try {
    const StudyWriter second(path, small_header());
  } catch (const base::UserError& error) {
    return error.what();
  }
  return "";
}

TEST(OneWriter, ASecondRunLeavesTheFirstOnesFileAlone) {
  const support::ScratchFolder folder;
  const std::string path = folder.path("a.h5");
  StudyWriter first(path, small_header());
  add_set_up(first, "as found");
  const std::string before = support::read_text(first.part_path());
  EXPECT_NE(refusal(path).find("another run is writing"), std::string::npos);
  EXPECT_EQ(support::read_text(first.part_path()), before);
  add_set_up(first, "heel build-up");
  first.finish();
  EXPECT_TRUE(check_study(path).empty());
  EXPECT_EQ(StudyReader(path).set_ups().size(), 2u);
  EXPECT_EQ(refusal(path), "");  // the lock went with the run
}

TEST(OneWriter, ARunInAnotherProcessHoldsItToo) {
  const support::ScratchFolder folder;
  const std::string path = folder.path("a.h5");
  int ready[2];
  ASSERT_EQ(pipe(ready), 0);
  const pid_t child = fork();
  if (child == 0) {
    alarm(240);  // it may wait to be killed by a test that is gone
    StudyWriter first(path, small_header());
    add_set_up(first, "as found");
    const char done = 1;
    if (write(ready[1], &done, 1) != 1) _exit(1);
    for (;;) pause();
  }
  close(ready[1]);  // so that a child that is gone is no wait for ever
  char done = 0;
  ASSERT_EQ(read(ready[0], &done, 1), 1);
  EXPECT_NE(refusal(path).find("another run is writing"), std::string::npos);
  kill(child, SIGKILL);
  waitpid(child, nullptr, 0);
  // What the killed run left is no lock and is written over.
  EXPECT_TRUE(std::filesystem::exists(path + ".part"));
  {
    StudyWriter next(path, small_header());
    add_set_up(next, "as found");
    next.finish();
  }
  EXPECT_TRUE(check_study(path).empty());
  EXPECT_EQ(folder.names(), std::vector<std::string>{"a.h5"});
}

TEST(OneWriter, ALinkIsFollowedAndStays) {
  const support::ScratchFolder folder;
  std::filesystem::create_directory(folder.path("kept"));
  write_small_study(folder.path("kept/a.h5"));
  std::filesystem::create_symlink(folder.path("kept/a.h5"), folder.path("link.h5"));
  write_small_study(folder.path("link.h5"));
  EXPECT_TRUE(std::filesystem::is_symlink(folder.path("link.h5")));
  EXPECT_TRUE(check_study(folder.path("link.h5")).empty());
}

}  // namespace
}  // namespace leverwright::store
