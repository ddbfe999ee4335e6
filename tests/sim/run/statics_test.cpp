// What the quasi-static solver does where there is nothing to settle to.
#include "sim/run/statics.h"

#include <gtest/gtest.h>

#include <limits>

#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

// A key with a flap beside it, with a coil of so much torque where it hangs.
Mechanism build_flap(double coil_torque) {
  Mechanism m;
  for (const char* name : {"key", "flap"}) {
    Body b;
    b.name = name;
    b.mass = 0.1;
    b.p_cm = Vec2(0, -0.2);
    b.inertia_cm = 1e-3;
    m.tree.add(b);
  }
  m.gravity = Vec2(0, -9.80665);
  m.springs.push_back({"coil", kGround, 1, coil_torque, 0.5});
  m.finish();
  return m;
}

TEST(StaticSolver, GivesUpAtOnceWhereNoStepLeadsDownhillAndLeavesTheStateAlone) {
  for (const bool dissipative : {false, true}) {
    const Mechanism m = build_flap(std::numeric_limits<double>::quiet_NaN());
    StaticSolver solver(m, 0, {0, Vec2(0.2, 0)}, dissipative);
    StaticState state = solver.initial(planar::VecQ::Zero(2));
    EXPECT_FALSE(solver.settle(0.01, state));
    EXPECT_EQ(state.q[0], 0) << "the driven coordinate too";
    EXPECT_EQ(state.q[1], 0);
    EXPECT_LT(solver.evaluations(), 500);
  }
}

TEST(StaticSolver, SettlesTheSameFlapWhereItsCoilIsKnown) {
  const Mechanism m = build_flap(0.3);
  StaticSolver solver(m, 0, {0, Vec2(0.2, 0)}, false);
  StaticState state = solver.initial(planar::VecQ::Zero(2));
  ASSERT_TRUE(solver.settle(0.01, state));
  EXPECT_EQ(state.q[0], 0.01);
  // Coil against weight: 0.3 - 0.5 q = 0.1 g 0.2 sin q.
  EXPECT_NEAR(0.3 - 0.5 * state.q[1], 0.1 * 9.80665 * 0.2 * std::sin(state.q[1]), 1e-9);
}

}  // namespace
}  // namespace leverwright::run
