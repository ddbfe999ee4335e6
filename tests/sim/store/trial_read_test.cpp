// A file that breaks whoever reads it breaks a process of its own.
#include "sim/store/trial_read.h"

#include <gtest/gtest.h>
#include <sys/resource.h>

#include <csignal>
#include <cstdlib>
#include <random>

#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/checksum.h"
#include "sim/store/h5_io.h"
#include "sim/store/read_columns.h"
#include "sim/store/study_reader.h"
#include "tests/sim/store/small_study.h"
#include "tests/support/read_text.h"

namespace leverwright::store {
namespace {

TEST(Trial, TellsACrashFromAnErrorAndFromTooMuch) {
  EXPECT_EQ(try_in_child([] {}, 1), Trial::kFine);
  EXPECT_EQ(try_in_child([] { throw H5Failure("met again by the caller"); }, 1), Trial::kFine);
  EXPECT_EQ(try_in_child([] { std::raise(SIGSEGV); }, 1), Trial::kCrashed);
  EXPECT_EQ(try_in_child([] { std::abort(); }, 1), Trial::kCrashed);
  EXPECT_EQ(try_in_child([] { throw std::bad_alloc(); }, 1), Trial::kTooMuch);
  EXPECT_EQ(try_in_child([] { std::raise(SIGALRM); }, 1), Trial::kTooMuch);
  EXPECT_EQ(trial_seconds(500'000), 1u);
  EXPECT_EQ(trial_seconds(40'000'000), 5u);
}

// Found by the fuzzers: a few bytes changed, and the library runs in a circle. A second of processor time, once, however
// often the file is asked for.
TEST(Trial, AFileTheLibraryCirclesInIsRefusedInASecond) {
  rusage before{}, after{};
  getrusage(RUSAGE_CHILDREN, &before);
  for (int k = 0; k < 3; ++k) {
    const auto problems = check_study("tests/fuzz/corpus/results/circle.h5");
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_NE(problems[0].what.find("claims more than can be read"), std::string::npos) << problems[0].what;
  }
  getrusage(RUSAGE_CHILDREN, &after);
  EXPECT_LE(after.ru_utime.tv_sec - before.ru_utime.tv_sec, 2);
}

// Bytes spoiled at random, and the line of the checksum gone or written anew: never more than a refusal. The
// pictures' readers ask nothing that the trial has not asked.
TEST(Trial, DamageWithoutOrBehindAChecksumIsRefusedOrRead) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const std::string whole = support::read_text(folder.path("a.h5"));
  const std::string bytes = whole.substr(0, whole.rfind("\nleverwright crc32"));
  std::mt19937 random(20250314);
  int refused = 0;
  constexpr int kTries = 60;
  for (int k = 0; k < kTries; ++k) {
    std::string broken = bytes;
    const int count = 1 + static_cast<int>(random() % 40);
    for (int n = 0; n < count; ++n)
      broken[48 + random() % (broken.size() - 48)] = static_cast<char>(random());
    const std::string path = folder.write("b.h5", broken);
    if (k % 2 == 0) {
      ASSERT_TRUE(append_checksum(path));
    }
    if (!check_study(path).empty()) ++refused;
    try {
      read_columns(path, "/set_ups/00/statics/down");
    } catch (const base::UserError&) {
    }
  }
  EXPECT_GT(refused, kTries / 3);
}

TEST(Trial, NamesOfAStrangersFileCannotSteerTheTerminal) {
  const support::ScratchFolder folder;
  {
    StudyWriter writer(folder.path("a.h5"), small_header());
    write_small_set_up(writer, writer.begin_set_up("as\x1b[2Jfound", "\x07"), 0.003);
    writer.finish_set_up();
    writer.finish();
  }
  const StudyReader reader(folder.path("a.h5"));
  EXPECT_EQ(reader.set_ups().at(0).name, "as\\x1b[2Jfound");
  EXPECT_EQ(reader.set_ups().at(0).description, "\\x07");
}

}  // namespace
}  // namespace leverwright::store
