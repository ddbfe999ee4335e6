// The short run of tests/validation/experiments/prior_predictive_experiment.cpp: drawn from the shipped
// defaults alone, a regulated note's friction fills the published range and is centred in it.
#include <gtest/gtest.h>

#include <algorithm>

#include "tests/validation/experiments/prior_draws.h"

namespace leverwright::validation {
namespace {

TEST(PriorPredictive, FrictionOfATypicalNoteFillsThePublishedRange) {
  constexpr int kDraws = 120;
  const PriorNote note = typical_note();
  std::vector<double> friction, down, up;
  for (int k = 0; k < kDraws; ++k) {
    const auto m = draw_note(note, 1, static_cast<std::uint64_t>(k)).measures;
    if (!std::isfinite(m[study::kFriction])) continue;
    friction.push_back(m[study::kFriction] / base::kGramForce);
    down.push_back(m[study::kDownWeight] / base::kGramForce);
    up.push_back(m[study::kUpWeight] / base::kGramForce);
  }
  EXPECT_GE(friction.size(), 0.95 * kDraws);
  const auto at = [](std::vector<double> x, double share) {
    std::sort(x.begin(), x.end());
    return x[static_cast<std::size_t>(share * static_cast<double>(x.size() - 1))];
  };
  // Of 120 draws with a standard deviation of 2.5 gf the median is known to 0.3, the tenths to 0.4.
  EXPECT_NEAR(at(friction, 0.5), 13, 1.0);
  EXPECT_LT(at(friction, 0.05), 10.3) << "the low end is reached";
  EXPECT_GT(at(friction, 0.95), 15.7) << "and the high end";
  EXPECT_GT(at(friction, 0.05), 7.5) << "without running far beyond";
  EXPECT_LT(at(friction, 0.95), 18.5);
  EXPECT_NEAR(at(down, 0.5), 50, 2.5);
  EXPECT_NEAR(at(up, 0.5), 25, 2.5);
}

}  // namespace
}  // namespace leverwright::validation
