// Motion without contacts against closed forms: pendulum, flight; order of the method.
#include <gtest/gtest.h>

#include <boost/math/special_functions/ellint_1.hpp>

#include "tests/sim/run/small_mechanisms.h"
#include "tests/support/order.h"

namespace leverwright::run {
namespace {

// T = 4 sqrt(I / (m g l)) K(sin(amplitude / 2)), K the complete elliptic integral of the first kind (e.g.
// Landau & Lifshitz, Mechanics, section 11).
TEST(FreeMotion, PendulumPeriodAtFiniteAmplitude) {
  Pendulum p;
  const Mechanism m = p.build();
  for (const double amplitude : {0.02, 0.6, 1.37}) {
    FineStroke stroke(m, kNoDrive, without_samples());
    stroke.watch(crossing("through the middle", Crossing::kEither, false,
                          [](double, const double* x) { return x[0]; }));
    MemoryRecorder r;
    auto x = still(m);
    x[0] = amplitude;
    stroke.start(0.3, x, &r);
    stroke.advance(5.3);
    const double period =
        4 * std::sqrt(p.inertia() / p.weight_moment()) * boost::math::ellint_1(std::sin(amplitude / 2));
    const auto at_middle = times_of(r, "through the middle");
    ASSERT_GE(at_middle.size(), 8u);
    for (std::size_t k = 0; k < at_middle.size(); ++k)
      EXPECT_NEAR((at_middle[k] - 0.3) / (period * (0.25 + 0.5 * static_cast<double>(k))), 1, 1e-9)
          << amplitude << " crossing " << k;
  }
}

// Dry friction takes the same from every half swing. From one turn to the next the weight moment gives
//   m g l (cos a_2 - cos a_1) = S (a_1 + a_2 - w)
// with w the way lost while the bristle goes over from one side to the other, two yield angles at most (a
// little more while it creeps up to its limit). For small swings and angles a_1 - a_2 = 2 S / (m g l): the
// textbook's straight line (e.g. [@denhartog]; from memory).
TEST(FreeMotion, DryPivotTakesTheSameFromEverySwing) {
  Pendulum p;
  const double level = 1.9e-3, yield = 5e-5;
  p.pivot = PivotFriction(level, 0, 0, yield);
  const Mechanism m = p.build();
  struct Turns : MemoryRecorder {
    void on_event(const Event& e, const double* x, const Scratch&) override {
      if (e.kind == EventKind::kCaller) angle.push_back(x[0]);
    }
    void on_step(double t, const double* x, const Scratch&) override {
      if (t < from) return;
      low = std::min(low, x[0]);
      high = std::max(high, x[0]);
    }
    std::vector<double> angle;
    double from = 1e9, low = 1e9, high = -1e9;  // range of the angle from that time on
  } turns;
  FineStroke stroke(m, kNoDrive, without_samples());
  stroke.watch(crossing("turns", Crossing::kEither, false, [](double, const double* x) { return x[1]; }));
  auto x = still(m);
  x[0] = 0.14;
  stroke.start(0, x, &turns);
  stroke.advance(12);
  const double k = p.weight_moment();
  ASSERT_GE(turns.angle.size(), 8u);
  std::size_t swings = 0;
  // The first entry is the start itself, where the bristle is still straight.
  for (std::size_t i = 2; i < turns.angle.size(); ++i) {
    const double a1 = std::abs(turns.angle[i - 1]), a2 = std::abs(turns.angle[i]);
    if (k * a2 < 2 * level) break;  // soon it stands
    const double lost = a1 + a2 - k * (std::cos(a2) - std::cos(a1)) / level;
    EXPECT_GT(lost, 0) << "never more than Coulomb's torque, swing " << i;
    EXPECT_LT(lost, 2.2 * yield) << "swing " << i;
    EXPECT_NEAR(a1 - a2, 2 * level / k, 5e-3 * 2 * level / k) << "a straight line, swing " << i;
    ++swings;
  }
  EXPECT_GE(swings, 8u);
  // At last it stands, off the middle by no more than friction can hold, trembling on its bent bristle (which
  // nothing damps here), and does not creep.
  const auto range_until = [&](double t) {
    turns.from = stroke.t();
    turns.low = 1e9;
    turns.high = -1e9;
    stroke.advance(t);
  };
  range_until(13);
  const double low = turns.low, high = turns.high;
  EXPECT_LT(std::abs(k * std::sin(0.5 * (low + high))), level);
  EXPECT_LT(high - low, yield);
  range_until(40);
  range_until(41);
  EXPECT_NEAR(turns.low, low, 1e-3 * yield);
  EXPECT_NEAR(turns.high, high, 1e-3 * yield);
}

// c against I: amplitude falls as exp(-c t / (2 I)); a coil spring makes the swing isochronous.
TEST(FreeMotion, ViscousPivotDampsExponentially) {
  Pendulum p;
  p.gravity = 0;
  p.spring = 0.83;
  const double c = 1.7e-3;
  p.pivot = PivotFriction(0, 0, c, 1e-3);
  const Mechanism m = p.build();
  FineStroke stroke(m, kNoDrive, without_samples());
  auto x = still(m);
  x[0] = 0.31;
  stroke.start(0, x);
  const double decay = c / (2 * p.inertia()), omega = std::sqrt(p.spring / p.inertia() - decay * decay);
  for (const double t : {0.37, 1.21, 2.9}) {
    stroke.advance(t);
    const double phase = omega * t;
    EXPECT_NEAR(stroke.state()[0],
                0.31 * std::exp(-decay * t) * (std::cos(phase) + decay / omega * std::sin(phase)), 1e-8);
  }
}

TEST(FreeMotion, FlightIsAParabola) {
  Weight w;
  w.gravity = 9.7;
  const Mechanism m = w.build();
  MemoryRecorder r;
  StrokeOptions o;
  o.output_interval = 7e-4;
  FineStroke stroke(m, kNoDrive, o);
  const double v0 = 1.37, h0 = 0.021;
  stroke.watch(crossing("top", Crossing::kFalling, true, [](double, const double* x) { return x[1]; }));
  stroke.watch(
      crossing("level", Crossing::kFalling, true, [h0](double, const double* x) { return x[0] - h0; }));
  auto x = still(m);
  x[0] = h0;
  x[1] = v0;
  stroke.start(0.1, x, &r);
  stroke.advance(0.39);
  for (std::size_t k = 0; k < r.time.size(); ++k) {
    const double t = r.time[k] - 0.1;
    ASSERT_NEAR(r.state(k)[0], h0 + v0 * t - 0.5 * w.gravity * t * t, 1e-13);
    ASSERT_NEAR(r.state(k)[1], v0 - w.gravity * t, 1e-12);
  }
  EXPECT_NEAR(r.first(EventKind::kCaller, "top"), 0.1 + v0 / w.gravity, 1e-12);
  EXPECT_NEAR(r.first(EventKind::kCaller, "level"), 0.1 + 2 * v0 / w.gravity, 1e-12);
}

// Smooth motion in steps of one length: the step is of fourth order (sim/run/rk43.h). A strong pull makes the
// pendulum fast enough for the error to stand out of the rounding. Reference: steps eight times shorter.
TEST(FreeMotion, OrderOnSmoothMotionIsFour) {
  Pendulum p;
  p.gravity = 4e5;
  p.pivot = PivotFriction(0, 0, 2e-2, 1e-3);
  const Mechanism m = p.build();
  const auto end = [&](double h) {
    FineStroke stroke(m, kNoDrive, fixed_steps(h));
    auto x = still(m);
    x[0] = 1.1;
    stroke.start(0, x);
    stroke.advance(0.0192);
    return stroke.state();
  };
  const double h = 4.8e-5;  // not above the first step after a start
  const auto exact = end(h / 8);
  std::vector<double> error;
  for (int k = 0; k < 3; ++k) error.push_back(std::abs(end(h / (1 << k))[0] - exact[0]));
  EXPECT_TRUE(support::order_is(error, 4, 0.25, 1e-12));
}

// The error control does what it promises: the error follows the tolerance.
TEST(FreeMotion, FinerToleranceGivesLessError) {
  Pendulum p;
  p.gravity = 4e5;
  const Mechanism m = p.build();
  const double period =
      4 * std::sqrt(p.inertia() / p.weight_moment()) * boost::math::ellint_1(std::sin(1.1 / 2));
  double error[3];
  const double tolerance[3] = {1e4, 1e2, 1};
  for (int k = 0; k < 3; ++k) {
    FineStroke stroke(m, kNoDrive, without_samples(tolerance[k]));
    auto x = still(m);
    x[0] = 1.1;
    stroke.start(0, x);
    stroke.advance(4.25 * period);
    error[k] = std::abs(stroke.state()[0]);
  }
  EXPECT_LT(error[1], 0.1 * error[0]);
  EXPECT_LT(error[2], 0.1 * error[1]);
}

}  // namespace
}  // namespace leverwright::run
