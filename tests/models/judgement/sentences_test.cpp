// The sentences that every output takes from the judgement.
#include "models/judgement/sentences.h"

#include <gtest/gtest.h>

#include "models/judgement/usual.h"

namespace leverwright::judgement {
namespace {

// Heavy by 6 gf, a lead in hand; known to `sigma`, and how far the lead helps to 1 gf.
Question heavy(double sigma) {
  Question q;
  q.measures = usual_measures();
  set_target(q.measures, "down_weight", 50);
  q.doubts = {"friction of the hammer centre; gauge it again", "sideways give of the heel cloth; "};
  q.notes.emplace_back();
  for (const Measure& m : q.measures)
    q.notes[0].base.push_back(m.key == "down_weight" ? Doubtful{56, {sigma, 0}} : Doubtful{});
  Move lead;
  lead.name = "lead moved";
  for (const Measure& m : q.measures)
    lead.change.push_back(m.key == "down_weight" ? Doubtful{-4, {0, 2.5}} : Doubtful{0, {}});
  q.notes[0].moves = {lead};
  return q;
}

std::string settle_of(const Question& q) { return judge(q).advice.front().stages.front().settle; }

TEST(Sentences, WhatIsNotWeighedIsWeighedFirst) {
  EXPECT_EQ(settle_of(heavy(3)), "down and up weight: lay them on the key before anything is done");
  EXPECT_EQ(settle_of(heavy(1.5)).find("lay them on the key"), std::string::npos) << "as sure as a scale";
}

TEST(Sentences, TheLargestDoubtComesWithWhatTheBenchDoes) {
  const std::string none = settle_of(heavy(0.1));
  EXPECT_EQ(
      none.rfind("nothing on the bench tells it but a trial note (sideways give of the heel cloth: ", 0), 0u)
      << none;
  Question q = heavy(0.1);
  std::swap(q.doubts[0], q.doubts[1]);
  EXPECT_EQ(settle_of(q).rfind("gauge it again (friction of the hammer centre: ", 0), 0u) << settle_of(q);
}

TEST(Sentences, AChangeWithinTheUsualRangeIsToldAllTheSame) {
  Question q = heavy(1);
  set_target(q.measures, "down_weight", 50);
  q.measures[0].wanted = {45, 60, false};
  EXPECT_EQ(move_words(q, judge(q).moves.front()),
            "Within the usual range all the same: down weight -4.0 gf.");
}

TEST(Sentences, OnlyWhatCannotBeUndoneIsMarked) {
  EXPECT_EQ(no_way_back_words({{"lead moved", kUndoneInMinutes}, {"new cloth", kUndoneWithWork}}), "");
  EXPECT_EQ(no_way_back_words({{"lead moved", kUndoneInMinutes}, {"capstan moved", kNotReversible}})
                .rfind("NOT REVERSIBLE: \"capstan moved\".", 0),
            0u);
  EXPECT_EQ(go_on_words("new cloth", kUndoneWithWork, false), "");
  EXPECT_NE(go_on_words("capstan moved", kNotReversible, false),
            go_on_words("capstan moved", kNotReversible, true));
}

}  // namespace
}  // namespace leverwright::judgement
