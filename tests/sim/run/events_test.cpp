// Events: where they are found, which of them count, and that watching or sampling changes nothing.
#include <gtest/gtest.h>

#include <cstring>

#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

// A swing a sin(omega t) of known frequency: a coil spring without gravity.
struct Swing {
  Swing() {
    p.gravity = 0;
    p.spring = 2.9;
    model = p.build();
    x = still(model);
    x[1] = 0.8 * p.natural();
  }
  double time_of(double angle) const { return std::asin(angle / 0.8) / p.natural(); }
  double half_period() const { return 3.14159265358979323846 / p.natural(); }
  Pendulum p;
  Mechanism model;
  std::vector<double> x;
};

TEST(Events, AreLocatedToTheirClosedForm) {
  const Swing s;
  FineStroke stroke(s.model, kNoDrive, without_samples());
  const double level = 0.37;
  const auto above = [level](double, const double* x) { return x[0] - level; };
  stroke.watch(crossing("up", Crossing::kRising, false, above));
  stroke.watch(crossing("down", Crossing::kFalling, false, above));
  stroke.watch(crossing("either", Crossing::kEither, false, above));
  stroke.watch(crossing("once", Crossing::kFalling, true, above));
  stroke.watch(
      crossing("half past", Crossing::kRising, true, [](double t, const double*) { return t - 0.0505; }));
  MemoryRecorder r;
  stroke.start(0, s.x, &r);
  const double periods = 3.25;
  stroke.advance(periods * 2 * s.half_period());
  const double first = s.time_of(level), half = s.half_period();
  const auto up = times_of(r, "up"), down = times_of(r, "down"), either = times_of(r, "either");
  ASSERT_EQ(up.size(), 4u);
  ASSERT_EQ(down.size(), 3u);
  for (std::size_t k = 0; k < 4; ++k) EXPECT_NEAR(up[k], first + 2 * half * static_cast<double>(k), 1e-9);
  for (std::size_t k = 0; k < 3; ++k)
    EXPECT_NEAR(down[k], half - first + 2 * half * static_cast<double>(k), 1e-9);
  EXPECT_EQ(either.size(), 7u);
  ASSERT_EQ(times_of(r, "once").size(), 1u);
  EXPECT_EQ(times_of(r, "once")[0], down[0]);
  EXPECT_NEAR(times_of(r, "half past")[0], 0.0505, 1e-12);
  for (std::size_t k = 1; k < r.events.size(); ++k) EXPECT_LE(r.events[k - 1].t, r.events[k].t);
  EXPECT_EQ(stroke.statistics().events, static_cast<long>(r.events.size()));
}

TEST(Events, OneThatEndsTheRunEndsItThere) {
  const Swing s;
  FineStroke stroke(s.model, kNoDrive, without_samples());
  EventFunction e =
      crossing("end", Crossing::kRising, true, [](double, const double* x) { return x[0] - 0.5; });
  e.ends_run = true;
  stroke.watch(e);
  MemoryRecorder r;
  stroke.start(0, s.x, &r);
  EXPECT_FALSE(stroke.advance(1));
  EXPECT_NEAR(stroke.t(), s.time_of(0.5), 1e-9);
  EXPECT_NEAR(stroke.state()[0], 0.5, 1e-11);
  EXPECT_EQ(stroke.last_event(), "end");
  EXPECT_TRUE(stroke.advance(1)) << "and it can go on from there";
  EXPECT_EQ(stroke.t(), 1.0);
  EXPECT_NEAR(stroke.state()[0], 0.8 * std::sin(s.p.natural()), 1e-6);
}

// Closing and opening of contacts: a weight thrown between floor and ceiling, both elastic, no gravity: after
// every contact it has its speed again.
TEST(Events, ContactsCloseAndOpenInTurn) {
  Weight w;
  w.gravity = 0;
  Mechanism m = w.build();
  auto ceiling = std::make_unique<planar::TipOnLine>("ceiling", kGround, Vec2(0, 30e-3), Vec2(0, -1), 0,
                                                     Vec2(0, 6e-3), 4e-3);
  ceiling->cloth = Cloth(30, 1.3e-3, 2.0, 0, 0);
  m.contacts.push_back(std::move(ceiling));
  m.finish();
  MemoryRecorder r;
  FineStroke stroke(m, kNoDrive, without_samples());
  auto x = still(m);
  x[0] = 10e-3;
  x[1] = 0.9;
  stroke.start(0, x, &r);
  stroke.advance(0.12);
  ASSERT_GE(r.events.size(), 8u);
  EXPECT_NEAR(r.events[0].t, 10e-3 / 0.9, 1e-9);
  for (std::size_t k = 0; k < r.events.size(); ++k) {
    EXPECT_EQ(r.events[k].kind, k % 2 ? EventKind::kOpens : EventKind::kCloses) << k;
    EXPECT_EQ(r.events[k].name, (k / 2) % 2 ? "floor" : "ceiling") << k;
    if (k % 2 == 0 && k > 0) {
      EXPECT_NEAR(r.events[k].t - r.events[k - 1].t, 20e-3 / 0.9, 1e-7) << k;
    }
  }
}

