// The judgement against situations.txt, and what holds of it in general.
#include "models/judgement/judge.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "models/judgement/draws.h"
#include "models/judgement/sentences.h"
#include "models/judgement/usual.h"
#include "tests/models/judgement/situations.h"

namespace leverwright::judgement {
namespace {

using judgement_test::answer_of;
using judgement_test::read_situations;
using judgement_test::Situation;

const std::vector<Situation>& situations() {
  static const auto all = read_situations("tests/models/judgement/situations.txt");
  return all;
}

const Situation& situation(const std::string& name) {
  for (const auto& s : situations())
    if (s.name == name) return s;
  throw std::runtime_error(name);
}

std::string spoken(const Question& q, const Verdict& v) {
  std::string out;
  for (const auto& [label, text] : answer_lines(q, v)) out += label + ": " + text + "\n";
  for (const auto& j : v.moves)
    out += "  " + j.name + ": " + move_words(q, j) + " gain " + std::to_string(j.gain) + "\n";
  return out;
}

TEST(Situations, AreAnsweredAsARebuilderDoes) {
  EXPECT_GE(situations().size(), 40u);
  for (const auto& s : situations()) {
    SCOPED_TRACE(s.name + " (" + s.why + ")");
    const Verdict v = judge(s.question);
    ASSERT_EQ(v.advice.size(), s.answers.size());
    for (const Advice& a : v.advice) {
      ASSERT_EQ(s.answers.count(a.who), 1u) << a.who;
      EXPECT_EQ(answer_of(s.question, a), s.answers.at(a.who)) << spoken(s.question, v);
    }
    if (!s.worst.empty()) {
      bool named = false;
      for (const Advice& a : v.advice) named = named || a.worst_note == s.worst || s.answers.size() > 1;
      EXPECT_TRUE(named) << spoken(s.question, v);
    }
  }
}

TEST(Situations, HaveTheirWords) {
  int count = 0;
  for (const auto& s : situations())
    for (const auto& w : s.words) {
      const Verdict v = judge(s.question);
      bool found = false;
      for (const JudgedMove& j : v.moves)
        for (std::size_t k = 0; k < s.question.measures.size(); ++k)
          if (j.name == w.move && s.question.measures[k].name == w.measure) {
            found = true;
            const Said& said = j.notes.front()[k];
            EXPECT_STREQ(words_of(said.word), w.word.c_str())
                << s.name << ": " << w.measure << ", nearer " << said.nearer << ", " << said.low << " to "
                << said.high;
          }
      EXPECT_TRUE(found) << s.name << ": " << w.move << ", " << w.measure;
      ++count;
    }
  EXPECT_GT(count, 20);
}

// What must hold of every answer, whoever wrote the table.
TEST(Situations, NeverAnIrreversibleMoveThatBreaksTheRule) {
  for (const auto& s : situations()) {
    const Verdict v = judge(s.question);
    for (const Advice& a : v.advice)
      for (const Stage& stage : a.stages) {
        if (stage.decision != Decision::kDo) continue;
        const Move& m = s.question.notes.front().moves[static_cast<std::size_t>(stage.move)];
        EXPECT_TRUE(m.fails.empty() && m.over_limit.empty());
        if (m.undone < kNotReversible) continue;
        EXPECT_GE(stage.noticeably_better, kProbably) << s.name;
        bool own = false;
        for (const Measure& measure : s.question.measures) own = own || measure.wanted.own;
        EXPECT_TRUE(own) << s.name;
        std::string all;
        for (const auto& [label, text] : answer_lines(s.question, v)) all += text;
        EXPECT_NE(all.find("NOT REVERSIBLE"), std::string::npos) << s.name;
      }
  }
}

TEST(Situations, AreSaidInFiveLines) {
  for (const auto& s : situations()) {
    const Verdict v = judge(s.question);
    EXPECT_LE(answer_lines(s.question, v).size(), 5 * v.advice.size()) << s.name;
    for (const auto& [label, text] : answer_lines(s.question, v)) {
      EXPECT_EQ(text.find("nan"), std::string::npos) << text;
      EXPECT_EQ(text.find("inf"), std::string::npos) << text;
      EXPECT_EQ(text.find(".."), std::string::npos) << text;
      EXPECT_EQ(text.back(), '.') << text;
    }
  }
}

// The order in which moves are listed changes nothing.
TEST(Judge, DoesNotDependOnTheOrderOfTheMoves) {
  for (const auto& s : situations()) {
    Question turned = s.question;
    for (Note& note : turned.notes) std::reverse(note.moves.begin(), note.moves.end());
    const Verdict one = judge(s.question), other = judge(turned);
    ASSERT_EQ(one.advice.size(), other.advice.size());
    for (std::size_t i = 0; i < one.advice.size(); ++i)
      EXPECT_EQ(answer_of(s.question, one.advice[i]), answer_of(turned, other.advice[i])) << s.name;
  }
}

// Odds in closed form: base exact, change normal, one target: nearer when the change lies between zero and
// twice the distance, so Phi((2 d - c)/s) - Phi(-c/s) with c the change towards the target.
TEST(Judge, OddsAgreeWithTheClosedForm) {
  const auto phi = [](double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); };
  Question q;
  q.measures = {{"down_weight", "down weight", "gf", 1, 2, {50, 50, true}}};
  q.doubts = {"a", "b"};
  q.notes.emplace_back();
  q.notes[0].base = {{53.0, {}}};
  for (const double change : {-1.0, -3.0, -5.5, 2.0})
    for (const double sigma : {0.7, 2.0, 4.0}) {
      Move m;
      m.name = "x";
      m.change = {{change, {0.6 * sigma, 0.8 * sigma}}};
      q.notes[0].moves = {m};
      const double exact = phi((6 + change) / sigma) - phi(change / sigma);
      EXPECT_NEAR(judge(q).moves[0].notes[0][0].nearer, exact, 0.02) << change << " +- " << sigma;
    }
}

TEST(Judge, DrawsAreStandardNormalAndApart) {
  const Draws draws(3);
  const auto x = draws.of({1, {2, 0, 0}}), y = draws.of({0, {0, 0, 1}});
  double mean = 0, square = 0, mixed = 0;
  for (std::size_t n = 0; n < x.size(); ++n) {
    mean += x[n] / Draws::kCount;
    square += (x[n] - 1) * (x[n] - 1) / Draws::kCount;
    mixed += (x[n] - 1) * y[n] / Draws::kCount;
  }
  EXPECT_NEAR(mean, 1, 1e-12) << "mirrored";
  EXPECT_NEAR(square, 4, 0.25);
  EXPECT_NEAR(mixed, 0, 0.1);
}

TEST(Judge, WithoutUncertaintiesSaysNothing) {
  Question q = situation("heavy, lead in hand").question;
  q.with_odds = false;
  const Verdict v = judge(q);
  EXPECT_TRUE(v.advice.empty());
  for (const auto& said : v.moves.front().notes.front()) EXPECT_EQ(said.word, Word::kNone);
}

// What both set-ups have in common cancels: the odds of the choice rest on the difference.
TEST(Judge, CommonDoubtCancelsBetweenMoves) {
  Question q = situation("drilling clearly better than the strip").question;
  const std::size_t common = q.doubts.size();
  q.doubts.emplace_back("common to both");
  for (Move& m : q.notes[0].moves)
    for (std::size_t k = 0; k < 3; ++k) {
      m.change[k].per_doubt.resize(common + 1, 0.0);
      m.change[k].per_doubt[common] = 1.0;
    }
  EXPECT_EQ(answer_of(q, judge(q).advice[0]), "do capstan moved");
}

TEST(Targets, AreDerivedFromThoseGiven) {
  auto m = usual_measures();
  set_target(m, "down_weight", 52);
  set_target(m, "up_weight", 28);
  derive_targets(m);
  EXPECT_EQ(find_measure(m, "balance_weight")->wanted.high, 40);
  EXPECT_EQ(find_measure(m, "friction")->wanted.high, 12);
  EXPECT_TRUE(find_measure(m, "friction")->wanted.own);
  EXPECT_LT(find_measure(m, "friction")->wanted.low, -1e9) << "less friction is never wrong";
  m = usual_measures();
  set_target(m, "balance_weight", 38);
  set_target(m, "friction", 11);
  derive_targets(m);
  EXPECT_EQ(find_measure(m, "down_weight")->wanted.high, 49);
  EXPECT_EQ(find_measure(m, "up_weight")->wanted.high, 27);
  m = usual_measures();
  set_target(m, "down_weight", 52);
  derive_targets(m);
  EXPECT_FALSE(find_measure(m, "balance_weight")->wanted.own) << "one of the two says nothing of the other";
}

}  // namespace
}  // namespace leverwright::judgement
