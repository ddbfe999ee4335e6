// The energy audit, term by term, against closed forms, and as a whole.
#include <gtest/gtest.h>

#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

double loss(const Mechanism& m, const Stroke& s, const std::string& name) {
  for (std::size_t k = 0; k < m.audit_names().size(); ++k)
    if (m.audit_names()[k] == name) return s.state()[at(m.at_audit()) + 1 + k];
  ADD_FAILURE() << name;
  return 0;
}

StoredEnergy stored(const Mechanism& m, const Stroke& s) {
  Scratch look(m);
  std::vector<double> rates(s.state().size());
  m.calc_rates(s.state().data(), rates.data(), {}, look);
  return calc_stored(m, s.state().data(), look);
}

// A pendulum with a coil: kinetic, gravity and spring energy each by its own formula.
TEST(Energy, OfAPendulumWithACoil) {
  Pendulum p;
  p.spring = 0.12;
  const Mechanism m = p.build();
  FineStroke stroke(m, kNoDrive, without_samples());
  auto x = still(m);
  x[0] = 0.9;
  stroke.start(0, x);
  stroke.advance(0.137);
  const double q = stroke.state()[0], v = stroke.state()[1];
  const StoredEnergy e = stored(m, stroke);
  EXPECT_NEAR(e.kinetic, 0.5 * p.inertia() * v * v, 1e-15);
  EXPECT_NEAR(e.gravity, -p.weight_moment() * std::cos(q), 1e-15);
  EXPECT_NEAR(e.springs, 0.5 * p.spring * q * q, 1e-15);
  EXPECT_EQ(e.cloth, 0);
  EXPECT_EQ(e.bristles, 0);
  EXPECT_NEAR(e.sum(), -p.weight_moment() * std::cos(0.9) + 0.5 * p.spring * 0.81, 1e-10);
  EXPECT_NEAR(stroke.audit().stored_change, 0, 1e-10);
  EXPECT_GE(stroke.audit().most_kinetic, e.kinetic);
}

// Pivot: dry loss S times the angle slid through, viscous c times the integral of omega squared, bristle
// S u^2 yield / 2. Led at constant speed.
TEST(Energy, OfAPivotLedAtConstantSpeed) {
  Pendulum p;
  p.gravity = 0;
  const double level = 2.1e-3, c = 7e-4, yield = 1.3e-4, speed = 0.9;
  p.pivot = PivotFriction(level, 0, c, yield);
  const Mechanism m = p.build();
  Drive drive;
  drive.move(0, std::make_shared<LinearHistory>(std::vector<double>{0, 1}, std::vector<double>{0, speed}));
  FineStroke stroke(m, drive, without_samples());
  stroke.start(0, still(m));
  stroke.advance(1.0 - 1e-9);
  EXPECT_NEAR(loss(m, stroke, "hook: viscous"), c * speed * speed, 1e-9);
  // The bristle bends first: some way, less than its yield angle, is led at less than the full torque.
  EXPECT_NEAR(stored(m, stroke).pivots, 0.5 * level * yield, 1e-10);
  const double work = stroke.audit().work - c * speed * speed;
  EXPECT_LT(work, level * speed);
  EXPECT_GT(work, level * (speed - yield));
  // The work is led by the prescribed motion and the loss by the law; both meet the bristle's corner within a
  // step.
  EXPECT_NEAR(loss(m, stroke, "hook: friction"), work - 0.5 * level * yield, 1e-7);
}

// A sledge pulled over the floor: friction takes mu m g per way once it slides, a bristle of
// mu N (z_min + mu d / (kappa_t p)) / 2 stays bent, the floor holds U(d).
TEST(Energy, OfASledgePulledOverTheFloor) {
  Sledge s;
  const Mechanism m = s.build();
  Drive drive;
  drive.move(0, std::make_shared<RampHistory>(RampShape::kQuintic, std::vector<double>{0.01, 0.25},
                                              std::vector<double>{0, 60e-3}));
  FineStroke stroke(m, drive, without_samples());
  auto x = still(m);
  x[1] = s.rest_height();
  stroke.start(0, x);
  stroke.advance(0.24);
  const double way = stroke.state()[0], grip = s.rub.mu() * s.normal();
  const double yields = 4e-6 + s.rub.mu() * -s.rest_height() / (s.rub.shear_share() * s.floor.exponent());
  EXPECT_GT(way, 55e-3);
  const double lost = loss(m, stroke, "floor: friction");
  EXPECT_LT(lost, grip * (way - 0.5 * yields));
  EXPECT_GT(lost, grip * (way - 1.5 * yields));
  EXPECT_NEAR(stored(m, stroke).bristles, 0.5 * grip * yields, 1e-10);
  EXPECT_NEAR(stored(m, stroke).cloth, s.normal() * -s.rest_height() / (s.floor.exponent() + 1), 1e-12);
  EXPECT_NEAR(loss(m, stroke, "floor: cloth"), 0, 1e-12);
  const double kinetic = 0.5 * s.moving_mass() * std::pow(stroke.state()[2], 2);
  EXPECT_NEAR(stroke.audit().work, kinetic + lost + 0.5 * grip * yields, 1e-8);
  EXPECT_LT(std::abs(stroke.audit().error()), 1e-8);
}

