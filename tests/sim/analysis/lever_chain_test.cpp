// Closed form of the lever chain, on a geometry whose contacts lie on the lines of centres with normals
// across them: only there is the ratio the product of the arms.
#include <gtest/gtest.h>

#include <cmath>

#include "sim/analysis/ledger.h"
#include "sim/base/units.h"

namespace leverwright::analysis {
namespace {

using planar::Body;
using planar::Cloth;
using planar::DryFriction;
using planar::PivotFriction;

struct Chain {
  double front = 0.246, rear = 0.132, heel = 0.0663, wippen = 0.0935, knuckle = 0.0205, hammer = 0.131;
  double weight = 0.094, mu = 0, torque[3] = {0, 0, 0};

  double product() const { return rear / front * wippen / heel * hammer / knuckle; }

  // All pins and contacts on y = 0; contacts face up.
  void build(planar::Mechanism& m) const {
    const double lever_pin = rear + heel, knuckle_x = lever_pin - wippen, arm_pin = knuckle_x - knuckle;
    const double pins[3] = {0, lever_pin, arm_pin};
    for (int i = 0; i < 3; ++i) {
      Body b;
      b.name = "lever " + std::to_string(i);
      b.p_joint = base::Vec2(pins[i], 0);
      b.mass = i == 2 ? weight / base::kGravity : 0.0;
      b.p_cm = i == 2 ? base::Vec2(hammer, 0) : base::Vec2(0, 0);
      b.inertia_cm = 1e-6;
      m.tree.add(b);
    }
    const double r1 = 0.011, r2 = 0.006;
    m.contacts.push_back(std::make_unique<planar::TipOnLine>("first", 0, base::Vec2(rear, 0),
                                                             base::Vec2(0, 1), 1, base::Vec2(-heel, r1), r1));
    m.contacts.push_back(std::make_unique<planar::TipOnLine>(
        "second", 1, base::Vec2(-wippen, 0), base::Vec2(0, 1), 2, base::Vec2(knuckle, r2), r2));
    for (auto& c : m.contacts) {
      c->cloth = Cloth(1.0, 1e-9, 1.0, 0.0, 0.0);  // as good as rigid: a nanometre per newton
      c->friction = DryFriction(mu, 1, 1, 1e-9, 0);
    }
    for (int i = 0; i < 3; ++i)
      m.pivots.push_back({"pin " + std::to_string(i), i, PivotFriction(torque[i], 0, 0, 1e-7)});
    m.finish();
  }
};

struct Measured {
  run::StaticSample down, up;
};

// Through the level position on either way.
Measured measure(const planar::Mechanism& m, const Chain& c, bool dissipative) {
  run::StaticSolver solver(m, 0, {0, base::Vec2(-c.front, 0)}, dissipative);
  run::StaticState state = solver.initial(planar::VecQ::Zero(3));
  Measured out;
  const double step = 2e-6;
  for (int k = -10; k <= 0; ++k) {
    const auto previous = state;
    EXPECT_TRUE(solver.settle(solver.driven_for(k * step), state));
    out.down = solver.sample(previous, state);
  }
  for (int k = 1; k <= 10; ++k) EXPECT_TRUE(solver.settle(solver.driven_for(k * step), state));
  for (int k = 9; k >= 0; --k) {
    const auto previous = state;
    EXPECT_TRUE(solver.settle(solver.driven_for(k * step), state));
    out.up = solver.sample(previous, state);
  }
  return out;
}

TEST(LeverChain, ForceIsWeightTimesTheProductOfTheArms) {
  const Chain c;
  planar::Mechanism m;
  c.build(m);
  const Measured x = measure(m, c, false);
  EXPECT_NEAR(x.down.force, c.weight * c.product(), 2e-6 * c.weight * c.product());
  EXPECT_NEAR(x.down.dq[2] * c.hammer, c.product(),
              2e-6 * c.product());  // strike travel per playing-point travel
}

TEST(LeverChain, PivotFrictionAddsTorqueTimesRelativeSpeed) {
  Chain c;
  c.torque[0] = 1.1e-3;
  c.torque[1] = 0.45e-3;
  c.torque[2] = 0.7e-3;
  planar::Mechanism m;
  c.build(m);
  const Measured x = measure(m, c, true);
  const double key = 1 / c.front, lever = key * c.rear / c.heel, arm = lever * c.wippen / c.knuckle;
  const double expected = c.torque[0] * key + c.torque[1] * lever + c.torque[2] * arm;
  EXPECT_NEAR(0.5 * (x.down.force - x.up.force), expected, 1e-5 * expected);
  const FrictionLedger l = find_ledger(m, x.down, x.up);
  EXPECT_LT(std::abs(l.misfit), 2e-8);  // a nanometre per newton: places known to 1e-17 m leave 1e-8 N
}

// On the line of centres there is no slide, so friction in the contacts costs nothing there.
TEST(LeverChain, ContactFrictionCostsNothingOnTheLineOfCentres) {
  Chain c;
  c.mu = 0.4;
  planar::Mechanism m;
  c.build(m);
  const Measured x = measure(m, c, true);
  for (std::size_t i = 0; i < 2; ++i) EXPECT_LT(std::abs(x.down.slip_rate[i]), 1e-3);
  EXPECT_LT(std::abs(x.down.force - x.up.force), 2e-3 * x.down.force);
}

}  // namespace
}  // namespace leverwright::analysis
