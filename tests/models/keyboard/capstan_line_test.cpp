#include "models/keyboard/capstan_line.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace leverwright::keyboard {
namespace {

std::vector<double> noisy(unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  std::vector<double> s;
  for (int n = 1; n <= kNoteCount; ++n)
    s.push_back(62 - 0.012 * n + (is_sharp(n) ? 0.9 : 0) + 0.2 * normal(random));
  return s;
}

const std::vector<double> kAlike(kNoteCount, 1.0);

TEST(CapstanLine, FindsAStraightRowExactly) {
  std::vector<double> s;
  for (int n = 1; n <= kNoteCount; ++n) s.push_back(63.1 - 0.017 * n);
  for (const CapstanLine& line : {fit_least_squares(s, kAlike), fit_least_worst(s)}) {
    EXPECT_LT(line.worst, 1e-12);
    EXPECT_NEAR(line.sections.front().at_from, 63.1 - 0.017, 1e-12);
    EXPECT_NEAR(line.sections.front().at_to, 63.1 - 0.017 * 88, 1e-12);
  }
}

// Normal equations: the misses sum to nothing, with and without the note number, under the weights.
TEST(CapstanLine, LeastSquaresLeavesMissesAcrossTheLine) {
  const auto s = noisy(2);
  std::vector<double> w;
  for (int n = 1; n <= kNoteCount; ++n) w.push_back(1 + 0.03 * n);
  const CapstanLine line = fit_least_squares(s, w);
  double sum = 0, moment = 0;
  for (std::size_t i = 0; i < s.size(); ++i) {
    sum += w[i] * line.miss[i];
    moment += w[i] * line.miss[i] * static_cast<double>(i);
  }
  EXPECT_NEAR(sum, 0, 1e-9);
  EXPECT_NEAR(moment, 0, 1e-7);
}

// The best line in that sense touches its limits three times with changing sign (P. L. Chebyshev's
// alternation).
TEST(CapstanLine, LeastWorstMissAlternates) {
  for (const unsigned seed : {1u, 2u, 3u}) {
    const auto s = noisy(seed);
    const CapstanLine line = fit_least_worst(s);
    int touches = 0, before = 0;
    for (const double miss : line.miss) {
      if (std::abs(miss) < line.worst - 1e-9) continue;
      const int sign = miss > 0 ? 1 : -1;
      if (sign != before) ++touches;
      before = sign;
    }
    EXPECT_GE(touches, 3) << seed;
    EXPECT_LE(line.worst, fit_least_squares(s, kAlike).worst + 1e-12);
  }
}

TEST(CapstanLine, NoLineOfAFineMapIsBetter) {
  const auto s = noisy(7);
  const CapstanLine best = fit_least_worst(s);
  for (double from = 61; from <= 64; from += 0.02)
    for (double to = 60; to <= 63; to += 0.02) {
      double worst = 0;
      for (std::size_t i = 0; i < s.size(); ++i)
        worst = std::max(worst, std::abs(from + (to - from) * static_cast<double>(i) / 87 - s[i]));
      ASSERT_GE(worst, best.worst - 1e-12);
    }
}

// Naturals on one row, sharps on another d further out: nobody gets nearer than d/2.
TEST(CapstanLine, SharpsAndNaturalsShareTheirDifference) {
  std::vector<double> s;
  for (int n = 1; n <= kNoteCount; ++n) s.push_back(62 - 0.01 * n + (is_sharp(n) ? 1.2 : 0));
  EXPECT_NEAR(fit_least_worst(s).worst, 0.6, 1e-9);
  // Least squares leans to the more numerous naturals: 36 / 88 of d from them.
  double natural = 0;
  int count = 0;
  const CapstanLine line = fit_least_squares(s, kAlike);
  for (int n = 1; n <= kNoteCount; ++n)
    if (!is_sharp(n)) {
      natural += line.miss[static_cast<std::size_t>(n - 1)];
      ++count;
    }
  EXPECT_NEAR(natural / count, 1.2 * 36 / 88, 0.01);
}

TEST(CapstanLine, FindsAPlantedBreak) {
  std::vector<double> s;
  for (int n = 1; n <= kNoteCount; ++n) s.push_back(n <= 30 ? 62 + 0.02 * n : 61 - 0.01 * (n - 30));
  EXPECT_EQ(seek_break_least_squares(s, kAlike), 30);
  const CapstanLine line = fit_least_squares(s, kAlike, 30);
  ASSERT_EQ(line.sections.size(), 2u);
  EXPECT_LT(line.worst, 1e-9);
  EXPECT_EQ(line.sections[0].to, 30);
  EXPECT_EQ(line.sections[1].from, 31);
}

TEST(CapstanLine, NotesWithoutAPlaceTakeNoPart) {
  auto s = noisy(4);
  auto some = s;
  for (std::size_t i = 0; i < s.size(); ++i)
    if (i % 5 != 0) some[i] = NAN;
  const CapstanLine line = fit_least_worst(some);
  EXPECT_TRUE(std::isnan(line.miss[1]));
  EXPECT_TRUE(std::isfinite(line.place[1]));
  EXPECT_LE(line.worst, fit_least_worst(s).worst + 1e-12);
}

}  // namespace
}  // namespace leverwright::keyboard
