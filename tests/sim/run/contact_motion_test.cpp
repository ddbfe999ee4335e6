// A weight on cloth against closed forms: fall, greatest compression, time of contact, rebound; order of the
// method through a contact.
#include <gtest/gtest.h>

#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include "tests/sim/run/small_mechanisms.h"
#include "tests/support/order.h"

namespace leverwright::run {
namespace {

constexpr double kPi = 3.14159265358979323846;

// Root of a function that changes sign between a and b.
template <class F>
double root(F f, double a, double b) {
  std::uintmax_t n = 200;
  const auto r = boost::math::tools::toms748_solve(f, a, b, boost::math::tools::eps_tolerance<double>(50), n);
  return 0.5 * (r.first + r.second);
}

struct Bounce {
  double closes = 0, opens = 0, out_speed = 0, deepest = 0, peak = 0;
};

// Comes down on the floor at the given speed, once.
Bounce bounce(const Weight& w, double speed, double height = 1e-3, double tolerance = 1.0) {
  const Mechanism m = w.build();
  struct Watcher : MemoryRecorder {
    void on_event(const Event& e, const double* x, const Scratch& s) override {
      if (e.kind == EventKind::kCloses) out.closes = e.t;
      if (e.kind == EventKind::kOpens) {
        out.opens = e.t;
        out.out_speed = x[1];
      }
      if (e.kind == EventKind::kCaller) {
        out.deepest = -x[0];
        out.peak = s.normal[0];
      }
    }
    Bounce out;
  } r;
  FineStroke stroke(m, kNoDrive, without_samples(tolerance));
  stroke.watch(crossing("turns", Crossing::kRising, true, [](double, const double* x) { return x[1]; }));
  auto x = still(m);
  x[0] = height;
  x[1] = -speed;
  stroke.start(0, x, &r);
  for (int k = 1; k < 1000 && r.out.opens == 0; ++k) stroke.advance(1e-3 * k);
  return r.out;
}

// Without losses: m g (h + d) = k d^(p+1) / (p+1) at the deepest; it comes back as fast as it came.
TEST(ContactMotion, DroppedWeightSinksAsFarAsItsEnergyAllows) {
  Weight w;
  const double height = 13e-3, p = w.floor.exponent();
  const Bounce b = bounce(w, 0.0, height);
  EXPECT_NEAR(b.closes, std::sqrt(2 * height / w.gravity), 1e-10);
  const double deepest = root(
      [&](double d) { return w.floor.elastic_force(d) * d / (p + 1) - w.mass * w.gravity * (height + d); },
      1e-5, 1e-2);
  EXPECT_NEAR(b.deepest, deepest, 1e-7 * deepest);
  EXPECT_NEAR(b.peak, w.floor.elastic_force(deepest), 1e-6 * b.peak);
  EXPECT_NEAR(b.out_speed, std::sqrt(2 * w.gravity * height), 1e-6 * b.out_speed);
}

// Without gravity the contact lasts 2 (d_m / v) int_0^1 ds / sqrt(1 - s^(p+1))
//   = 2 (d_m / v) sqrt(pi) G(1 + 1/(p+1)) / G(1/2 + 1/(p+1)),   d_m^(p+1) = (p+1) m v^2 / (2 k)
// (Hertz's impact with a general exponent; e.g. [@johnson1985], section 11.4 for p = 3/2).
TEST(ContactMotion, TimeOfContactOfAnElasticBlow) {
  for (const double p : {1.5, 2.3, 3.0})
    for (const double speed : {0.13, 2.7}) {
      Weight w;
      w.gravity = 0;
      w.floor = Cloth(31, 0.9e-3, p, 0, 0);
      const Bounce b = bounce(w, speed);
      const double stiffness = w.floor.elastic_force(1e-3) / std::pow(1e-3, p);
      const double deepest = std::pow((p + 1) * w.mass * speed * speed / (2 * stiffness), 1 / (p + 1));
      const double lasts = 2 * deepest / speed * std::sqrt(kPi) * boost::math::tgamma(1 + 1 / (p + 1)) /
                           boost::math::tgamma(0.5 + 1 / (p + 1));
      EXPECT_NEAR((b.opens - b.closes) / lasts, 1, 1e-6) << p << " " << speed;
      EXPECT_NEAR(b.deepest / deepest, 1, 1e-6);
      // The error control allows this weight some 1e-6 m/s per step.
      EXPECT_NEAR(b.out_speed, speed, 1e-5);
      const Bounce fine = bounce(w, speed, 1e-3, 1e-2);
      EXPECT_NEAR(fine.out_speed, speed, 3e-7);
    }
}

// [@hunt1975]: with F = F_e (1 + c ddot) the way of the speed over the
// compression separates, v dv / (1 + c v) = -F_e dd / m, so in and out
//   v0 / c - ln(1 + c v0) / c^2 = -v1 / c - ln(1 - c v1) / c^2     whatever the exponent.
TEST(ContactMotion, RestitutionOfTheViscousPart) {
  for (const double c : {0.08, 0.6})
    for (const double speed : {0.21, 1.9}) {
      Weight w;
      w.gravity = 0;
      w.floor = Cloth(25, 1.3e-3, 2.5, 0, c);
      const double in = speed / c - std::log1p(c * speed) / (c * c);
      const double expected = root([&](double v) { return -v / c - std::log1p(-c * v) / (c * c) - in; }, 1e-6,
                                   std::min(speed, (1 - 1e-12) / c));
      EXPECT_LT(expected, 0.99 * speed);
      EXPECT_NEAR(bounce(w, speed).out_speed / expected, 1, 1e-6) << c << " " << speed;
    }
}

// Rate-independent hysteresis: the share of energy given back depends on eta and p alone. Loading from a
// straight start keeps to (1 + eta) F_e. Unloading from there the memory rests until zeta = -kBreak, then
// follows d d0 / dd = r_unload (|zeta| - kBreak) / (1 - kBreak); the work given back is
//   int F dd = (1 + kappa) U(d_m) - kappa int F_e(d0) dd,
// here by steps over d / d_m in the units F_e(d_m), d_m: no mass, no time.
double share_given_back(double eta, double p) {
  const double kappa = Cloth::kKappa, rest = Cloth::kBreak;
  const double r_load = std::pow(1 - eta / kappa, 1 / p), r_unload = std::pow(1 + eta / kappa, 1 / p);
  const auto rate = [&](double d, double d0) {
    const double zeta = kappa * (1 - std::pow(d0 / d, p)) / eta;
    return zeta < -rest ? r_unload * std::min(1.0, (-zeta - rest) / (1 - rest)) : 0.0;
  };
  // Turning point: zeta = -rest with d0 = r_load.
  const double turn = r_load / std::pow(1 + rest * eta / kappa, 1 / p);
  double memory_work = std::pow(r_load, p) * (1 - turn);
  const int n = 200000;
  double d = turn, d0 = r_load;
  const double h = turn / n * (1 - 1e-9);
  for (int k = 0; k < n; ++k) {  // classical Runge-Kutta downwards
    const double k1 = rate(d, d0), k2 = rate(d - h / 2, d0 - h / 2 * k1);
    const double k3 = rate(d - h / 2, d0 - h / 2 * k2), k4 = rate(d - h, d0 - h * k3);
    const double next = std::max(0.0, d0 - h / 6 * (k1 + 2 * k2 + 2 * k3 + k4));
    memory_work += h * 0.5 * (std::pow(d0, p) + std::pow(next, p));
    d0 = next;
    d -= h;
  }
  const double given_back = (1 + kappa) / (p + 1) - kappa * memory_work;
  return given_back / ((1 + eta) / (p + 1));
}

TEST(ContactMotion, RestitutionOfHysteresisIsTheSameAtEverySpeed) {
  for (const double eta : {0.1, 0.35})
    for (const double p : {2.5, 3.0}) {
      const double share = share_given_back(eta, p);
      EXPECT_GT(share, (1 - eta) / (1 + eta)) << "the least a full loop gives back";
      EXPECT_LT(share, 1 - eta / 2);
      for (const double speed : {0.05, 0.7, 4.1}) {
        Weight w;
        w.gravity = 0;
        w.floor = Cloth(25, 1.3e-3, p, eta, 0);
        EXPECT_NEAR(bounce(w, speed, 1e-3, 1e-3).out_speed / (std::sqrt(share) * speed), 1, 1e-5)
            << eta << " " << p << " " << speed;
      }
    }
}

// Through a contact in steps of one length. The closing is located and the step ends there, but the force
// starts as t^p: its derivatives from the third on are infinite, so the first step into the cloth (and the
// last one out of it) errs by h^(p + 1) in speed, one such step each, and the order is p + 1 = 3.5 at p = 2.5
// instead of 4. With hysteresis the memory bends where the cloth turns and where zeta passes kBreak, inside
// steps: d0 errs by h^2 there, once each, the speed by that times the time left: the order is about two, and
// how the bends fall into the steps makes it scatter.
double mean_order(const Weight& w, double coarsest, int halvings) {
  const Mechanism m = w.build();
  const auto out_speed = [&](double h, double shift) {
    FineStroke stroke(m, kNoDrive, fixed_steps(h));
    auto x = still(m);
    x[0] = 1e-3 + shift;
    x[1] = -1.3;
    stroke.start(0, x);
    stroke.advance(10e-3);
    return stroke.state()[1];
  };
  // Mean over starts a little apart, so that the bends fall everywhere in the steps.
  double first = 0, last = 0;
  for (int k = 0; k < 12; ++k) {
    const double shift = 1.7e-6 * k;
    const double exact = out_speed(coarsest / (1 << (halvings + 4)), shift);
    first += std::abs(out_speed(coarsest, shift) - exact);
    last += std::abs(out_speed(coarsest / (1 << halvings), shift) - exact);
  }
  return support::observed_order(first, last, halvings);
}

TEST(ContactMotion, OrderThroughAnElasticContactIsOneMoreThanTheExponent) {
  Weight w;
  w.gravity = 0;
  for (const double p : {1.5, 2.5}) {
    w.floor = Cloth(25, 1.3e-3, p, 0, 0);
    const double order = mean_order(w, 4.8e-5, 3);
    RecordProperty("order_p_" + std::to_string(static_cast<int>(10 * p)), std::to_string(order));
    EXPECT_GT(order, p + 0.7) << p;
    EXPECT_LT(order, p + 1.8) << p << ": the coarsest steps still feel the method's own fifth order";
  }
}

TEST(ContactMotion, OrderThroughAHystereticContactIsTwo) {
  Weight w;
  w.gravity = 0;
  w.floor = Cloth(25, 1.3e-3, 2.5, 0.2, 0);
  const double order = mean_order(w, 4.8e-5, 3);
  RecordProperty("order", std::to_string(order));
  EXPECT_NEAR(order, 2, 0.5);
}

// Bounces that follow ever faster: with restitution e the whole takes
//   t_1 + 2 t_1 e / (1 - e)        t_1 the first fall (times of contact left out)
// and ends; the guard against tiny bounces keeps the number of restarts small. What is left is a swing inside
// the cloth's elastic range, which the viscous part takes in the end.
TEST(ContactMotion, EndlessSmallBouncesEnd) {
  Weight w;
  w.floor = Cloth(400, 0.2e-3, 2.5, 0.3, 0.05);
  const Mechanism m = w.build();
  FineStroke stroke(m, kNoDrive, without_samples());
  auto x = still(m);
  x[0] = 5e-3;
  MemoryRecorder r;
  stroke.start(0, x, &r);
  stroke.advance(3);
  EXPECT_LT(std::abs(stroke.state()[1]), 1e-3) << "next to nothing of 0.3 m/s";
  EXPECT_GT(r.events.size(), 6u);
  EXPECT_LT(stroke.statistics().restarts, 60);
  EXPECT_LT(stroke.statistics().steps, 20000);
  // It lies where the floor carries it, between loading and unloading.
  const double weight = w.mass * w.gravity, lies = -stroke.state()[0];
  EXPECT_GT(lies, w.floor.compression(weight / 1.3));
  EXPECT_LT(lies, w.floor.compression(weight / 0.7));
}

}  // namespace
}  // namespace leverwright::run
