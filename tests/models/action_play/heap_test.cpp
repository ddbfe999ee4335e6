// The action, in both grades of the heel, under every drive: nothing is asked of the heap between the start
// of a stroke and its end.
#include <gtest/gtest.h>

#include "tests/models/action_play/played.h"
#include "tests/sim/run/count_allocations.h"

namespace leverwright::action {
namespace {

struct Counts : run::Recorder {
  void on_start(const planar::Mechanism&) override {}
  void on_sample(double, const double*, const planar::Scratch&) override { ++samples; }
  void on_event(const run::Event&, const double*, const planar::Scratch&) override { ++events; }
  long samples = 0, events = 0;
};

void expect_no_allocation(const Action& a, const Rest& rest, const run::Drive& drive, double until) {
  Counts counts;
  run::Stroke stroke(a.mechanism, drive);
  stroke.watch({"key passes 3 mm",
                [](double, const double* x, const planar::Scratch&) { return x[kKey] - 0.012; },
                run::Crossing::kEither, false, false});
  stroke.start(0, rest.state, &counts);
  const long before = run::allocations_so_far();
  stroke.advance(until);
  EXPECT_EQ(run::allocations_so_far() - before, 0);
  EXPECT_GT(counts.samples, 100);
  EXPECT_GT(counts.events, 10);
}

TEST(Heap, AWholeStrokeAllocatesNothing) {
  Played p;
  p.design = design_with({});
  p.regulated = regulate(p.design, {}, p.design.policy);
  PressedTouch touch;
  touch.plateau = 5;
  touch.release_at = 0.2;
  for (const bool patch : {false, true}) {
    p.design.patch_grade = patch;
    const Action a = assemble(p.design, p.regulated.screws);
    const Rest rest = find_rest(a);
    ASSERT_FALSE(rest.state.empty());
    expect_no_allocation(a, rest, pressed_drive(a, touch), patch ? 0.12 : 0.4);
    if (patch) continue;
    expect_no_allocation(a, rest, key_motion_drive(a, rest, KeyMotion{}), 0.4);
    Finger finger;
    const Action with_finger = assemble(p.design, p.regulated.screws, &finger);
    expect_no_allocation(
        with_finger, build_rest(with_finger, p.regulated.rest.q),
        finger_drive(with_finger, std::make_shared<run::LinearHistory>(std::vector<double>{0, 0.05},
                                                                       std::vector<double>{0, 8})),
        0.3);
  }
}

}  // namespace
}  // namespace leverwright::action
