// A few of the wild actions of wild_actions.cpp, whose counts stand in the README beside this file.
#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "tests/hardness/wild_runs.h"

namespace leverwright::hardness {
namespace {

void expect_answers_or_words(Through through, int count) {
  const auto model = remedies::read_case("cases/missed_heel/case.toml");
  int answered = 0;
  const Tally t =
      run_many(model, through, 31, 0, count, [&](int which, const std::string& kind, const Outcome& o) {
        for (const auto& text : o.broken)
          ADD_FAILURE() << "action " << which << " (" << kind << "): " << text;
        answered += o.refusal.empty() ? 1 : 0;
      });
  ::testing::Test::RecordProperty("over_their_time",
                                  t.late);  // judged by the program on a quiet machine, not here
  EXPECT_GT(answered, 0) << "nothing was tried in earnest";
}

TEST(WildActions, AreWeighedOrRefusedByName) { expect_answers_or_words(Through::kWeigh, 40); }
TEST(WildActions, ArePlayedOrRefusedByName) { expect_answers_or_words(Through::kPlay, 8); }
TEST(WildActions, AreComparedOrRefusedByName) { expect_answers_or_words(Through::kCompare, 8); }

}  // namespace
}  // namespace leverwright::hardness
