// Nothing is asked of the heap between the start of a stroke and its end.
#include <gtest/gtest.h>

#include "tests/sim/planar/random_contact.h"
#include "tests/sim/run/count_allocations.h"
#include "tests/sim/run/small_mechanisms.h"

namespace leverwright::run {
namespace {

TEST(Heap, TheCountCounts) {
  const long before = allocations_so_far();
  std::vector<double> room(10000);
  room[7] = 1;
  EXPECT_GE(allocations_so_far() - before, 1);
}

TEST(Heap, BouncesEventsAndSamplesAllocateNothing) {
  Sledge s;
  s.floor = Cloth(20, 1.1e-3, 2.5, 0.2, 0.05);
  const Mechanism m = s.build();
  Drive drive;
  drive.press(0, Vec2(0, 0), Vec2(1, 0),
              std::make_shared<RampHistory>(RampShape::kQuintic, std::vector<double>{0.05, 0.1, 0.2},
                                            std::vector<double>{0, 0.9, 0}));
  struct Counts : Recorder {
    void on_start(const Mechanism&) override {}
    void on_sample(double, const double*, const Scratch&) override { ++samples; }
    void on_event(const Event&, const double*, const Scratch&) override { ++events; }
    void on_step(double, const double*, const Scratch&) override { ++steps; }
    long samples = 0, events = 0, steps = 0;
  } counts;
  Stroke stroke(m, drive);
  stroke.watch(crossing("falls", Crossing::kFalling, false, [](double, const double* x) { return x[3]; }));
  stroke.watch(
      crossing("slides", Crossing::kRising, true, [](double, const double* x) { return x[2] - 0.1; }));
  auto x = still(m);
  x[1] = 4e-3;
  stroke.start(0, x, &counts);
  const long before = allocations_so_far();
  stroke.advance(0.07);
  stroke.advance(0.3);
  EXPECT_EQ(allocations_so_far() - before, 0);
  EXPECT_GT(counts.samples, 500);
  EXPECT_GT(counts.events, 8);
  EXPECT_GT(counts.steps, 100);
}

// Every kind of contact, pivots, springs, a load: one right-hand side.
TEST(Heap, RightHandSideOfEveryKindOfContactAllocatesNothing) {
  planar::Draw draw(17);
  for (const planar::Kind kind : planar::kKinds)
    for (int k = 0; k < 5; ++k) {
      planar::ContactCase c = planar::random_contact(draw, kind);
      Mechanism& m = c.mechanism;
      m.pivots.push_back({"pivot", 1, PivotFriction(1e-3, 1e-4, 1e-5, 1e-3)});
      m.finish();
      Scratch s(m);
      std::vector<double> x(at(m.state_size()), 0.0), rates(x.size());
      for (int i = 0; i < m.n(); ++i) x[at(i)] = c.q[i];
      planar::Applied load;
      load.load = {1, Vec2(0.01, 0.02), Vec2(0.3, -0.4)};
      load.prescribed = k % 2 ? 0 : -1;
      const long before = allocations_so_far();
      m.calc_rates(x.data(), rates.data(), load, s);
      EXPECT_EQ(allocations_so_far() - before, 0) << "kind " << static_cast<int>(kind);
    }
}

}  // namespace
}  // namespace leverwright::run
