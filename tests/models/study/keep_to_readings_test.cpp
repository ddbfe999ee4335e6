// What was read is not told as known worse than its reading.
#include "models/study/keep_to_readings.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::study {
namespace {

using base::kGramForce;

constexpr double kRead = 1.5;  // [gf] each weight was read to

case_file::CaseDescription leaned_on_weights() {
  case_file::CaseDescription d;
  for (const char* key : {"measured.down_weight", "measured.up_weight"}) {
    case_file::Quantity q;
    q.value = 50 * kGramForce;
    q.sigma = kRead * kGramForce;
    d.quantities[key] = q;
  }
  d.told.emplace_back();
  return d;
}

// Of two set-ups and three inputs: down and up weight [gf] by input, the same for both set-ups; the second gains `more`.
Effects effects_of(const std::array<double, 3>& down, const std::array<double, 3>& up,
                   const std::array<double, 3>& more) {
  Effects e;
  e.change.assign(2, std::vector<Measures>(3, Measures{}));
  for (std::size_t s = 0; s < 2; ++s)
    for (std::size_t i = 0; i < 3; ++i) {
      e.change[s][i][kDownWeight] = (down[i] + (s == 1 ? more[i] : 0)) * kGramForce;
      e.change[s][i][kUpWeight] = up[i] * kGramForce;
    }
  return e;
}

double covariance(const Effects& e, std::size_t s, MeasureIndex a, std::size_t t, MeasureIndex b) {
  double sum = 0;
  for (std::size_t i = 0; i < e.change[s].size(); ++i)
    if (std::isfinite(e.change[s][i][a]) && std::isfinite(e.change[t][i][b]))
      sum += e.change[s][i][a] * e.change[t][i][b];
  return sum / (kGramForce * kGramForce);
}

double band(const Effects& e, std::size_t s, MeasureIndex k) { return std::sqrt(covariance(e, s, k, s, k)); }

TEST(KeepToReadings, AWeightIsKnownToItsReading) {
  Effects e = effects_of({9, 3, 0}, {0.4, -0.3, 0.2}, {0, 0, 2});
  const double up = band(e, 0, kUpWeight);
  keep_to_readings(leaned_on_weights(), e);
  EXPECT_NEAR(band(e, 0, kDownWeight), kRead, 1e-9);
  EXPECT_LT(band(e, 0, kUpWeight), up);  // what goes with it is known better too
  // The second set-up keeps its own doubt, which has nothing to do with the reading.
  EXPECT_NEAR(band(e, 1, kDownWeight), std::hypot(kRead, 2), 1e-9);
}

// The same as one reading more of error R, 1/s^2 = 1/v + 1/R, taken at the base: Gauss' rule for every covariance.
TEST(KeepToReadings, IsOneReadingMoreByGaussRule) {
  const Effects before = effects_of({9, 3, 1}, {2, -1, 0.5}, {-4, 1, 2});
  case_file::CaseDescription d = leaned_on_weights();
  d.quantities.erase("measured.up_weight");
  Effects after = before;
  keep_to_readings(d, after);
  const double v = covariance(before, 0, kDownWeight, 0, kDownWeight), r = 1 / (1 / (kRead * kRead) - 1 / v);
  for (const MeasureIndex a : {kDownWeight, kUpWeight})
    for (const MeasureIndex b : {kDownWeight, kUpWeight})
      for (std::size_t s = 0; s < 2; ++s)
        for (std::size_t t = 0; t < 2; ++t)
          EXPECT_NEAR(covariance(after, s, a, t, b),
                      covariance(before, s, a, t, b) - covariance(before, s, a, 0, kDownWeight) *
                                                           covariance(before, t, b, 0, kDownWeight) / (v + r),
                      1e-9);
}

TEST(KeepToReadings, LeavesWhatIsKnownBetterAndWhatWasNotRead) {
  const Effects narrow = effects_of({1, 0.5, 0.2}, {0.4, -0.3, 0.2}, {-4, 1, 2});
  Effects e = narrow;
  keep_to_readings(leaned_on_weights(), e);
  EXPECT_EQ(e.change, narrow.change);
  const Effects wide = effects_of({9, 3, 1}, {7, -1, 0.5}, {-4, 1, 2});
  e = wide;
  keep_to_readings(case_file::CaseDescription{}, e);
  EXPECT_EQ(e.change, wide.change);
}

TEST(KeepToReadings, WhatIsNotKnownStaysUnknown) {
  Effects e = effects_of({9, 3, 1}, {7, -1, 0.5}, {-4, 1, 2});
  e.change[0][1][kDownWeight] = NAN;
  e.change[1][2][kUpWeight] = NAN;
  keep_to_readings(leaned_on_weights(), e);
  EXPECT_TRUE(std::isnan(e.change[0][1][kDownWeight]));
  EXPECT_TRUE(std::isnan(e.change[1][2][kUpWeight]));
  EXPECT_NEAR(band(e, 0, kUpWeight), kRead, 1e-9);
  EXPECT_LE(band(e, 0, kDownWeight), kRead + 1e-9);
}

}  // namespace
}  // namespace leverwright::study
