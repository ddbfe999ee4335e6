// Against printed tables (M. Abramowitz, I. Stegun, Handbook of Mathematical Functions,
// tables 26.1, 26.8, 26.10) and against one another.
#include "sim/base/statistics.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::base {
namespace {

TEST(Statistics, QuantilesAsPrinted) {
  EXPECT_NEAR(find_normal_quantile(0.975), 1.95996, 1e-5);
  EXPECT_NEAR(find_normal_quantile(0.1), -1.28155, 1e-5);
  EXPECT_NEAR(find_student_quantile(1, 0.975), 12.706, 1e-3);
  EXPECT_NEAR(find_student_quantile(7, 0.95), 1.895, 1e-3);
  EXPECT_NEAR(find_chi_squared_chance(3, 7.81473), 0.05, 1e-6);
  EXPECT_NEAR(find_chi_squared_chance(10, 18.3070), 0.05, 1e-6);
}

TEST(Statistics, StudentBecomesNormal) {
  EXPECT_NEAR(find_student_quantile(1e7, 0.9), find_normal_quantile(0.9), 1e-6);
}

TEST(Statistics, PowerIsTheLevelWithoutAShiftAndGrowsWithIt) {
  for (const double freedom : {2.0, 5.0, 30.0}) {
    const double critical = find_student_quantile(freedom, 0.975);
    double before = find_power_of_t(freedom, 1e-9, critical);
    EXPECT_NEAR(before, 0.05, 1e-6);
    for (const double shift : {0.7, 1.9, 3.3, 6.1}) {
      const double power = find_power_of_t(freedom, shift, critical);
      EXPECT_GT(power, before);
      before = power;
    }
  }
  // With many degrees of freedom: the normal's.
  EXPECT_NEAR(find_power_of_t(1e6, 2.8, 1.95996), 0.8, 1e-3);
}

TEST(Statistics, LegendreIsOrthogonalAndOneAtOne) {
  EXPECT_NEAR(find_legendre(2, 0.3), 0.5 * (3 * 0.09 - 1), 1e-12);
  for (int n = 0; n < 4; ++n) EXPECT_NEAR(find_legendre(n, 1), 1, 1e-12);
  double sum = 0;
  constexpr int kSteps = 2000;
  for (int k = 0; k < kSteps; ++k) {
    const double t = -1 + 2 * (k + 0.5) / kSteps;
    sum += find_legendre(1, t) * find_legendre(3, t) * 2 / kSteps;
  }
  EXPECT_NEAR(sum, 0, 1e-5);
}

}  // namespace
}  // namespace leverwright::base
