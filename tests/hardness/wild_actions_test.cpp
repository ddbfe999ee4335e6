// A few of the wild actions of wild_actions.cpp, whose counts stand in the README beside this file.
#include <gtest/gtest.h>

#include <cmath>

#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "tests/hardness/invariants.h"
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

// Two that once were no answers, each with the values that made it.
study::PlayedTouch played_with(const std::map<std::string, double>& values, const std::string& policy) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  for (const auto& [key, value] : values) {
    d.quantities.at(key).value = value;
    d.quantities.at(key).knowledge = case_file::Knowledge::kExact;
    d.quantities.at(key).sigma = 0;
  }
  d.choices["regulation.policy"] = policy;
  study::CompareOptions options;
  options.uncertainty = false;
  options.touches = {"mf"};
  options.threads = 1;
  const auto c = study::compare(d, options);
  const auto& s = c.set_ups.front();
  for (const auto& text : broken_rules(s, s.touches.front())) ADD_FAILURE() << text;
  return s.touches.front();
}

// Its weights are read, as the slow path leaves it some cloth; a touch goes through.
TEST(WildActions, ATouchThatGoesThroughTheHeelClothIsStoppedByName) {
  const auto t = played_with({{"contact.capstan_heel.test_depth", 3.064e-3}}, "keep blow and aftertouch");
  EXPECT_FALSE(t.found.found);
  for (const auto& text : {t.found.advice, t.stroke.stopped})
    EXPECT_NE(text.find("squeezed by more than the 3.2 mm there are"), std::string::npos) << text;
  EXPECT_NE(t.stroke.stopped.find("capstan on heel cloth"), std::string::npos) << t.stroke.stopped;
  EXPECT_FALSE(std::isfinite(t.stroke.measures.check_distance));
}

TEST(WildActions, AHammerWedgedBelowItsRestIsNotChecked) {
  const auto t =
      played_with({{"measured.string_height", 243.38e-3}, {"key.check_lean", 0.36908}}, "keep dip and blow");
  EXPECT_EQ(t.stroke.stopped, "");
  EXPECT_GT(t.stroke.facts.gap_at_release, 60e-3);
  EXPECT_FALSE(std::isfinite(t.stroke.measures.check_distance));
  EXPECT_TRUE(t.stroke.has(action::Fault::kFailedCheck));
}

}  // namespace
}  // namespace leverwright::hardness
