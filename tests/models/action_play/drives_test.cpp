// The action under every kind of drive: what one drive answers, another gives back.
#include <gtest/gtest.h>

#include "models/action/crown.h"
#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

// Key motion in, force out; the force history that came out, put in, gives the motion again.
TEST(Drives, ForceThatAKeyMotionNeedsGivesThatMotion) {
  const Played& p = played_as_found();
  KeyMotion motion;
  motion.down_time = 60e-3;
  motion.dip = 9e-3;
  PlayOptions o;
  o.stop_at_string = true;
  o.stroke.output_interval = 1e-4;
  const StrokeResult moved = play(p.action, p.rest, key_motion_drive(p.action, p.rest, motion), o);
  ASSERT_TRUE(moved.happened(kStringContact));
  EXPECT_GT(moved.measures.peak_force, 1);
  // Its own way: the quintic ramp of dip.
  const auto& s = moved.series;
  for (std::size_t k = 0; k < s.time.size(); k += 20) {
    const double x = std::min(1.0, std::max(0.0, (s.time[k] - motion.start) / motion.down_time));
    EXPECT_NEAR(s.dip[k], motion.dip * x * x * x * (10 + x * (6 * x - 15)), 1e-9);
  }
  run::Drive drive;
  drive.press(kKey, p.action.playing_point.r, Vec2(0, -1),
              std::make_shared<run::LinearHistory>(s.time, s.finger_force));
  const StrokeResult pressed = play(p.action, p.rest, drive, o);
  ASSERT_TRUE(pressed.happened(kStringContact));
  // Forces by straight lines between samples 0.1 ms apart: good to about a thousandth.
  EXPECT_NEAR(pressed.measures.hammer_speed / moved.measures.hammer_speed, 1, 1e-2);
  EXPECT_NEAR(pressed.event[kStringContact], moved.event[kStringContact], 0.3e-3);
  EXPECT_NEAR(pressed.event[kTenderMeetsButton], moved.event[kTenderMeetsButton], 0.3e-3);
}

TEST(Drives, ADroppedWeightFallsOnTheKeyAndPlaysIt) {
  const Played& p = played_as_found();
  Finger weight;
  weight.mass = 0.25;
  weight.start_height = 12e-3;
  const Action a = assemble(p.design, p.regulated.screws, &weight);
  const Rest rest = build_rest(a, p.regulated.rest.q);
  PlayOptions o;
  o.duration = 0.3;
  const StrokeResult r = play(a, rest, finger_drive(a, nullptr), o);
  EXPECT_EQ(r.stopped, "");
  const auto& s = r.series;
  // Until it touches it falls freely: v = g t, and no force.
  const double touches = std::sqrt(2 * weight.start_height / base::kGravity);
  for (std::size_t k = 0; k < s.time.size() && s.time[k] < touches - 1e-3; ++k) {
    ASSERT_NEAR(s.speed[kBodyCount][k], base::kGravity * s.time[k], 1e-6);
    ASSERT_EQ(s.finger_force[k], 0.0);
  }
  ASSERT_TRUE(r.happened(kKeyStart));
  EXPECT_GT(r.event[kKeyStart], touches);
  EXPECT_LT(r.event[kKeyStart], touches + 10e-3);
  ASSERT_TRUE(r.happened(kStringContact)) << "250 g from 12 mm play the note";
  EXPECT_LT(std::abs(r.audit.error()), 1e-4);
}

// A finger pressed as hard as a bare force, its own weight borne: its mass takes its share of the force, the
// hammer is slower and later; a light and stiff finger is the bare force.
TEST(Drives, AFingerOfLittleMassIsABareForce) {
  const Played& p = played_as_found();
  const PressedTouch& touch = touch_as_found("mf").touch;
  PlayOptions o;
  o.stop_at_string = true;
  o.stroke.output_interval = 0;
  const double bare = play_touch(p, touch, o).measures.hammer_speed;
  const auto force =
      std::make_shared<run::RampHistory>(run::RampShape::kHalfCosine,
                                         std::vector<double>{touch.start, touch.start + touch.rise,
                                                             touch.release_at, touch.release_at + touch.fall},
                                         std::vector<double>{0, touch.plateau, touch.plateau, 0});
  double speed[3];
  const double mass[3] = {0.2, 0.02, 0.002};
  for (int k = 0; k < 3; ++k) {
    Finger f;
    f.mass = mass[k];
    const Action a = assemble(p.design, p.regulated.screws, &f);
    const StrokeResult r = play(a, build_rest(a, p.regulated.rest.q), finger_drive(a, force), o);
    ASSERT_TRUE(r.happened(kStringContact)) << mass[k];
    speed[k] = r.measures.hammer_speed;
  }
  EXPECT_LT(speed[0], 0.9 * bare);
  EXPECT_LT(speed[0], speed[1]);
  EXPECT_LT(speed[1], speed[2]);
  EXPECT_NEAR(speed[2] / bare, 1, 0.01);
}

}  // namespace
}  // namespace leverwright::action
