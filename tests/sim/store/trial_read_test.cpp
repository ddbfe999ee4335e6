// A file that breaks whoever reads it breaks a process of its own.
#include "sim/store/trial_read.h"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <random>

#include "sim/base/error.h"
#include "sim/store/check_study.h"
#include "sim/store/checksum.h"
#include "sim/store/h5_io.h"
#include "sim/store/heap_form.h"
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
  EXPECT_EQ(try_in_child([] { std::raise(SIGKILL); }, 1),
            Trial::kTooMuch);  // as a system without memory does
  EXPECT_EQ(trial_seconds(500'000), 1u);
  EXPECT_EQ(trial_seconds(40'000'000), 5u);
}

// Ctrl-C, a terminal that closes and the end of a service go to the whole group: they are no damage of the file.
TEST(Trial, WhatIsForTheProgramThatWaitsDoesNotEndTheTrial) {
  for (const int s : {SIGINT, SIGTERM, SIGHUP, SIGQUIT})
    EXPECT_EQ(try_in_child([s] { std::raise(s); }, 1), Trial::kFine) << s;
}

// Found by the fuzzers: a few bytes changed, and the library runs in a circle. A second of processor time, once, however
// often the file is asked for.
TEST(Trial, AFileTheLibraryCirclesInIsRefusedInASecond) {
  rusage before{}, after{};
  getrusage(RUSAGE_CHILDREN, &before);
  for (int k = 0; k < 3; ++k) {
    const auto problems = check_study("tests/fuzz/corpus/results/circle.h5");
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_NE(problems[0].what.find("a text reaches past the place"), std::string::npos) << problems[0].what;
  }
  getrusage(RUSAGE_CHILDREN, &after);
  EXPECT_LE(after.ru_utime.tv_sec - before.ru_utime.tv_sec, 2);
}

// The same file read in a process of its own, as a verb would; how it ended.
int read_elsewhere(const std::string& path, bool* refused) {
  const pid_t child = fork();
  if (child == 0) {
    bool told = false;
    try {
      told = !check_study(path).empty();
      read_columns(path, "/set_ups/00/statics/down");
    } catch (const base::UserError&) {
      told = true;
    }
    _exit(told ? 7 : 0);
  }
  int status = 0;
  waitpid(child, &status, 0);
  *refused = WIFEXITED(status) && WEXITSTATUS(status) != 0;
  return status;
}

// Bytes spoiled at random, and the line of the checksum gone or written anew: never more than a refusal. The
// pictures' readers ask nothing that the trial has not asked. LEVERWRIGHT_SPOILED says how many files, in a row from
// LEVERWRIGHT_SPOILED_SEED.
TEST(Trial, DamageWithoutOrBehindAChecksumIsRefusedOrRead) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  const std::string whole = support::read_text(folder.path("a.h5"));
  const std::string bytes = whole.substr(0, whole.rfind("\nleverwright crc32"));
  const auto number = [](const char* name, int otherwise) {
    const char* text = std::getenv(name);
    return text != nullptr ? std::atoi(text) : otherwise;
  };
  std::mt19937 random(static_cast<unsigned>(number("LEVERWRIGHT_SPOILED_SEED", 20250314)));
  int refused = 0, by_last_words = 0;
  const int tries = number("LEVERWRIGHT_SPOILED", 60);
  for (int k = 0; k < tries; ++k) {
    std::string broken = bytes;
    const int count = 1 + static_cast<int>(random() % 40);
    for (int n = 0; n < count; ++n)
      broken[48 + random() % (broken.size() - 48)] = static_cast<char>(random());
    const std::string path = folder.write("b.h5", broken);
    if (k % 2 == 0) {
      ASSERT_TRUE(append_checksum(path));
    }
    bool told = false;
    const int status = read_elsewhere(path, &told);
    EXPECT_TRUE(WIFEXITED(status)) << "file " << k << " ended it by signal " << WTERMSIG(status);
    if (told) ++refused;
    if (WIFEXITED(status) && WEXITSTATUS(status) == 1) ++by_last_words;
  }
  EXPECT_GT(refused, tries / 3);
  EXPECT_LE(by_last_words, tries / 10) << "the trial should find nearly all";
  std::printf("%d spoiled files, %d refused, %d of them by a breakdown's last words\n", tries, refused,
              by_last_words);
}

// A text's claimed size is not what refers to it: the library would copy past its room.
TEST(Trial, ATextThatClaimsMoreThanItsRoomIsRefusedBeforeItIsRead) {
  const support::ScratchFolder folder;
  write_small_study(folder.path("a.h5"));
  std::string bytes = support::read_text(folder.path("a.h5"));
  EXPECT_EQ(find_heap_fault(folder.path("a.h5"), true), "");
  bytes.resize(bytes.rfind("\nleverwright crc32"));
  const std::size_t heap = bytes.find("GCOL");
  ASSERT_NE(heap, std::string::npos);
  const std::string address(reinterpret_cast<const char*>(&heap), sizeof(heap));
  std::string less = bytes;  // the text's length where it is referred to: shorter than what is kept
  std::size_t at = 4;
  while (at < bytes.size() && bytes.compare(at, 8, address) != 0) at += 8;
  ASSERT_LT(at, bytes.size());
  less[at - 4] = '\0';
  EXPECT_EQ(find_heap_fault(folder.write("more.h5", less), true),
            "a text's length and the place it is kept in do not agree");
  EXPECT_EQ(find_heap_fault(folder.path("more.h5"), false), "");
  std::string past = bytes;
  past[heap + 16 + 8 + 2] = '\x7f';  // of the size of its first object: 8 MB
  EXPECT_EQ(find_heap_fault(folder.write("past.h5", past), false),
            "a text reaches past the place it is kept in");
  for (const char* name : {"more.h5", "past.h5"}) {
    const auto problems = check_study(folder.path(name));
    ASSERT_EQ(problems.size(), 1u) << name;
    EXPECT_NE(problems[0].what.find("the file is damaged (a text"), std::string::npos) << problems[0].what;
  }
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
