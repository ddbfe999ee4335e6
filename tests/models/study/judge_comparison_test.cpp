// A comparison before the judgement: targets, policy, classes and doubts as the case has them.
#include "models/study/judge_comparison.h"

#include <gtest/gtest.h>

#include <cmath>

#include "models/case_file/remedy.h"
#include "models/judgement/usual.h"
#include "models/remedies/read_case.h"
#include "models/study/friction_first.h"
#include "sim/base/units.h"

namespace leverwright::study {
namespace {

using base::kGramForce;

case_file::CaseDescription missed_heel() { return remedies::read_case("cases/missed_heel/case.toml"); }

// A comparison that was never solved: the weights of C1's kind, put there by hand.
Comparison by_hand(const case_file::CaseDescription& d,
                   const std::vector<std::pair<double, double>>& weights) {
  Comparison c;
  for (std::size_t s = 0; s < weights.size(); ++s) {
    SetUpResult r;
    r.name = d.set_ups[s].name;
    r.regulated_ok = r.regulated.ok = r.weighing.ok = true;
    r.regulated.let_off = 2e-3;
    r.bench.cap_edge_margin = r.bench.face_margin = 2e-3;
    r.measures.fill(NAN);
    const auto [down, up] = weights[s];
    r.measures[kDownWeight] = down * kGramForce;
    r.measures[kUpWeight] = up * kGramForce;
    r.measures[kBalanceWeight] = 0.5 * (down + up) * kGramForce;
    r.measures[kFriction] = 0.5 * (down - up) * kGramForce;
    r.measures[kDip] = 10e-3;
    r.measures[kBlow] = 46e-3;
    r.measures[kAftertouch] = 1.2e-3;
    c.set_ups.push_back(std::move(r));
  }
  Input reading;
  reading.name = "reading";
  reading.key = "x";
  c.inputs.push_back(reading);
  Measures effect{};
  effect[kDownWeight] = effect[kBalanceWeight] = 1.0 * kGramForce;
  c.effects.change.assign(weights.size(), {effect});
  return c;
}

case_file::CaseDescription with_two(const char* one, const char* other) {
  auto d = missed_heel();
  std::vector<case_file::SetUp> kept{d.set_ups.front()};
  for (const char* name : {one, other})
    for (const auto& s : d.set_ups)
      if (s.name == name) kept.push_back(s);
  d.set_ups = kept;
  return d;
}

TEST(Ask, OwnTargetsCountAndDefaultsAreRanges) {
  auto d = with_two("capstan relocated", "friction only");
  auto q = ask(d, by_hand(d, {{58, 20}, {54, 18}, {53, 24}}));
  const auto down = judged_place(q, kDownWeight);
  ASSERT_GE(down, 0);
  EXPECT_FALSE(q.measures[static_cast<std::size_t>(down)].wanted.own) << "the schema's default is no target";
  EXPECT_TRUE(judgement::find_measure(q.measures, "dip")->wanted.own) << "held by the policy";
  EXPECT_FALSE(judgement::find_measure(q.measures, "aftertouch")->wanted.own);
  EXPECT_EQ(judged_place(q, kDistanceRatio), -1) << "judged only where the user wants one";
  d.quantities["targets.down_weight"].value = 50 * kGramForce;
  d.quantities["targets.down_weight"].from_default = false;
  d.quantities["targets.up_weight"].from_default = false;
  q = ask(d, by_hand(d, {{58, 20}, {54, 18}, {53, 24}}));
  EXPECT_TRUE(judgement::find_measure(q.measures, "balance_weight")->wanted.own) << "half the sum of both";
  EXPECT_NEAR(judgement::find_measure(q.measures, "balance_weight")->wanted.high, 37.5, 1e-9);
}

TEST(Ask, MovesKnowHowTheyAreUndoneAndWhatTheyShareCancels) {
  const auto d = with_two("capstan relocated", "friction only");
  const auto q = ask(d, by_hand(d, {{58, 20}, {54, 18}, {53, 24}}));
  const auto& moves = q.notes.front().moves;
  ASSERT_EQ(moves.size(), 2u);
  EXPECT_EQ(moves[0].undone, judgement::kNotReversible);
  EXPECT_FALSE(moves[0].friction_only);
  EXPECT_EQ(moves[1].undone, judgement::kUndoneWithWork);
  EXPECT_TRUE(moves[1].friction_only);
  EXPECT_NEAR(q.notes.front().base[0].per_doubt[0], 1.0, 1e-12);
  EXPECT_NEAR(moves[0].change[0].per_doubt[0], 0.0, 1e-12) << "the same reading stands behind both";
  EXPECT_NEAR(moves[0].change[0].value, -4, 1e-9);
}

TEST(Judge, FrictionBeforeTheDrillAndEveryOutputHasTheWord) {
  const auto d = with_two("capstan relocated", "friction only");
  auto c = by_hand(d, {{58, 20}, {54, 18}, {53, 24}});
  for (auto& s : c.set_ups) s.undone = case_file::undone_class(d.set_ups[&s - c.set_ups.data()]);
  judge_comparison(d, c);
  ASSERT_EQ(c.judged.advice.size(), 1u);
  const auto& stage = c.judged.advice.front().stages.front();
  EXPECT_EQ(stage.decision, judgement::Decision::kDo);
  EXPECT_EQ(stage.move, 1);
  EXPECT_EQ(c.set_ups[2].results[kFriction].judgement, Judgement::kBetter);
  EXPECT_NE(c.set_ups[2].verdict.find("friction -4.5 gf"), std::string::npos) << c.set_ups[2].verdict;
  EXPECT_NE(c.set_ups[1].verdict.find("Held back"), std::string::npos) << c.set_ups[1].verdict;
}

// A move whose doubts nobody could work out is no sure thing: it is not recommended at all, and says why.
TEST(Judge, WhatCannotBeWeighedWithItsDoubtsIsNoMove) {
  const auto d = with_two("friction only", "heel build-up");
  auto c = by_hand(d, {{58, 20}, {53, 24}, {58, 20}});
  judge_comparison(d, c);
  ASSERT_EQ(c.judged.advice.front().stages.front().move, 0) << "otherwise it would be the one";
  c.effects.unknown = {"", "a contact jams", ""};
  judge_comparison(d, c);
  EXPECT_NE(c.judged.advice.front().stages.front().move, 0);
  EXPECT_NE(c.judged.moves[0].held_back.find("a contact jams"), std::string::npos)
      << c.judged.moves[0].held_back;
}

TEST(Judge, WhatDoesNotRegulateIsNoMove) {
  const auto d = with_two("friction only", "heel build-up");
  auto c = by_hand(d, {{58, 20}, {53, 24}, {58, 20}});
  c.set_ups[1].regulated_ok = c.set_ups[1].regulated.ok = false;
  judge_comparison(d, c);
  EXPECT_NE(c.judged.advice.front().stages.front().decision, judgement::Decision::kDo);
}

// What is set by playing weighs nothing: a move that can be undone stands, and says what to try.
TEST(Judge, ASpringThatCannotBeSetHoldsBackOnlyWhatCannotBeUndone) {
  const auto d = with_two("friction only", "capstan relocated");
  auto c = by_hand(d, {{58, 20}, {53, 24}, {50, 25}});
  for (const std::size_t s : {1, 2}) {
    c.set_ups[s].regulated_ok = false;
    c.set_ups[s].played.failures.push_back(
        {"repetition spring (rise of the hammer, m/s)", 0.2, 0.5, "bend it out"});
  }
  judge_comparison(d, c);
  const auto& stage = c.judged.advice.front().stages.front();
  EXPECT_EQ(stage.decision, judgement::Decision::kDo);
  EXPECT_EQ(stage.move, 0);
  EXPECT_NE(stage.why.find("the repetition spring may not come to its mark"), std::string::npos) << stage.why;
  EXPECT_EQ(c.judged.moves[1].held_back, "the repetition spring cannot then be set as asked");
}

TEST(FrictionFirst, IsPutTogetherFromASetUpThatMixesIt) {
  auto d = missed_heel();
  EXPECT_EQ(with_friction_first(d).set_ups.size(), d.set_ups.size()) << "the case has one of its own";
  case_file::SetUp mixed = d.set_ups.back();
  ASSERT_EQ(mixed.name, "friction only");
  const std::size_t eased = mixed.changes.size();
  d.set_ups.pop_back();
  EXPECT_EQ(with_friction_first(d).set_ups.size(), d.set_ups.size()) << "nothing to put together";
  mixed.name = "all at once";
  mixed.changes.insert(mixed.changes.begin(), d.set_ups[2].changes.front());
  d.set_ups.push_back(mixed);
  const auto with = with_friction_first(d);
  ASSERT_EQ(with.set_ups.size(), d.set_ups.size() + 1);
  EXPECT_EQ(with.set_ups.back().changes.size(), eased);
  EXPECT_TRUE(case_file::eases_friction_only(with.set_ups.back()));
}

}  // namespace
}  // namespace leverwright::study
