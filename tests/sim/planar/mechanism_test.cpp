// The equations of motion as a whole: the energy audit closes at every instant, joint reactions are those a
// prescribed slide in place of the joint needs.
#include "sim/planar/mechanism.h"

#include <gtest/gtest.h>

#include "tests/sim/planar/random_contact.h"
#include "tests/support/jacobian.h"

namespace leverwright::planar {
namespace {

struct Loaded {
  ContactCase c;
  Eigen::VectorXd x;
  Applied applied;
};

// One contact of the given kind, springs, pivots, a load on body 1, speeds and memories at random.
Loaded random_loaded(Draw& draw, Kind kind) {
  Loaded out{random_contact(draw, kind), {}, {}};
  Mechanism& m = out.c.mechanism;
  m.gravity = draw.vector(10);
  m.pivots.push_back(
      {"pivot of 1", 1,
       PivotFriction(draw.in(1e-4, 1e-3), draw.in(1e-4, 5e-4), draw.in(0, 1e-4), draw.in(1e-3, 5e-3))});
  m.pivots.push_back(
      {"pivot of 3", 3,
       PivotFriction(draw.in(1e-4, 1e-3), draw.in(1e-4, 5e-4), draw.in(0, 1e-4), draw.in(1e-3, 5e-3))});
  m.springs.push_back({"spring", 1, 3, draw.in(-0.1, 0.1), draw.in(0.01, 0.1)});
  m.finish();
  out.x.setZero(m.state_size());
  for (int i = 0; i < m.n(); ++i) {
    out.x[m.at_q(i)] = out.c.q[i];
    out.x[m.at_v(i)] = draw.in(-0.2, 0.2);
  }
  Scratch s(m);
  s.q = out.c.q;
  m.calc_geometry(s);
  out.x[m.at_d0(0)] = random_memory(draw, m.contacts[0]->cloth, std::max(0.0, s.contact_points[0].depth));
  if (m.at_u(0) >= 0) out.x[m.at_u(0)] = draw.in(-0.95, 0.95);
  for (int p = 0; p < 2; ++p) {
    out.x[m.at_pivot_u(p)] = draw.in(-0.95, 0.95);
    out.x[m.at_pivot_reaction(p)] = draw.in(0.2, 2);
  }
  out.applied.load = {1, draw.vector(0.05), draw.vector(1)};
  return out;
}

class LoadedKind : public ::testing::TestWithParam<Kind> {};
INSTANTIATE_TEST_SUITE_P(Kinds, LoadedKind, ::testing::ValuesIn(kKinds));

// d(stored energy)/dt along dx/dt, by differences, plus the losses must be the power put in. No loss may be
// negative.
TEST_P(LoadedKind, EnergyAuditClosesAtEveryInstant) {
  Draw draw(41);
  int tried = 0;
  for (int k = 0; k < 3000 && tried < 300; ++k) {
    Loaded l = random_loaded(draw, GetParam());
    if (!l.c.touching) continue;
    const Mechanism& m = l.c.mechanism;
    Scratch s(m);
    Eigen::VectorXd dxdt(m.state_size());
    if (k % 3 == 0) {
      const int coordinate = draw.whole(0, m.n() - 1);
      l.applied.prescribed = coordinate;
      l.applied.q = l.x[m.at_q(coordinate)];
      l.applied.v = l.x[m.at_v(coordinate)];
      l.applied.a = draw.in(-5, 5);
    }
    m.calc_rates(l.x.data(), dxdt.data(), l.applied, s);
    if (s.contact_points[0].depth < 20e-6) continue;
    // Sunk deeper than its edge fillet a cap may bear on the ridge between dome and side: outside what the
    // law covers.
    const auto* cap = dynamic_cast<const CapOnProfile*>(m.contacts[0].get());
    if (cap && s.contact_points[0].depth > 0.9 * cap->cap().edge_fillet()) continue;
    m.contacts[0]->complete(s.poses, s.contact_points[0]);
    const CapZone zone = s.contact_points[0].zone;
    const double where = s.contact_points[0].s_b;
    bool clear = true;
    const auto energy = [&](double t) {
      const Eigen::VectorXd at = l.x + t * dxdt;
      const double e = m.stored_energy(at.data(), s);
      clear = clear && s.contact_points[0].zone == zone && std::abs(s.contact_points[0].s_b - where) < 0.1e-3;
      return e;
    };
    const double h = 1e-6;
    const double rate = (energy(-2 * h) - 8 * energy(-h) + 8 * energy(h) - energy(2 * h)) / (12 * h);
    if (!clear) continue;
    double losses = 0, size = 0;
    for (std::size_t i = 0; i < m.audit_names().size(); ++i) {
      const double loss = dxdt[m.at_audit() + 1 + static_cast<int>(i)];
      // A viscous cloth force cut off at zero tension may give a little of the stored energy back; all else
      // only takes.
      EXPECT_GE(loss, -1e-12) << m.audit_names()[i];
      losses += loss;
      size += std::abs(loss);
    }
    const double input = dxdt[m.at_audit()];
    size += std::abs(input) + std::abs(rate);
    // A flat cap, a dome of 20 m, knows depth to 4e-15 m: 5e-8 W in these differences.
    EXPECT_NEAR(rate + losses, input, 2e-6 * size + 5e-8) << "example " << k;
    ++tried;
  }
  EXPECT_GE(tried, 150);
}

// Splits the joint of body 3 by a massless slide held at zero: the force that holds it is the reaction in
// that direction.
TEST(Mechanism, JointReactionIsTheForceThatHoldsTheJoint) {
  Draw draw(42);
  int tried = 0;
  for (int k = 0; k < 200 && tried < 60; ++k) {
    Loaded l = random_loaded(draw, Kind::kTipOnLine);
    if (!l.c.touching) continue;
    Mechanism& m = l.c.mechanism;
    Scratch s(m);
    Eigen::VectorXd dxdt(m.state_size());
    m.calc_rates(l.x.data(), dxdt.data(), l.applied, s);
    const Vec2 reaction = s.reaction[3];

    Mechanism split;
    split.gravity = m.gravity;
    for (int i = 0; i < 3; ++i) split.tree.add(m.tree.body(i));
    Body slide;
    slide.name = "held slide";
    slide.joint = Joint::kSlide;
    slide.parent = 2;
    slide.p_joint = m.tree.body(3).p_joint;
    slide.slide_direction = draw.vector(1).normalized();
    split.tree.add(slide);
    Body last = m.tree.body(3);
    last.parent = 3;
    last.p_joint = Vec2::Zero();
    split.tree.add(last);
    auto contact = std::make_unique<TipOnLine>(static_cast<const TipOnLine&>(*m.contacts[0]));
    contact->body_b = 4;
    split.contacts.push_back(std::move(contact));
    split.pivots = m.pivots;
    split.pivots[1].body = 4;
    split.springs = m.springs;
    split.springs[0].body_b = 4;
    split.finish();
    Scratch t(split);
    Eigen::VectorXd x = Eigen::VectorXd::Zero(split.state_size()), rates(split.state_size());
    for (int i = 0; i < 3; ++i) {
      x[split.at_q(i)] = l.x[m.at_q(i)];
      x[split.at_v(i)] = l.x[m.at_v(i)];
    }
    x[split.at_q(4)] = l.x[m.at_q(3)];
    x[split.at_v(4)] = l.x[m.at_v(3)];
    x[split.at_d0(0)] = l.x[m.at_d0(0)];
    x[split.at_u(0)] = l.x[m.at_u(0)];
    for (int p = 0; p < 2; ++p) {
      x[split.at_pivot_u(p)] = l.x[m.at_pivot_u(p)];
      x[split.at_pivot_reaction(p)] = l.x[m.at_pivot_reaction(p)];
    }
    Applied applied = l.applied;
    applied.prescribed = 3;
    split.calc_rates(x.data(), rates.data(), applied, t);
    EXPECT_NEAR(t.prescribed_force, reaction.dot(t.poses[3].dir), 1e-9 * std::max(1.0, reaction.norm()));
    EXPECT_NEAR(rates[split.at_v(4)], dxdt[m.at_v(3)], 1e-7 * std::max(1.0, std::abs(dxdt[m.at_v(3)])));
    ++tried;
  }
  EXPECT_GE(tried, 40);
}

// A load given as a force and the same motion prescribed need each other's force.
TEST(Mechanism, PrescribedMotionGivesBackTheForceThatCausesIt) {
  Draw draw(43);
  int tried = 0;
  for (int k = 0; k < 200 && tried < 60; ++k) {
    Loaded l = random_loaded(draw, Kind::kCircleOnCap);
    if (!l.c.touching) continue;
    Mechanism& m = l.c.mechanism;
    Scratch s(m);
    Eigen::VectorXd dxdt(m.state_size()), again(m.state_size());
    // Push the sliding body along its own direction: the generalised force is the force itself.
    const double force = draw.in(-2, 2);
    Applied pushed;
    s.q = l.c.q;
    m.calc_geometry(s);
    pushed.load = {0, Vec2::Zero(), force * s.poses[0].dir};
    m.calc_rates(l.x.data(), dxdt.data(), pushed, s);
    Applied prescribed;
    prescribed.prescribed = 0;
    prescribed.q = l.x[m.at_q(0)];
    prescribed.v = l.x[m.at_v(0)];
    prescribed.a = dxdt[m.at_v(0)];
    m.calc_rates(l.x.data(), again.data(), prescribed, s);
    EXPECT_NEAR(s.prescribed_force, force, 1e-8 * std::max(1.0, s.normal[0]));
    EXPECT_LT((again.head(2 * m.n()) - dxdt.head(2 * m.n())).cwiseAbs().maxCoeff(),
              1e-7 * std::max(1.0, dxdt.cwiseAbs().maxCoeff()));
    ++tried;
  }
  EXPECT_GE(tried, 40);
}

TEST(Mechanism, StripsOfOnePatchShareTheirLedgerRow) {
  Draw draw(44);
  ContactCase c = random_contact(draw, Kind::kCapOnStrip);
  const auto& strip = static_cast<const CapOnStrip&>(*c.mechanism.contacts[0]);
  c.mechanism.contacts.push_back(std::make_unique<CapOnStrip>(strip));
  c.mechanism.contacts.back()->name = "another strip";
  c.mechanism.finish();
  EXPECT_EQ(c.mechanism.groups().size(), 1u);
  EXPECT_EQ(c.mechanism.group_of(1), 0);
  EXPECT_EQ(c.mechanism.find_contact("another strip"), 1);
  EXPECT_EQ(c.mechanism.find_contact("none"), -1);
  EXPECT_EQ(c.mechanism.find_pivot("none"), -1);
}

}  // namespace
}  // namespace leverwright::planar
