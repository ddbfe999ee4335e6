// Every kind of drive against closed forms: force history, motion history (the force is the answer), a
// dropped weight, a finger of mass on spring and damper.
#include <gtest/gtest.h>

#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

constexpr double kPi = 3.14159265358979323846;

std::shared_ptr<const History> ramp(RampShape shape, double t0, double t1, double y0, double y1) {
  return std::make_shared<RampHistory>(shape, std::vector<double>{t0, t1}, std::vector<double>{y0, y1});
}

// A force that rises over T and stays: its impulse is half of what the whole height would give, by symmetry.
// Position: half cosine  (F / 2 m)(t^2 / 2 - (T / pi)^2 (1 - cos(pi t / T))),
//           quintic      (F / m) T^2 (x^5 / 2 - x^6 / 2 + x^7 / 7),  x = t / T,
//           straight     (F / m) t^3 / (6 T).
TEST(Drive, ForceHistoryOnAFreeWeight) {
  Weight w;
  w.gravity = 0;
  const Mechanism m = w.build();
  const double start = 0.013, rise = 0.037, force = 2.3;
  struct Case {
    std::shared_ptr<const History> history;
    double (*way)(double x);  // in units of F T^2 / m, at x = t / T <= 1
  };
  const Case cases[] = {
      {ramp(RampShape::kHalfCosine, start, start + rise, 0, force),
       [](double x) { return 0.25 * x * x - (1 - std::cos(kPi * x)) / (2 * kPi * kPi); }},
      {ramp(RampShape::kQuintic, start, start + rise, 0, force),
       [](double x) { return std::pow(x, 5) * (0.5 - 0.5 * x + x * x / 7); }},
      {std::make_shared<LinearHistory>(std::vector<double>{start, start + rise},
                                       std::vector<double>{0, force}),
       [](double x) { return x * x * x / 6; }},
  };
  for (const Case& c : cases) {
    Drive drive;
    drive.press(0, Vec2(0.02, 0.01), Vec2(0, 1), c.history);
    FineStroke stroke(m, drive, without_samples());
    auto x = still(m);
    x[0] = 0.1;
    stroke.start(0, x);
    const double unit = force * rise * rise / w.mass;
    for (const double share : {0.31, 0.74, 1.0}) {
      stroke.advance(start + share * rise);
      EXPECT_NEAR(stroke.state()[0] - 0.1, unit * c.way(share), 1e-10);
    }
    EXPECT_NEAR(stroke.state()[1], 0.5 * force * rise / w.mass, 1e-9);
    const double from = stroke.state()[0], speed = stroke.state()[1];
    stroke.advance(start + rise + 0.02);
    EXPECT_NEAR(stroke.state()[0], from + speed * 0.02 + 0.5 * force / w.mass * 4e-4, 1e-10);
    // Work put in is the kinetic energy.
    EXPECT_NEAR(stroke.audit().work, 0.5 * w.mass * std::pow(stroke.state()[1], 2), 1e-9);
  }
}

// A constant force at a point of a pendulum: the work is force times the way of the point along it.
TEST(Drive, ForceAtAPointOfATurningBody) {
  Pendulum p;
  const Mechanism m = p.build();
  const Vec2 r(0.031, -0.17), direction = Vec2(0.8, 0.6);
  Drive drive;
  drive.press(0, r, direction,
              std::make_shared<LinearHistory>(std::vector<double>{0}, std::vector<double>{0.9}));
  FineStroke stroke(m, drive, without_samples());
  auto x = still(m);
  x[0] = -0.4;
  stroke.start(0, x);
  stroke.advance(0.21);
  const double a = stroke.state()[0], omega = stroke.state()[1];
  const auto point = [&](double q) {
    return Vec2(std::cos(q) * r.x() - std::sin(q) * r.y(), std::sin(q) * r.x() + std::cos(q) * r.y());
  };
  const double work = 0.9 * direction.dot(point(a) - point(-0.4));
  EXPECT_GT(a, 0.1);
  EXPECT_NEAR(stroke.audit().work, work, 1e-10);
  const double lost_height = p.length * (std::cos(a) - std::cos(-0.4));
  EXPECT_NEAR(0.5 * p.inertia() * omega * omega, work + p.mass * p.gravity * lost_height, 1e-9);
}

// Motion in, force out: torque = I a + m g l sin q + k q + c v + S (sliding).
TEST(Drive, GivenMotionAnswersWithItsForce) {
  Pendulum p;
  p.spring = 0.21;
  const double c = 3e-3, dry = 8e-3;
  p.pivot = PivotFriction(dry, 0, c, 1e-4);
  const Mechanism m = p.build();
  const auto motion = ramp(RampShape::kQuintic, 0.02, 0.15, -0.2, 0.7);
  Drive drive;
  drive.move(0, motion);
  struct Watcher : MemoryRecorder {
    void on_sample(double t, const double* x, const Scratch& s) override {
      MemoryRecorder::on_sample(t, x, s);
      torque.push_back(s.prescribed_force);
    }
    std::vector<double> torque;
  } r;
  StrokeOptions o;
  o.output_interval = 1e-3;
  FineStroke stroke(m, drive, o);
  stroke.start(0, still(m), &r);
  stroke.advance(0.2);
  ASSERT_EQ(r.time.size(), 201u);
  int compared = 0;
  for (std::size_t k = 0; k < r.time.size(); ++k) {
    const Instant i = motion->at(r.time[k]);
    ASSERT_EQ(r.state(k)[0], i.value) << "the motion is followed to the bit";
    ASSERT_EQ(r.state(k)[1], i.rate);
    if (i.value + 0.2 < 2e-3) continue;  // the bristle is still bending
    if (i.rate < 1e-3) continue;
    const double torque = p.inertia() * i.second + p.weight_moment() * std::sin(i.value) +
                          p.spring * i.value + c * i.rate + dry;
    EXPECT_NEAR(r.torque[k], torque, 1e-7) << r.time[k];
    ++compared;
  }
  EXPECT_GT(compared, 90);
  // Work: stored plus lost.
  const EnergyAudit a = stroke.audit();
  const double stored = p.weight_moment() * (std::cos(-0.2) - std::cos(0.7)) + 0.5 * p.spring * (0.49 - 0.04);
  EXPECT_NEAR(a.stored_change, stored, 2e-6);  // and what little the bristle holds
  EXPECT_NEAR(a.work, a.stored_change + a.losses, 1e-8);
  EXPECT_GT(a.losses, 0.9 * dry * 0.9);
}

