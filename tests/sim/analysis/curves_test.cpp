#include "sim/analysis/curves.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::analysis {
namespace {

// A smooth bump with uneven samples; its top lies between two of them.
Curve bump(double spacing) {
  Curve c;
  double x = 0.3;
  for (int k = 0; x < 9; ++k) {
    c.x.push_back(x);
    c.y.push_back(2.0 + std::sin(0.7 * x) * std::exp(-0.05 * x));
    x += spacing * (1 + 0.3 * std::sin(1.3 * k));
  }
  return c;
}

// Derivative zero: tan(0.7 x) = 14.
const double kTop = std::atan(14.0) / 0.7;

TEST(Curves, MaximumIsFoundBetweenSamples) {
  double error[2];
  for (int k = 0; k < 2; ++k) {
    const Extreme e = find_maximum(bump(k ? 0.1 : 0.2), 0.5, 5);
    EXPECT_FALSE(e.at_end);
    EXPECT_NEAR(e.x, kTop, k ? 2e-3 : 1e-2);
    error[k] = std::abs(e.y - (2.0 + std::sin(0.7 * kTop) * std::exp(-0.05 * kTop)));
  }
  EXPECT_LT(error[1], 2e-5);
  EXPECT_LT(error[1], error[0]);
}

TEST(Curves, MinimumIsTheMaximumOfTheNegative) {
  Curve c = bump(0.15);
  const Extreme top = find_maximum(c, 0.5, 5);
  for (double& y : c.y) y = -y;
  const Extreme low = find_minimum(c, 0.5, 5);
  EXPECT_NEAR(low.x, top.x, 1e-14);
  EXPECT_NEAR(low.y, -top.y, 1e-14);
}

TEST(Curves, ExtremeOfAFallingWindowLiesAtItsEnd) {
  const Curve c = bump(0.1);
  const Extreme e = find_maximum(c, c.x[40], c.x[60]);
  EXPECT_TRUE(e.at_end);
  EXPECT_EQ(e.y, c.y[40]);
  const Extreme between = find_maximum(c, c.x[40] + 0.01, c.x[40] + 0.02);  // no sample inside
  EXPECT_TRUE(between.at_end);
  EXPECT_NEAR(between.y, interpolate(c, c.x[40] + 0.01), 1e-14);
}

TEST(Curves, ParabolaIsFoundExactly) {
  Curve c;
  for (const double x : {0.1, 0.4, 1.1, 1.9, 2.2}) {
    c.x.push_back(x);
    c.y.push_back(3 - 2 * (x - 1.37) * (x - 1.37));
  }
  const Extreme e = find_maximum(c, 0, 3);
  EXPECT_NEAR(e.x, 1.37, 1e-12);
  EXPECT_NEAR(e.y, 3, 1e-12);
}

TEST(Curves, MeansAndIntegralsOfStraightLines) {
  const Curve c{{0.2, 0.9, 2.3, 3.1}, {1.1, 2.5, -0.3, 0.5}};
  EXPECT_NEAR(interpolate(c, 1.6), 2.5 - 2.8 * 0.5, 1e-14);
  EXPECT_EQ(interpolate(c, 0.0), 1.1);
  EXPECT_EQ(interpolate(c, 9.0), 0.5);
  EXPECT_NEAR(integral_over(c, 0.2, 3.1), 0.7 * 1.8 + 1.4 * 1.1 + 0.8 * 0.1, 1e-14);
  // Parts add up, wherever they are cut.
  EXPECT_NEAR(integral_over(c, 0.35, 1.27) + integral_over(c, 1.27, 2.9), integral_over(c, 0.35, 2.9), 1e-14);
  EXPECT_NEAR(mean_over(c, 1.0, 1.1), interpolate(c, 1.05), 1e-14);
}

TEST(Curves, CrossingsAreOnTheLines) {
  const Curve c{{0.2, 0.9, 2.3, 3.1}, {1.1, 2.5, -0.3, 0.5}};
  const auto at = find_crossings(c, 0.2);
  ASSERT_EQ(at.size(), 2u);
  for (const double x : at) EXPECT_NEAR(interpolate(c, x), 0.2, 1e-14);
  EXPECT_TRUE(find_crossings(c, 7).empty());
}

}  // namespace
}  // namespace leverwright::analysis
