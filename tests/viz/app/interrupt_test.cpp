// Ctrl-C keeps what is finished. No test here depends on how fast the machine is: each waits for the
// program's own words.
#include <gtest/gtest.h>
#include <signal.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "sim/store/study_reader.h"
#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

std::vector<std::string> compare_words(const ScratchFolder& folder) {
  return {"compare",       kCase,        "--out",  folder.path("o"),
          "--no-pictures", "--progress", "--json", folder.path("a.json")};
}

TEST(Interrupt, AmidTheUncertaintiesKeepsEverySetUp) {
  const ScratchFolder folder;
  Program program(compare_words(folder));
  ASSERT_TRUE(program.wait_for_talk("uncertainty: ")) << program.err_so_far();
  kill(program.id(), SIGINT);
  const Ended e = program.wait();
  EXPECT_EQ(e.exit_code, 2) << e.err;
  EXPECT_TRUE(has(e.err, "finished set-ups are kept"));
  EXPECT_TRUE(has(e.err, folder.path("o/missed_heel.h5")));
  EXPECT_EQ(folder.names(), (std::vector<std::string>{"a.json", "o", "o/missed_heel.h5"}))
      << "no .part is left";
  const store::StudyReader in(folder.path("o/missed_heel.h5"));
  EXPECT_EQ(in.status(), "stopped");
  EXPECT_TRUE(has(in.reason(), "6 of 6")) << in.reason();
  for (const auto& s : in.set_ups()) EXPECT_EQ(s.status, "complete") << s.name;
  EXPECT_EQ(nlohmann::json::parse(read_text(folder.path("a.json")))["status"], "stopped");
  EXPECT_TRUE(has(e.out, "down weight")) << "the table of what is finished is printed";
  EXPECT_EQ(run({"check", folder.path("o/missed_heel.h5")}).exit_code, 0);
}

class Ending : public testing::TestWithParam<int> {};

TEST_P(Ending, AmidTheSetUpsKeepsThoseBefore) {
  const ScratchFolder folder;
  Program program(compare_words(folder));
  ASSERT_TRUE(program.wait_for_talk("0 of 6 set-ups done")) << program.err_so_far();
  kill(program.id(), GetParam());
  const Ended e = program.wait();
  EXPECT_EQ(e.exit_code, 2) << e.err;
  const std::string path = folder.path("o/missed_heel.h5");
  EXPECT_FALSE(std::filesystem::exists(path + ".part"));
  if (std::filesystem::exists(path)) {  // the first set-up was at work: it is finished and kept
    const store::StudyReader in(path);
    EXPECT_EQ(in.status(), "stopped");
    ASSERT_FALSE(in.set_ups().empty());
    for (const auto& s : in.set_ups()) EXPECT_EQ(s.status, "complete");
  } else {
    EXPECT_TRUE(has(e.err, "no file is left")) << e.err;
    EXPECT_TRUE(folder.names().empty());
  }
}

INSTANTIATE_TEST_SUITE_P(Interrupt, Ending, testing::Values(SIGTERM, SIGHUP), [](const auto& one) {
  return std::string(one.param == SIGTERM ? "terminated" : "terminal_closed");
});

TEST(Interrupt, TheSecondEndsAtOnce) {
  const ScratchFolder folder;
  Program program(compare_words(folder));
  ASSERT_TRUE(program.wait_for_talk("uncertainty: ")) << program.err_so_far();
  kill(program.id(), SIGINT);
  program.wait_for_talk("Once more Ctrl-C");
  kill(program.id(), SIGINT);
  const Ended e = program.wait();
  EXPECT_TRUE(e.signal == SIGINT || e.exit_code == 2)
      << e.exit_code << " " << e.signal;  // 2: it was faster than we
}

}  // namespace
}  // namespace leverwright::app_test
