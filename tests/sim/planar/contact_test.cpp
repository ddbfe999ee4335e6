// Contacts: rows of depth rate and slip against differences, the deepest point against a fine search.
#include "sim/planar/contact.h"

#include <gtest/gtest.h>

#include "tests/sim/planar/random_contact.h"
#include "tests/support/jacobian.h"

namespace leverwright::planar {
namespace {

std::vector<Pose> poses_at(const Mechanism& m, const Eigen::VectorXd& q) {
  std::vector<Pose> poses(static_cast<std::size_t>(m.n()) + 1);
  m.tree.calc_poses(q, VecQ::Zero(m.n()), poses);
  return poses;
}

class ContactKind : public ::testing::TestWithParam<Kind> {};
INSTANTIATE_TEST_SUITE_P(Kinds, ContactKind, ::testing::ValuesIn(kKinds));

TEST_P(ContactKind, DepthRowIsTheSlopeOfDepth) {
  Draw draw(31);
  int tried = 0;
  for (int k = 0; k < 2000 && tried < 300; ++k) {
    const ContactCase c = random_contact(draw, GetParam());
    if (!c.touching) continue;
    const Mechanism& m = c.mechanism;
    Scratch s(m);
    s.q = c.q;
    m.calc_geometry(s);
    // Differences must not straddle a joint between cap zones or jump between two equally deep points.
    bool clear = true;
    for (int j = 0; j < m.n(); ++j)
      for (const double h : {-2e-6, 2e-6}) {
        Eigen::VectorXd q = c.q;
        q[j] += h;
        const ContactPoint t = m.contacts[0]->locate(poses_at(m, q));
        clear =
            clear && t.zone == s.contact_points[0].zone && std::abs(t.s_b - s.contact_points[0].s_b) < 0.1e-3;
      }
    if (!clear) continue;
    const auto depth = [&](const Eigen::VectorXd& q) {
      return Eigen::VectorXd::Constant(1, m.contacts[0]->locate(poses_at(m, q)).depth);
    };
    EXPECT_TRUE(support::jacobian_agrees(depth, c.q, s.J_d[0].transpose(), 1e-6, 2e-6)) << "example " << k;
    ++tried;
  }
  EXPECT_GE(tried, 200);
}

// Slip: how far the material points that meet at p move apart along the tangent.
TEST_P(ContactKind, SlipRowIsTheSlopeOfMaterialPointsApart) {
  Draw draw(32);
  int tried = 0;
  for (int k = 0; k < 2000 && tried < 200; ++k) {
    const ContactCase c = random_contact(draw, GetParam());
    if (!c.touching) continue;
    const Mechanism& m = c.mechanism;
    Scratch s(m);
    s.q = c.q;
    m.calc_geometry(s);
    const ContactPoint t = s.contact_points[0];
    if (m.contacts[0]->is_angular()) {
      EXPECT_EQ(s.J_t[0].norm(), 0);
      ++tried;
      continue;
    }
    const Vec2 on_a = s.poses[1].from_W(t.p), on_b = s.poses[3].from_W(t.p), tangent = -perp(t.n);
    const auto apart = [&](const Eigen::VectorXd& q) {
      const auto p = complex_poses(m.tree, q);
      const auto d = p[3].origin + p[3].turn * as_complex(on_b) - p[1].origin - p[1].turn * as_complex(on_a);
      return Eigen::VectorXd::Constant(1, tangent.x() * d.real() + tangent.y() * d.imag());
    };
    EXPECT_TRUE(support::jacobian_agrees(apart, c.q, s.J_t[0].transpose(), 1e-4, 1e-10)) << "example " << k;
    EXPECT_NEAR(t.n.norm(), 1, 1e-13);
    ++tried;
  }
  EXPECT_GE(tried, 150);
}

// The deepest point of the profile within the cap's shadow, from a search in steps of 2 micrometres, then 1
// nanometre.
struct Deepest {
  double depth = -1e9, x = 0;
};

Deepest search(const CapOnProfile& c, const Pose& a, const Pose& b) {
  const Vec2 apex_b = b.from_W(a.to_W(c.cap().apex()));
  const double x_apex = (apex_b - c.profile().origin()).dot(c.profile().along());
  Deepest out;
  const double reach = 1.3 * c.cap().half_width();
  const auto look = [&](double from, double to, double step) {
    for (double x = from; x <= to; x += step) {
      const double depth = -c.cap().phi(a.from_W(b.to_W(c.profile().point(x))));
      if (depth > out.depth) out = {depth, x};
    }
  };
  look(x_apex - reach, x_apex + reach, 2e-6);
  look(out.x - 2e-6, out.x + 2e-6, 1e-9);
  return out;
}

TEST(CapOnProfile, FindsTheDeepestPoint) {
  Draw draw(33);
  int tried = 0, on_edge = 0, missed = 0;
  for (int k = 0; k < 4000 && tried < 1500; ++k) {
    const ContactCase c = random_contact(draw, Kind::kCapOnProfile);
    if (!c.touching) continue;
    const auto poses = poses_at(c.mechanism, c.q);
    const auto& contact = static_cast<const CapOnProfile&>(*c.mechanism.contacts[0]);
    const ContactPoint t = contact.locate(poses);
    const Deepest best = search(contact, poses[1], poses[3]);
    EXPECT_LT(t.depth, best.depth + 1e-9) << "example " << k;
    // Features narrower than a step of the scan (a sixth of the cap's half width) can hide a point that is
    // deeper by some micrometres: seldom, and never by much.
    if (t.depth < best.depth - 1e-9) {
      ++missed;
      EXPECT_GT(t.depth, best.depth - 15e-6)
          << "example " << k << " found x " << t.s_b << " but deepest at " << best.x;
    }
    // What is told about the point holds together.
    const Vec2 on_profile = poses[3].to_W(contact.profile().point(t.s_b));
    EXPECT_NEAR(contact.cap().phi(poses[1].from_W(on_profile)), -t.depth, 1e-12);
    EXPECT_LT((t.p - on_profile - 0.5 * t.depth * t.n).norm(), 1e-12);
    EXPECT_EQ(contact.cap().distance(poses[1].from_W(on_profile)).zone, t.zone);
    if (t.zone != CapZone::kDome) ++on_edge;
    ++tried;
  }
  EXPECT_GE(tried, 1000);
  EXPECT_LE(missed, tried / 200);
  EXPECT_GE(on_edge, 100);
}

// Going apart slowly the depth goes on through zero without a jump, until the bound on the gap takes over far
// away.
TEST(CapOnProfile, DepthGoesOnThroughOpening) {
  Draw draw(34);
  int tried = 0;
  for (int k = 0; k < 400 && tried < 60; ++k) {
    ContactCase c = random_contact(draw, Kind::kCapOnProfile);
    if (!c.touching) continue;
    Mechanism& m = c.mechanism;
    const ContactPoint t = m.contacts[0]->locate(poses_at(m, c.q));
    const auto away = complex_poses(m.tree, c.q)[2].turn;
    const std::complex<double> step = as_complex(t.n) / away;
    const Vec2 start = m.tree.body(3).p_joint;
    double last = t.depth;
    for (double gap = 5e-6; gap < 4e-3 && last > -0.2e-3; gap += 5e-6) {
      m.tree.body(3).p_joint = start + gap * Vec2(step.real(), step.imag());
      const double depth = m.contacts[0]->locate(poses_at(m, c.q)).depth;
      EXPECT_LT(depth, last + 1e-12) << "example " << k;
      EXPECT_GT(depth, last - 5.01e-6) << "example " << k;
      last = depth;
    }
    EXPECT_LT(last, 0);
    m.tree.body(3).p_joint = start + 0.2 * Vec2(step.real(), step.imag());
    EXPECT_LT(m.contacts[0]->locate(poses_at(m, c.q)).depth, -1e-3);
    ++tried;
  }
  EXPECT_GE(tried, 40);
}

// Wherever an open contact is asked, the answer is a lower bound on the gap: it never pretends to be
// touching.
TEST(CapOnProfile, NeverTouchesWhereTheSearchFindsAGap) {
  Draw draw(35);
  for (int k = 0; k < 400; ++k) {
    ContactCase c = random_contact(draw, Kind::kCapOnProfile);
    c.mechanism.tree.body(3).p_joint += draw.vector(8e-3);
    const auto poses = poses_at(c.mechanism, c.q);
    const auto& contact = static_cast<const CapOnProfile&>(*c.mechanism.contacts[0]);
    const Deepest best = search(contact, poses[1], poses[3]);
    const ContactPoint t = contact.locate(poses);
    if (best.depth < -1e-6) {
      EXPECT_LT(t.depth, 0);
    }
    if (best.depth > 1e-6 && best.depth < 0.5 * contact.cap().edge_fillet()) {
      EXPECT_GT(t.depth, 0) << "example " << k << ", at " << best.x << ", " << best.depth << " deep";
    }
  }
}

TEST(CapOnStrip, IsOneMaterialPointOfTheProfile) {
  Draw draw(36);
  for (int k = 0; k < 100; ++k) {
    const ContactCase c = random_contact(draw, Kind::kCapOnStrip);
    const auto poses = poses_at(c.mechanism, c.q);
    const auto& strip = static_cast<const CapOnStrip&>(*c.mechanism.contacts[0]);
    const ContactPoint t = strip.locate(poses);
    EXPECT_EQ(t.s_b, strip.x());
    EXPECT_EQ(strip.mu_factor(0), 1.3);
    EXPECT_EQ(strip.group, "bed");
  }
}

TEST(AngularStop, ClosesBeyondItsLimitOnly) {
  AngularStop upper("stop", kGround, 0, 0.31, 1.0, 0.022), lower("stop", kGround, 0, 0.31, -1.0, 0.022);
  std::vector<Pose> poses(2);
  poses[0].angle = 0.34;
  EXPECT_NEAR(upper.locate(poses).depth, 0.022 * 0.03, 1e-15);
  EXPECT_NEAR(lower.locate(poses).depth, -0.022 * 0.03, 1e-15);
  EXPECT_TRUE(upper.is_angular());
}

TEST(MuTable, IsPiecewiseLinearAndConstantOutside) {
  const MuTable table{{0.01, 0.012, 0.016}, {1.0, 2.5, 0.5}};
  EXPECT_EQ(table.at(0.0), 1.0);
  EXPECT_EQ(table.at(0.02), 0.5);
  EXPECT_NEAR(table.at(0.0115), 1.0 + 0.75 * 1.5, 1e-12);
  EXPECT_NEAR(table.at(0.013), 2.5 - 0.25 * 2.0, 1e-12);
  EXPECT_EQ(MuTable{}.at(0.4), 1.0);
}

}  // namespace
}  // namespace leverwright::planar