// A touch shorter than the step, and so light that both ends of the step lie clear of it, is not missed.
TEST(Events, AGrazingTouchIsNotMissed) {
  Weight w;
  for (const double depth : {1e-6, 3e-7, 3e-8}) {
    // Thrown down against a pull upwards that turns it just below the surface.
    Mechanism up = w.build();
    up.gravity = Vec2(0, 9.80665);
    MemoryRecorder r;
    FineStroke stroke(up, kNoDrive, without_samples());
    auto x = still(up);
    x[0] = 5e-3;
    x[1] = -std::sqrt(2 * 9.80665 * (5e-3 + depth));
    stroke.start(0, x, &r);
    stroke.advance(0.06);
    ASSERT_GE(r.events.size(), 2u) << depth;
    const double top = std::abs(x[1]) / 9.80665;
    EXPECT_NEAR(r.events[0].t, top - std::sqrt(2 * depth / 9.80665), 1e-5) << depth;
  }
}

struct Pushed {
  std::vector<double> state, times, samples_at_2_ms;
  std::vector<std::string> names;
};

// A sledge dropped on to a rubbing, lossy floor and pushed about.
Pushed push_about(double output_interval, bool watch) {
  Sledge s;
  s.floor = Cloth(20, 1.1e-3, 2.5, 0.2, 0.05);
  const Mechanism m = s.build();
  Drive drive;
  drive.press(0, Vec2(0, 0), Vec2(1, 0),
              std::make_shared<RampHistory>(RampShape::kHalfCosine, std::vector<double>{0.011, 0.05, 0.093},
                                            std::vector<double>{0, 1.3, -0.8}));
  StrokeOptions o;
  o.output_interval = output_interval;
  MemoryRecorder r;
  FineStroke stroke(m, drive, o);
  if (watch)
    stroke.watch(
        crossing("slides back", Crossing::kFalling, false, [](double, const double* x) { return x[2]; }));
  auto x = still(m);
  x[1] = 3e-3;
  stroke.start(0, x, &r);
  stroke.advance(0.15);
  Pushed out;
  out.state = stroke.state();
  for (const auto& e : r.events)
    if (e.kind != EventKind::kCaller) {
      out.times.push_back(e.t);
      out.names.push_back(e.name);
    }
  for (std::size_t k = 0; k < r.time.size(); ++k) {
    const double steps = r.time[k] / 2e-3;
    if (steps == std::round(steps) && std::round(steps) * 2e-3 == r.time[k])
      out.samples_at_2_ms.insert(out.samples_at_2_ms.end(), r.state(k), r.state(k) + r.state_size);
  }
  return out;
}

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() && std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0;
}

TEST(Events, OutputIntervalAndWatchingChangeNotABit) {
  const Pushed base = push_about(2e-3, true);
  EXPECT_GE(base.times.size(), 3u);
  EXPECT_GE(base.samples_at_2_ms.size(), 70 * base.state.size());
  for (const double interval : {0.0, 1e-3, 2.5e-4, 3.7e-5, 0.0413}) {
    const Pushed other = push_about(interval, true);
    EXPECT_TRUE(same_bits(base.state, other.state)) << interval;
    EXPECT_TRUE(same_bits(base.times, other.times)) << interval;
    EXPECT_EQ(base.names, other.names);
    if (interval == 1e-3 || interval == 2.5e-4) {
      EXPECT_TRUE(same_bits(base.samples_at_2_ms, other.samples_at_2_ms)) << interval;
    }
  }
  const Pushed unwatched = push_about(2e-3, false);
  EXPECT_TRUE(same_bits(base.state, unwatched.state));
  EXPECT_TRUE(same_bits(base.times, unwatched.times));
}

TEST(Events, SamplesComeAtTheirTimesAndOnce) {
  const Swing s;
  StrokeOptions o;
  o.output_interval = 0.013;
  FineStroke stroke(s.model, kNoDrive, o);
  MemoryRecorder r(60);
  stroke.start(0.21, s.x, &r);
  stroke.advance(0.3);
  stroke.advance(0.47);
  ASSERT_EQ(r.time.size(), 21u);  // 0.26 s hold 20 of them and the first
  for (std::size_t k = 0; k < r.time.size(); ++k) {
    EXPECT_EQ(r.time[k], 0.21 + 0.013 * static_cast<double>(k));
    EXPECT_NEAR(r.state(k)[0], 0.8 * std::sin(s.p.natural() * (r.time[k] - 0.21)), 1e-8);
  }
}

}  // namespace
}  // namespace leverwright::run
