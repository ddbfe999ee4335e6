// Caps: signed distance, its derivatives, the joints between dome, fillet and side.
#include "sim/planar/cap.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/sim/planar/random_tree.h"
#include "tests/support/jacobian.h"

namespace leverwright::planar {
namespace {

Cap random_cap(Draw& draw) {
  const double half_width = draw.in(3e-3, 7e-3);
  return Cap(draw.vector(0.1), draw.vector(1), draw.in(1.3, 8) * half_width, half_width,
             draw.in(0.05, 0.9) * half_width);
}

// A point near the surface in cap axes (along, outwards), not deeper than the fillet's radius.
Vec2 random_point_near(Draw& draw, const Cap& cap) {
  const double w = cap.half_width(), r = cap.edge_fillet();
  for (;;) {
    const Vec2 p = cap.apex() + draw.in(-2 * w, 2 * w) * cap.along() + draw.in(-w, w) * cap.axis();
    if (cap.phi(p) > -0.9 * r) return p;
  }
}

TEST(Cap, GradientIsTheSlopeOfTheDistance) {
  Draw draw(11);
  int zones[4] = {0, 0, 0, 0};
  for (int k = 0; k < 3000; ++k) {
    const Cap cap = random_cap(draw);
    const Vec2 p = random_point_near(draw, cap);
    const CapDistance d = cap.distance(p);
    if (std::abs(d.phi + cap.edge_fillet()) < 1e-4) continue;  // next to the fillet's centre
    const auto phi = [&](const Eigen::VectorXd& x) { return Eigen::VectorXd::Constant(1, cap.phi(x)); };
    // Second derivatives jump at a joint between zones: stay off it by the width of the differences.
    bool clear = true;
    for (const Vec2& off : {Vec2(3e-6, 0), Vec2(-3e-6, 0), Vec2(0, 3e-6), Vec2(0, -3e-6)})
      clear = clear && cap.distance(p + off).zone == d.zone;
    if (!clear) continue;
    EXPECT_TRUE(support::jacobian_agrees(phi, p, d.gradient.transpose(), 1e-6, 1e-7));
    EXPECT_NEAR(d.gradient.norm(), 1.0, 1e-14);
    EXPECT_EQ(cap.phi(p), d.phi);
    // Going along the level set turns the gradient by curvature times distance.
    const auto angle = [&](double s) {
      const Vec2 g = cap.distance(p - s * perp(d.gradient)).gradient;
      return std::atan2(cross(d.gradient, g), d.gradient.dot(g));
    };
    EXPECT_TRUE(support::slope_agrees(angle, 0.0, -d.curvature, 1e-6, 1e-5));
    ++zones[static_cast<int>(d.zone)];
  }
  for (const int count : zones) EXPECT_GT(count, 100);
}

TEST(Cap, DistanceIsTrueDistanceToTheOutline) {
  Draw draw(12);
  for (int k = 0; k < 200; ++k) {
    const Cap cap = random_cap(draw);
    const auto outline = cap.outline(5 * cap.half_width(), 1500);
    const Vec2 p = random_point_near(draw, cap);
    double nearest = 1e9;
    for (std::size_t i = 0; i + 1 < outline.size(); ++i) {
      const Vec2 e = outline[i + 1] - outline[i];
      const double s = std::min(1.0, std::max(0.0, (p - outline[i]).dot(e) / e.squaredNorm()));
      nearest = std::min(nearest, (p - outline[i] - s * e).norm());
    }
    EXPECT_NEAR(std::abs(cap.phi(p)), nearest, 2e-9);
    // And the foot of the distance lies on the surface.
    const CapDistance d = cap.distance(p);
    EXPECT_NEAR(cap.phi(p - d.phi * d.gradient), 0.0, 1e-12);
  }
}

TEST(Cap, InsideIsNegative) {
  Draw draw(13);
  for (int k = 0; k < 100; ++k) {
    const Cap cap = random_cap(draw);
    EXPECT_LT(cap.phi(cap.apex() - 0.3 * cap.edge_fillet() * cap.axis()), 0);
    EXPECT_GT(cap.phi(cap.apex() + 1e-5 * cap.axis()), 0);
    EXPECT_NEAR(cap.phi(cap.apex()), 0, 1e-15);
    EXPECT_GT(cap.phi(cap.apex() + 1.01 * cap.half_width() * cap.along() - cap.half_width() * cap.axis()), 0);
  }
}

// Across the joints distance and normal go on without a step, from outside down to one fillet radius inside.
TEST(Cap, NormalsAgreeWhereThePiecesJoin) {
  Draw draw(14);
  for (int k = 0; k < 300; ++k) {
    const Cap cap = random_cap(draw);
    const double r = cap.edge_fillet(), offset = draw.in(-0.8 * r, 2e-3), side = draw.in(0, 1) < 0.5 ? -1 : 1;
    // Walk round the cap at this offset; the largest turn per step must be that of the sharpest arc.
    const auto outline = cap.outline(0, 24);
    const int steps = 4000;
    Vec2 last = Vec2::Zero();
    double last_phi = 0;
    const double reach = 1.5 * cap.half_width();
    for (int i = 0; i <= steps; ++i) {
      const double x = reach * i / steps;
      // The curve that follows the surface: straight above the dome, down along the side.
      const Vec2 p = cap.apex() + side * std::min(x, cap.half_width() + offset) * cap.along() -
                     (x > cap.half_width() + offset ? (x - cap.half_width() - offset) : 0.0) * cap.axis() +
                     offset * cap.axis();
      const CapDistance d = cap.distance(p);
      if (d.phi < -0.9 * r) {
        last.setZero();
        continue;
      }
      if (last.norm() > 0) {
        const double step = reach / steps, sharpest = 1.0 / std::max(1e-9, r + d.phi - step);
        EXPECT_LT((d.gradient - last).norm(), 1.5 * step * sharpest + 1e-12);
        EXPECT_LT(std::abs(d.phi - last_phi), 1.0001 * std::sqrt(2.0) * step);
      }
      last = d.gradient;
      last_phi = d.phi;
    }
  }
}

TEST(Cap, FlatCapIsFlatWithinAMicrometre) {
  const Cap cap(Vec2(0.13, 0.045), Vec2(0.1, 1), kFlatRadius, 5.5e-3, 0.5e-3);
  const Vec2 edge = cap.apex() + 5e-3 * cap.along();
  EXPECT_LT(std::abs(cap.phi(edge)), 1e-6);
  EXPECT_GT(std::abs(cap.phi(edge)), 1e-8);
  EXPECT_NEAR(cap.dome_half_width(), 5e-3, 1e-6);
}

// Turning a dome about its own centre leaves the surface where it was (between the fillets).
TEST(Cap, LeanAboutTheDomesCentreChangesNothing) {
  const double dome = 20e-3, width = 5e-3, fillet = 0.8e-3;
  const Vec2 centre(0.1319, 0.025);
  const auto leaning = [&](double angle) {
    const Vec2 axis(std::sin(angle), std::cos(angle));
    return Cap(centre + dome * axis, axis, dome, width, fillet);
  };
  const Cap upright = leaning(0), leant = leaning(0.06);
  for (double x = -2.5e-3; x < 2.6e-3; x += 0.31e-3) {
    const Vec2 p = centre + Vec2(x, dome - 0.2e-3);
    EXPECT_NEAR(upright.phi(p), leant.phi(p), 1e-16);
    EXPECT_LT((upright.distance(p).gradient - leant.distance(p).gradient).norm(), 1e-13);
  }
}

}  // namespace
}  // namespace leverwright::planar
