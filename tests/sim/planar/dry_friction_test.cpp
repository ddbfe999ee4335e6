// Dry friction: sticks for ever below break-away, slides at mu N, creates no energy whatever the normal force
// does.
#include "sim/planar/dry_friction.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "tests/sim/planar/random_tree.h"
#include "tests/support/jacobian.h"

namespace leverwright::planar {
namespace {

DryFriction random_friction(Draw& draw) {
  return DryFriction(draw.in(0.08, 0.6), std::exp(draw.in(std::log(0.1), std::log(3))), draw.in(1, 3.5),
                     draw.in(1e-6, 2e-5), draw.in(0, 4e-4));
}

PivotFriction random_pivot(Draw& draw) {
  return PivotFriction(draw.in(0, 2e-3), draw.in(0, 4e-4), draw.in(0, 1e-4), draw.in(1e-3, 2e-2));
}

// A block of 50 g on the surface, pulled by a force laid on over half a second: where it is at 1, 2 and 3 s.
struct Pulled {
  double at[3];
};
Pulled pull(const DryFriction& f, NormalLoad press, double share) {
  double x = 0, v = 0, u = 0;
  const double mass = 0.05, full = share * f.mu() * press.force, h = 5e-6;
  Pulled out{};
  constexpr int kPerSecond = 200000;
  for (int k = 0; k < 3 * kPerSecond; ++k) {
    const double force = full * std::min(1.0, h * k / 0.5);
    const auto a = f.calc(press, {}, v, u);
    const double v_half = v + h / 2 * (force - a.force) / mass;
    const auto b = f.calc(press, {}, v_half, u + h / 2 * a.rate_u);
    x += h * v_half;
    v += h * (force - b.force) / mass;
    u += h * b.rate_u;
    if ((k + 1) % kPerSecond == 0) out.at[k / kPerSecond] = x;
  }
  return out;
}

TEST(DryFriction, SticksForEverBelowBreakAwayAndLeavesAbove) {
  Draw draw(61);
  for (int k = 0; k < 3; ++k) {
    const DryFriction f(draw.in(0.15, 0.5), draw.in(0.3, 1), 2.5, draw.in(3e-6, 1e-5), 2e-4);
    const NormalLoad press{draw.in(0.5, 5), draw.in(1e-4, 4e-4)};
    const double z = f.yield_displacement(press.depth);
    for (const double share : {0.3, 0.7, 0.95, 0.99}) {
      const Pulled p = pull(f, press, share);
      EXPECT_NEAR(p.at[2], p.at[1], (share > 0.98 ? 3e-2 : 1e-3) * z) << "share " << share;
      // What still moves dies away: a leak would go on at the same rate.
      EXPECT_LT(std::abs(p.at[2] - p.at[1]), 0.5 * std::abs(p.at[1] - p.at[0]) + 1e-12) << "share " << share;
      EXPECT_LT(p.at[2], 8 * z);
    }
    EXPECT_GT(pull(f, press, 1.03).at[2], 1e-2);
  }
}

TEST(DryFriction, SlidesWithCoulombsForce) {
  Draw draw(62);
  for (int k = 0; k < 500; ++k) {
    const DryFriction f = random_friction(draw);
    const double normal = draw.in(0.01, 20), v = draw.in(-1, 1);
    const double u = v > 0 ? 1 : -1;
    const auto r = f.calc({normal, draw.in(1e-5, 1e-3)}, {}, v, u);
    EXPECT_NEAR(r.force, u * f.mu() * normal, 1e-12 * normal);
    EXPECT_NEAR(r.rate_u, 0, 1e-9);
    EXPECT_NEAR(r.loss, f.mu() * normal * std::abs(v), 1e-12 * normal);
    // Never more than mu times what it bears just now.
    const double borne = draw.in(0, 1);
    const auto less = f.calc({normal, draw.in(1e-5, 1e-3)}, {}, v, u, borne);
    EXPECT_NEAR(less.force, u * f.mu() * borne * normal, 1e-12 * normal);
    EXPECT_NEAR(less.loss, f.mu() * borne * normal * std::abs(v), 1e-12 * normal);
  }
}

// dE/dt = T v - D with E from its own formula, for rising and falling normal force; D is never negative.
TEST(DryFriction, EnergyBalanceHoldsAtEveryInstant) {
  Draw draw(63);
  for (int k = 0; k < 20000; ++k) {
    const DryFriction f = random_friction(draw);
    const double normal = draw.in(0.05, 10), rate = draw.in(-500, 500), v = draw.in(-0.1, 0.1),
                 u = draw.in(-0.95, 0.95);  // the differences stay within the range
    // Force and depth need not rise together: a factor that changes on the way acts on both.
    const double depth = draw.in(2e-5, 1e-3), deepens = draw.in(-0.05, 0.05);
    const double borne =
        k % 3 == 0 ? draw.in(0, 1) : 1.0;  // cloth that springs back slower than it is let go
    const auto r = f.calc({normal, depth}, {rate, deepens}, v, u, borne);
    EXPECT_GE(r.loss, 0);
    const auto energy = [&](double t) {
      return f.stored({normal + t * rate, depth + t * deepens}, u + t * r.rate_u);
    };
    const double claimed = r.force * v - r.loss;
    if (std::abs(claimed) < 1e-7) {  // [W], nearly all of it slides: a share of nothing says nothing
      EXPECT_NEAR((energy(1e-7) - energy(-1e-7)) / 2e-7, claimed, 1e-8) << k;
      continue;
    }
    EXPECT_TRUE(support::slope_agrees(energy, 0, claimed, 1e-7, 1e-6)) << k;
  }
}

// A cloth that bears n newtons: 0.4 mm at 5 N.
NormalLoad on_cloth(double n, double p) { return {n, 0.4e-3 * std::pow(n / 5, 1 / p)}; }

// Shear stiffness is the stated share of the normal stiffness of the cloth, at every load: half of what it
// takes to bend the stuck surface a little is stored, k_t z^2 / 2.
TEST(DryFriction, ShearStiffnessIsAShareOfTheNormalStiffness) {
  Draw draw(68);
  for (int k = 0; k < 200; ++k) {
    const double p = draw.in(1, 3.5), share = draw.in(0.2, 1.5), n = draw.in(0.05, 80),
                 mu = draw.in(0.1, 0.5);
    const DryFriction f(mu, share, p, 1e-12, 0);
    const double stiffness = p * n / on_cloth(n, p).depth,
                 slip = 0.01 * f.yield_displacement(on_cloth(n, p).depth);
    const double u = f.step_state(on_cloth(n, p), on_cloth(n, p), slip, 0);
    EXPECT_NEAR(mu * n * u / slip / stiffness, share, 1e-6 * share);
    EXPECT_NEAR(f.stored(on_cloth(n, p), u), 0.5 * share * stiffness * slip * slip,
                1e-5 * f.stored(on_cloth(n, p), u));
  }
}

// Slip and normal force led at random along straight lines and back to the start, thousands of cycles.
RC_GTEST_PROP(DryFrictionCycles, CreateNoEnergy, ()) {
  Draw draw(*rc::gen::arbitrary<unsigned>());
  const DryFriction f = random_friction(draw);
  const double n_start = draw.in(0.2, 5);
  double n = n_start, x = 0, u = draw.in(-0.9, 0.9), work = 0, loss = 0;
  // A cloth with p = 2, for speed: depth goes with the root of the force.
  const auto bearing = [](double force) { return NormalLoad{force, 0.4e-3 * std::sqrt(force / 5)}; };
  const auto growing = [&](double force, double rate) {
    return NormalLoad{rate, 0.5 * bearing(force).depth * rate / force};
  };
  const auto go = [&](double n_to, double x_to, double time) {
    const int steps = 2000;
    const double h = time / steps, rate = (n_to - n) / time, v = (x_to - x) / time;
    for (int k = 0; k < steps; ++k) {
      const auto at = [&](double t, double uu) {
        return f.calc(bearing(n + rate * t), growing(n + rate * t, rate), v, uu);
      };
      const double t = h * k;
      const auto a = at(t, u), b = at(t + h / 2, u + h / 2 * a.rate_u),
                 c = at(t + h / 2, u + h / 2 * b.rate_u), e = at(t + h, u + h * c.rate_u);
      u += h / 6 * (a.rate_u + 2 * b.rate_u + 2 * c.rate_u + e.rate_u);
      work += h / 6 * v * (a.force + 2 * b.force + 2 * c.force + e.force);
      loss += h / 6 * (a.loss + 2 * b.loss + 2 * c.loss + e.loss);
    }
    n = n_to;
    x = x_to;
  };
  const double reach = 3 * f.yield_displacement(0.4e-3);
  for (int cycle = 0; cycle < 10; ++cycle) {
    const double before = f.stored(bearing(n), u), work_before = work, loss_before = loss;
    for (int leg = draw.whole(2, 5); leg > 0; --leg)
      go(draw.in(0.05, 5), draw.in(-reach, reach), draw.in(0.01, 0.2));
    go(n_start, 0, draw.in(0.01, 0.2));
    const double size = f.mu() * 5 * reach, put_in = work - work_before,
                 stored = f.stored(bearing(n), u) - before;
    RC_ASSERT(loss >= loss_before);
    RC_ASSERT(std::abs(u) <= 1.0 + 1e-6);
    RC_ASSERT(put_in >= stored - 1e-5 * size);
    RC_ASSERT(std::abs(put_in - stored - (loss - loss_before)) < 1e-5 * size);
  }
}

RC_GTEST_PROP(DryFrictionCycles, QuasiStaticStepsCreateNoEnergy, ()) {
  Draw draw(*rc::gen::arbitrary<unsigned>());
  const DryFriction f = random_friction(draw);
  NormalLoad at{draw.in(0.2, 5), draw.in(1e-5, 1e-3)};
  double u = draw.in(-1, 1);
  for (int k = 0; k < 200; ++k) {
    const NormalLoad next{draw.in(0.05, 5), draw.in(1e-5, 1e-3)};
    const double slip = draw.in(-2, 2) * f.yield_displacement(at.depth);
    const double before = f.stored(at, u), u_new = f.step_state(at, next, slip, u);
    const double work =
        f.mu() * next.force * u_new * slip;  // force at the end of the step, as the solver has it
    RC_ASSERT(std::abs(u_new) <= 1);
    RC_ASSERT(f.stored(next, u_new) - before <= work + 1e-15);
    at = next;
    u = u_new;
  }
}

// The quasi-static step takes the corner sharply, the moving law rounds it: a straight pull from rest differs
// by exp(-1)/2 = 0.184 of the friction force at most, a to and fro by about a quarter; both slide with |u| =
// 1 in the end.
TEST(DryFriction, QuasiStaticStepIsTheSlowLimitUpToTheRoundedCorner) {
  Draw draw(64);
  double worst = 0;
  for (int k = 0; k < 30; ++k) {
    const DryFriction f = random_friction(draw);
    const NormalLoad press{draw.in(0.2, 5), draw.in(5e-5, 6e-4)};
    const double z = f.yield_displacement(press.depth);
    double slow = 0, stepped = 0;
    for (int leg = 0; leg < 20; ++leg) {
      const double slip = draw.in(-3, 3) * z;
      const int steps = 3000;
      for (int i = 0; i < steps; ++i) {
        const double v = slip > 0 ? 1e-4 : -1e-4, h = std::abs(slip) / 1e-4 / steps;
        const auto a = f.calc(press, {}, v, slow);
        slow += h * f.calc(press, {}, v, slow + h / 2 * a.rate_u).rate_u;
        stepped = f.step_state(press, press, slip / steps, stepped);
        worst = std::max(worst, std::abs(slow - stepped));
      }
    }
    for (int i = 0; i < 4000; ++i) {
      slow += 0.002 * z / 1e-4 * f.calc(press, {}, 1e-4, slow).rate_u;
      stepped = f.step_state(press, press, 0.002 * z, stepped);
    }
    EXPECT_NEAR(stepped, 1, 1e-12);
    EXPECT_NEAR(slow, 1, 1e-5);
  }
  RecordProperty("worst_difference_of_u", std::to_string(worst));
  EXPECT_LT(worst, 0.12);
  EXPECT_GT(worst, 0.06);
}

TEST(DryFriction, QuasiStaticStoredRateIsTheSlopeOfTheStoredEnergy) {
  Draw draw(65);
  for (int k = 0; k < 5000; ++k) {
    const DryFriction f = random_friction(draw);
    const double normal = draw.in(0.05, 5), rate = draw.in(-3, 3), slip = draw.in(-2e-4, 2e-4);
    const double depth = draw.in(2e-5, 1e-3), deepens = draw.in(-3e-4, 3e-4);
    const bool sliding = draw.in(0, 1) < 0.3;
    const double u = sliding ? (slip > 0 ? 1 : -1) : draw.in(-0.98, 0.98);
    const double h = 1e-7;
    // One-sided differences of second order: the law is one thing ahead of the path, another behind.
    const auto ahead = [&](double t) {
      const NormalLoad to{normal + t * rate, depth + t * deepens};
      return f.stored(to, f.step_state({normal, depth}, to, slip * t, u));
    };
    const double measured = (-3 * ahead(0) + 4 * ahead(h) - ahead(2 * h)) / (2 * h);
    const double claimed = f.quasi_static_stored_rate({normal, depth}, {rate, deepens}, slip, u);
    const double size = f.mu() * (normal * (std::abs(slip) + std::abs(deepens)) +
                                  std::abs(rate) * f.yield_displacement(depth));
    EXPECT_NEAR(measured, claimed, 3e-5 * size) << "u " << u << " rate " << rate;
  }
}

TEST(DryFriction, StateSurvivesOpeningAndFades) {
  const DryFriction f(0.3, 0.5, 2.5, 5e-6, 2e-4);
  const auto open = f.calc({0, -1e-5}, {-3, -1e-3}, 0.2, 0.8);
  EXPECT_EQ(open.force, 0);
  EXPECT_NEAR(open.rate_u, -0.8 / DryFriction::kRecovery, 1e-9);
  EXPECT_LT(std::abs(f.calc({1e-9, 1e-8}, {1, 0.1}, 0.2, 0.8).force), 1e-8);  // no jump on closing
  EXPECT_EQ(f.step_state({2, 3e-4}, {0, 0}, 1e-5, 0.8), 0);
}

TEST(PivotFriction, EnergyBalanceHoldsAtEveryInstant) {
  Draw draw(66);
  for (int k = 0; k < 10000; ++k) {
    const PivotFriction p = random_pivot(draw);
    const double lagged = draw.in(0, 5), reaction = draw.in(0, 5), omega = draw.in(-5, 5), u = draw.in(-1, 1);
    const auto r = p.calc(reaction, lagged, omega, u);
    EXPECT_GE(r.loss_dry, 0);
    EXPECT_NEAR(r.loss_viscous, p.viscous() * omega * omega, 1e-15);
    const auto energy = [&](double t) {
      return 1e3 * p.stored(lagged + t * r.rate_reaction, u + t * r.rate_u);
    };
    EXPECT_TRUE(
        support::slope_agrees(energy, 0, 1e3 * (r.torque * omega - r.loss_dry - r.loss_viscous), 1e-7, 1e-6));
  }
}

TEST(PivotFriction, TurnsAtItsLevel) {
  Draw draw(67);
  for (int k = 0; k < 300; ++k) {
    const PivotFriction p = random_pivot(draw);
    const double reaction = draw.in(0, 5);
    EXPECT_NEAR(p.calc(reaction, reaction, 2.0, 1.0).torque,
                p.coulomb() + p.load_radius() * reaction + 2 * p.viscous(), 1e-15);
    EXPECT_EQ(p.step_state(reaction, reaction, 3 * p.yield_angle(), -0.7), 1.0);
    EXPECT_NEAR(p.step_state(reaction, reaction, 0.3 * p.yield_angle(), -0.7), -0.4, 1e-12);
  }
}

RC_GTEST_PROP(PivotFrictionCycles, QuasiStaticStepsCreateNoEnergy, ()) {
  Draw draw(*rc::gen::arbitrary<unsigned>());
  const PivotFriction p = random_pivot(draw);
  double reaction = draw.in(0, 5), u = draw.in(-1, 1);
  for (int k = 0; k < 200; ++k) {
    const double next = draw.in(0, 5), turn = draw.in(-2, 2) * p.yield_angle();
    const double before = p.stored(reaction, u), u_new = p.step_state(reaction, next, turn, u);
    RC_ASSERT(p.stored(next, u_new) - before <= p.level(next) * u_new * turn + 1e-15);
    u = u_new;
    reaction = next;
  }
}

}  // namespace
}  // namespace leverwright::planar