// A load led down and up on hysteretic cloth: a full loop from nothing to d_m and back loses what the law's
// own branches enclose: loading (1 + eta) F_e, unloading through the memory; viscous: c int F_e ddot^2 dt.
TEST(Energy, OfClothLedDownAndUp) {
  const double deep = 1.4e-3, p = 2.5, c = 0.07;
  for (const double eta : {0.0, 0.25}) {
    Weight w;
    w.gravity = 0;
    w.floor = Cloth(20, 1.1e-3, p, eta, eta > 0 ? 0.0 : c);
    const Mechanism m = w.build();
    const double gap = 0.3e-3, t1 = 0.1, t2 = 0.2, speed = (deep + gap) / t1;
    Drive drive;
    drive.move(0, std::make_shared<LinearHistory>(std::vector<double>{0, t1, t2},
                                                  std::vector<double>{gap, -deep, gap}));
    FineStroke stroke(m, drive, without_samples(1e-2));
    auto x = still(m);
    x[0] = gap;
    stroke.start(0, x);
    stroke.advance(t1);
    const double u = w.floor.elastic_energy(deep);
    if (eta > 0) {
      // On the loading branch d0 = r d: dissipated kappa F_e'(d0) (d - d0) d0dot = kappa p r^p (1 - r) F_e
      // dd.
      const double r = std::pow(1 - eta / Cloth::kKappa, 1 / p);
      const double lost = Cloth::kKappa * p * std::pow(r, p) * (1 - r) * u;
      EXPECT_NEAR(loss(m, stroke, "floor: cloth"), lost, 2e-5 * u);
      EXPECT_NEAR(stored(m, stroke).cloth, (1 + eta) * u - lost, 2e-5 * u);
      EXPECT_NEAR(stroke.audit().work, (1 + eta) * u, 2e-5 * u);
    } else {
      EXPECT_NEAR(loss(m, stroke, "floor: cloth"), c * speed * u, 1e-6 * u);
      EXPECT_NEAR(stored(m, stroke).cloth, u, 1e-9 * u);
      EXPECT_NEAR(stroke.audit().work, (1 + c * speed) * u, 1e-6 * u);
    }
    stroke.advance(t2);
    EXPECT_NEAR(stored(m, stroke).cloth, 0, 1e-15);
    EXPECT_NEAR(stroke.audit().work, loss(m, stroke, "floor: cloth"), 1e-6 * u) << "the loop closes";
    if (eta == 0) {
      EXPECT_NEAR(stroke.audit().work, 2 * c * speed * u, 1e-6 * u);
    } else {
      EXPECT_GT(stroke.audit().work, 1.0 * eta * u);
      EXPECT_LT(stroke.audit().work, 2.0 * eta * u) << "less than the loop between the outer branches";
    }
  }
}

// All together, from a drop through bounces, rubbing and a push.
TEST(Energy, AuditClosesOverADropAndAPush) {
  Sledge s;
  s.floor = Cloth(20, 1.1e-3, 2.5, 0.2, 0.05);
  const Mechanism m = s.build();
  Drive drive;
  drive.press(0, Vec2(0, 0), Vec2(1, 0),
              std::make_shared<RampHistory>(RampShape::kHalfCosine, std::vector<double>{0.011, 0.05, 0.093},
                                            std::vector<double>{0, 1.3, -0.8}));
  for (const double tolerance : {1.0, 1e-2}) {
    FineStroke stroke(m, drive, without_samples(tolerance));
    auto x = still(m);
    x[1] = 3e-3;
    stroke.start(0, x);
    stroke.advance(0.15);
    const EnergyAudit a = stroke.audit();
    EXPECT_GT(a.work, 1e-3);
    EXPECT_GT(a.losses, 1e-3);
    EXPECT_LT(std::abs(a.error()), tolerance < 1 ? 1e-6 : 1e-4);
    EXPECT_GE(a.least_loss_rate, -1e-9) << "no loss gives energy back";
    EXPECT_GE(a.reference(), a.work);
  }
}

}  // namespace
}  // namespace leverwright::run
