// A run that cannot go on names body or contact, time and last event, and what was recorded stays.
#include <gtest/gtest.h>

#include <limits>

#include "sim/base/error.h"
#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

template <class F>
base::Unstable caught(F run) {
  try {
    run();
  } catch (const base::Unstable& u) {
    return u;
  }
  ADD_FAILURE() << "it went on";
  return base::Unstable("", 0, "", "");
}

TEST(Unstable, ABodyThatNothingHolds) {
  Pendulum p;
  p.gravity = 0;
  const Mechanism m = p.build();
  MemoryRecorder r;
  StrokeOptions o;
  o.output_interval = 1e-2;
  FineStroke stroke(m, kNoDrive, o);
  stroke.watch(
      crossing("one radian", Crossing::kRising, true, [](double, const double* x) { return x[0] - 1; }));
  auto x = still(m);
  x[1] = 3;
  stroke.start(0, x, &r);
  const base::Unstable u = caught([&] { stroke.advance(2); });
  EXPECT_EQ(u.culprit, "bob");
  EXPECT_NEAR(u.time_s, 0.5, 1e-3) << "1.5 rad at 3 rad/s, less than a step before";
  EXPECT_EQ(u.last_event, "one radian");
  EXPECT_NE(std::string(u.what()).find("bob"), std::string::npos);
  EXPECT_NE(std::string(u.what()).find("one radian"), std::string::npos);
  EXPECT_GE(r.time.size(), 50u) << "what was recorded stays";
}

// From some time on a history gives no number.
struct LosesIts : History {
  double until;
  Instant at(double t) const override {
    return {t < until ? 1.0 : std::numeric_limits<double>::quiet_NaN(), 0, 0};
  }
  void add_breakpoints(std::vector<double>&) const override {}
};

TEST(Unstable, AForceThatIsNoNumber) {
  Sledge s;
  const Mechanism m = s.build();
  auto history = std::make_shared<LosesIts>();
  history->until = 0.0317;
  Drive drive;
  drive.press(0, Vec2(0, 0), Vec2(1, 0), history);
  FineStroke stroke(m, drive, without_samples());
  auto x = still(m);
  x[1] = 1e-3;  // falls by that and meets the floor
  MemoryRecorder r;
  stroke.start(0, x, &r);
  const base::Unstable u = caught([&] { stroke.advance(1); });
  EXPECT_NEAR(u.time_s, 0.0317, 1e-6);
  EXPECT_EQ(u.last_event, "floor");
  EXPECT_NE(u.culprit.find("runner"), std::string::npos) << u.culprit;
  EXPECT_NE(u.why.find("number"), std::string::npos) << u.why;
  EXPECT_NEAR(r.first(EventKind::kCloses, "floor"), std::sqrt(2e-3 / s.gravity), 1e-6);
}

// A force that swings wilder than any step can follow.
struct Shivers : History {
  Instant at(double t) const override { return {t < 0.02 ? 0.0 : 1e9 * std::sin(1e22 * (t - 0.02)), 0, 0}; }
  void add_breakpoints(std::vector<double>&) const override {}
};

TEST(Unstable, AStepThatShrinksToNothing) {
  Weight w;
  const Mechanism m = w.build();
  Drive drive;
  drive.press(0, Vec2(0, 0), Vec2(0, 1), std::make_shared<Shivers>());
  StrokeOptions o = without_samples();
  o.least_step = 1e-9;
  FineStroke stroke(m, drive, o);
  auto x = still(m);
  x[0] = 0.05;
  stroke.start(0, x);
  const base::Unstable u = caught([&] { stroke.advance(1); });
  EXPECT_NE(u.culprit.find("weight"), std::string::npos) << u.culprit;
  EXPECT_NEAR(u.time_s, 0.02, 1e-3);
  EXPECT_EQ(u.last_event, "") << "nothing had happened";
  EXPECT_NE(u.why.find("step"), std::string::npos) << u.why;
}

}  // namespace
}  // namespace leverwright::run
