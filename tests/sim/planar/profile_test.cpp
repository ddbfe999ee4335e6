// Profiles: a C2 spline through the given heights, straight beyond its ends.
#include "sim/planar/profile.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/sim/planar/random_tree.h"
#include "tests/support/jacobian.h"

namespace leverwright::planar {
namespace {

std::vector<double> random_heights(Draw& draw, int count) {
  std::vector<double> out(static_cast<std::size_t>(count));
  for (double& h : out) h = draw.in(-1e-3, 1e-3);
  return out;
}

struct Made {
  Profile profile;
  std::vector<double> heights;
  double start, spacing;
};

Made random_profile(Draw& draw) {
  Made m;
  m.heights = random_heights(draw, draw.whole(5, 40));
  m.start = draw.in(-0.08, -0.04);
  m.spacing = draw.in(0.2e-3, 0.6e-3);
  m.profile = Profile(draw.vector(0.1), draw.vector(1), draw.in(0, 1) < 0.5, m.start, m.spacing, m.heights);
  return m;
}

TEST(Profile, GoesThroughItsHeights) {
  Draw draw(21);
  for (int k = 0; k < 50; ++k) {
    const Made m = random_profile(draw);
    for (std::size_t i = 0; i < m.heights.size(); ++i)
      EXPECT_NEAR(m.profile.at(m.start + m.spacing * static_cast<double>(i)).h, m.heights[i], 1e-13);
    EXPECT_NEAR(m.profile.x_start(), m.start, 0);
    EXPECT_NEAR(m.profile.x_end(), m.start + m.spacing * static_cast<double>(m.heights.size() - 1), 1e-15);
  }
}

TEST(Profile, SlopeAndCurvatureAreDerivatives) {
  Draw draw(22);
  for (int k = 0; k < 400; ++k) {
    const Made m = random_profile(draw);
    const double h = 1e-3 * m.spacing;
    const int piece = draw.whole(-3, static_cast<int>(m.heights.size()) + 2);
    const double x = m.start + m.spacing * (piece + draw.in(0.01, 0.99));  // differences within one piece
    const ProfilePoint p = m.profile.at(x);
    EXPECT_TRUE(support::slope_agrees([&](double s) { return m.profile.at(s).h; }, x, p.slope, h, 1e-8));
    if (piece >= 0 && piece + 1 < static_cast<int>(m.heights.size()))
      EXPECT_TRUE(
          support::slope_agrees([&](double s) { return m.profile.at(s).slope; }, x, p.curvature, h, 1e-8));
    else
      EXPECT_EQ(p.curvature, 0);
    EXPECT_EQ(m.profile.height(x), p.h);
  }
}

TEST(Profile, CurvatureIsContinuousInside) {
  Draw draw(23);
  for (int k = 0; k < 50; ++k) {
    const Made m = random_profile(draw);
    double largest = 0;
    for (std::size_t i = 0; i + 1 < m.heights.size(); ++i)
      largest = std::max(
          largest, std::abs(m.profile.at(m.start + m.spacing * (static_cast<double>(i) + 0.5)).curvature));
    for (std::size_t i = 1; i + 1 < m.heights.size(); ++i) {
      const double x = m.start + m.spacing * static_cast<double>(i), e = 1e-9 * m.spacing;
      const ProfilePoint a = m.profile.at(x - e), b = m.profile.at(x + e);
      EXPECT_NEAR(a.slope, b.slope, 1e-6);
      EXPECT_NEAR(a.curvature, b.curvature, 1e-6 * std::max(largest, std::abs(a.curvature)));
    }
  }
}

TEST(Profile, GoesOnStraightBeyondItsEnds) {
  Draw draw(24);
  for (int k = 0; k < 50; ++k) {
    const Made m = random_profile(draw);
    for (const double end : {m.profile.x_start(), m.profile.x_end()}) {
      const double out = end == m.profile.x_start() ? -1 : 1, e = 1e-10;
      const ProfilePoint last = m.profile.at(end - out * e), first = m.profile.at(end + out * e),
                         far = m.profile.at(end + out * 3e-3);
      EXPECT_NEAR(last.h, first.h, 1e-8);
      EXPECT_NEAR(last.slope, first.slope, 1e-4);
      EXPECT_NEAR(first.slope, far.slope, 1e-12);
      EXPECT_EQ(far.curvature, 0);
      EXPECT_NEAR(far.h - first.h, first.slope * (out * (3e-3 - e)), 1e-12);
    }
  }
}

TEST(Profile, AxesLieAsDescribed) {
  const Vec2 along(0.6, 0.8), origin(0.02, -0.01);
  const std::vector<double> heights{1e-3, 2e-3, 1.5e-3, 1e-3, 0.5e-3};
  const Profile left(origin, 2 * along, true, 0.01, 1e-3, heights),
      right(origin, along, false, 0.01, 1e-3, heights);
  EXPECT_LT((left.point(0.011) - (origin + 0.011 * along + 2e-3 * Vec2(-0.8, 0.6))).norm(), 1e-15);
  EXPECT_LT((right.point(0.011) - (origin + 0.011 * along - 2e-3 * Vec2(-0.8, 0.6))).norm(), 1e-15);
}

// A trace of few points keeps its rises and falls: no new humps between them.
TEST(SampleEvenly, PassesThroughPointsWithoutNewHumps) {
  Draw draw(25);
  for (int k = 0; k < 100; ++k) {
    std::vector<double> x, y;
    for (int i = 0; i < 9; ++i) {
      x.push_back((i == 0 ? 0.0 : x.back()) + draw.in(0.5e-3, 3e-3));
      y.push_back(draw.in(-2e-3, 2e-3));
    }
    const int count = 4001;
    const double spacing = (x.back() - x.front()) / (count - 1);
    const auto even = sample_evenly(x, y, x.front(), spacing, count);
    std::size_t interval = 0;
    for (int i = 0; i < count; ++i) {
      const double s = x.front() + spacing * i;
      while (interval + 2 < x.size() && s > x[interval + 1]) ++interval;
      const double lo = std::min(y[interval], y[interval + 1]), hi = std::max(y[interval], y[interval + 1]);
      EXPECT_GE(even[static_cast<std::size_t>(i)], lo - 1e-9);
      EXPECT_LE(even[static_cast<std::size_t>(i)], hi + 1e-9);
    }
    EXPECT_NEAR(sample_evenly(x, y, x[4], 1e-3, 1)[0], y[4], 1e-15);
    // Straight on beyond the last point.
    const auto beyond = sample_evenly(x, y, x.back(), 0.7e-3, 3);
    EXPECT_NEAR(beyond[2] - beyond[1], beyond[1] - beyond[0], 1e-12);
  }
}

}  // namespace
}  // namespace leverwright::planar