// A finger: a mass that rides over a key (here a weight on a spring-like floor) and presses it through its
// pad of linear stiffness k, damped as c F d_dot. At rest the pad carries the finger's force, F; a small
// swing on a fixed floor has frequency sqrt(k / m) and loses exp(-c F t / (2 m)).
TEST(Drive, FingerOnSpringAndDamper) {
  Weight finger;
  finger.mass = 0.19;
  finger.gravity = 0;
  const double k = 4.1e3, c = 1.7, force = 6.3;
  finger.floor = Cloth(k * 1e-3, 1e-3, 1.0, 0.0, c);
  const Mechanism m = finger.build();
  Drive drive;
  drive.press(0, Vec2(0, 0), Vec2(0, -1), ramp(RampShape::kQuintic, 0, 0.05, 0, force));
  FineStroke stroke(m, drive, without_samples());
  stroke.start(0, still(m));
  stroke.advance(4.0);
  EXPECT_NEAR(-stroke.state()[0], force / k, 1e-9);
  EXPECT_NEAR(stroke.scratch().normal[0], force, 1e-7);
  // Plucked by a little.
  auto x = stroke.state();
  const double pluck = 0.002 * force / k;
  x[0] -= pluck;
  Drive holds;
  holds.press(0, Vec2(0, 0), Vec2(0, -1),
              std::make_shared<LinearHistory>(std::vector<double>{0}, std::vector<double>{force}));
  FineStroke swings(m, holds, without_samples(1e-2));
  MemoryRecorder r;
  swings.watch(crossing("through rest", Crossing::kEither, false,
                        [&](double, const double* y) { return y[0] + force / k; }));
  swings.start(0, x, &r);
  swings.advance(0.2);
  const double decay = c * force / (2 * finger.mass), omega = std::sqrt(k / finger.mass - decay * decay);
  const auto through = times_of(r, "through rest");
  ASSERT_GE(through.size(), 4u);
  for (std::size_t i = 1; i < 4; ++i) EXPECT_NEAR((through[i] - through[i - 1]) * omega / kPi, 1, 2e-3) << i;
  const double t = 0.2, way = -pluck * std::exp(-decay * t) *
                              (std::cos(omega * t) + decay / omega * std::sin(omega * t));
  EXPECT_NEAR(swings.state()[0] + force / k, way, 4e-3 * pluck);
}

// Finger and key are two bodies: the pad's force accelerates both, momentum comes from the finger's force
// alone.
TEST(Drive, FingerPushesAFreeKey) {
  Mechanism m;
  Body key;
  key.name = "key";
  key.joint = Joint::kSlide;
  key.slide_direction = Vec2(0, -1);
  key.mass = 0.083;
  m.tree.add(key);
  Body finger = key;
  finger.name = "finger";
  finger.p_joint = Vec2(0, 1.5e-3);  // that far above the key
  finger.mass = 0.21;
  m.tree.add(finger);
  m.gravity = Vec2(0, 0);
  auto pad = std::make_unique<planar::TipOnLine>("pad", 0, Vec2(0, 0), Vec2(0, 1), 1, Vec2(0, 0), 0.0);
  pad->cloth = Cloth(4, 1e-3, 1.0, 0, 0.6);
  m.contacts.push_back(std::move(pad));
  m.finish();
  Drive drive;
  drive.press(1, Vec2(0, 0), Vec2(0, -1), ramp(RampShape::kHalfCosine, 0.01, 0.03, 0, 3.7));
  MemoryRecorder r;
  FineStroke stroke(m, drive, without_samples());
  auto x = still(m);
  x[2 + 1] = 0.11;  // the finger comes with some speed: a struck touch
  stroke.start(0, x, &r);
  stroke.advance(0.08);
  EXPECT_NEAR(r.first(EventKind::kCloses, "pad"), 1.5e-3 / 0.11, 2e-4) << "a little sooner, being pressed";
  const double impulse = 3.7 * (0.5 * 0.02 + 0.05);
  EXPECT_NEAR(key.mass * stroke.state()[2] + finger.mass * stroke.state()[3], finger.mass * 0.11 + impulse,
              1e-9);
  EXPECT_GT(stroke.state()[2], 0.3);
  EXPECT_LT(std::abs(stroke.audit().error()), 1e-7);
}

}  // namespace
}  // namespace leverwright::run
