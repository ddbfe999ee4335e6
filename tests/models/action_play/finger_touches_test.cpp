// A finger of mass, flesh and arm: it follows its hand, reaches the hammer speeds asked for, and strikes
// once.
#include <gtest/gtest.h>

#include "models/action/finger_touch.h"
#include "models/action/touch.h"
#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

struct Fingered {
  FoundFingerTouch found;
  StrokeResult stroke;
};

Fingered play_finger(double hammer_speed, FingerTouch touch) {
  const Played& p = played_as_found();
  Fingered out;
  out.found = find_finger_touch(p.design, p.regulated.screws, p.regulated.rest.q, hammer_speed, touch);
  const FingeredAction f = put_finger(p.design, p.regulated.screws, p.regulated.rest.q, out.found.touch);
  out.stroke =
      play(f.action, f.rest, finger_touch_drive(f, out.found.touch), finger_options(out.found.touch));
  return out;
}

FingerTouch finger(bool struck) {
  FingerTouch t;
  t.struck = struck;
  return t;
}

TEST(Hand, GoesEvenlyAsStated) {
  for (const bool struck : {true, false}) {
    FingerTouch t = finger(struck);
    t.speed = 0.8;
    const auto way = hand_history(t);
    const double run = struck ? t.height : t.run_up, whole = (struck ? t.height : 0) + t.dip + t.over;
    EXPECT_EQ(way->at(0).value, 0);
    const double at_speed = t.start + 2 * run / t.speed;
    EXPECT_NEAR(way->at(at_speed).value, run, 1e-12);
    EXPECT_NEAR(way->at(at_speed).rate, t.speed, 1e-12);
    EXPECT_NEAR(way->at(t.released_at() - 1e-6).value, whole, 1e-12);
    EXPECT_NEAR(way->at(t.released_at() - 1e-6).rate, 0, 1e-12);
    EXPECT_NEAR(way->at(t.released_at() + t.lift + 1).value, struck ? 0 : -t.run_up, 1e-12) << "up again";
    // Rates are derivatives of the way, also across its pieces.
    for (double x = 1e-3; x < t.released_at() + t.lift; x += 1.37e-3) {
      const double h = 1e-6;
      EXPECT_NEAR((way->at(x + h).value - way->at(x - h).value) / (2 * h), way->at(x).rate, 1e-4) << x;
    }
  }
}

// The flesh law: stiffness and damping are those stated at 1 N.
TEST(Flesh, HasTheStatedStiffnessAtOneNewton) {
  const planar::Cloth c = finger_flesh(4000, 15);
  const double d = c.compression(1.0);
  EXPECT_NEAR(c.elastic_force(d), 1, 1e-12);
  EXPECT_NEAR(c.elastic_slope(d), 4000, 1e-6);
  EXPECT_NEAR(c.loss_time() * c.elastic_slope(d), 15, 1e-9);
  EXPECT_NEAR(c.elastic_slope(c.compression(8.0)), 4000 * 4, 1e-6) << "grows as F^(2/3)";
}

class SoftToLoud : public ::testing::TestWithParam<std::tuple<double, bool>> {};
INSTANTIATE_TEST_SUITE_P(Touches, SoftToLoud,
                         ::testing::Combine(::testing::Values(0.5, 1.0, 2.0, 4.5, 6.0), ::testing::Bool()));

TEST_P(SoftToLoud, IsReachedAndStrikesOnce) {
  const auto [speed, struck] = GetParam();
  const Fingered f = play_finger(speed, finger(struck));
  ASSERT_TRUE(f.found.found) << f.found.advice;
  EXPECT_NEAR(f.stroke.measures.hammer_speed / speed, 1, 1.1e-3);
  EXPECT_LE(f.found.strokes, 12);
  EXPECT_EQ(f.stroke.facts.string_contacts, 1);
  EXPECT_FALSE(f.stroke.has(Fault::kDoubleHit));
  EXPECT_TRUE(f.stroke.happened(kKeyBottom));
  EXPECT_TRUE(f.stroke.happened(kKeyBack)) << "the finger lets the key up";
  EXPECT_TRUE(f.stroke.happened(kJackReset));
  EXPECT_LT(std::abs(f.stroke.audit.error()), 1e-4);
  // Held on the bottom: the arm bears F_hold at d_over, less as the way left over is shorter.
  const auto& s = f.stroke.series;
  std::size_t k = 0;
  while (s.time[k] < f.found.touch.released_at() - 2e-3) ++k;
  const FingerTouch& t = f.found.touch;
  const double force = s.finger_force[k];
  const double left = t.dip + t.over - s.dip[k] - finger_flesh(t.stiffness, t.damping).compression(force);
  EXPECT_NEAR(force, t.hold() * left * left / (t.over * t.over), 0.1 * force);
  EXPECT_NEAR(s.finger_force.back(), 0, 0.05);
}

// In a struck touch the key starts with the finger's speed, so the whole way takes less time.
TEST(Struck, TakesLessTimeThanPressedForTheSameHammerSpeed) {
  for (const double speed : {1.0, 2.0, 4.5}) {
    const Fingered struck = play_finger(speed, finger(true)), pressed = play_finger(speed, finger(false));
    EXPECT_LT(struck.stroke.measures.travel_time, 0.9 * pressed.stroke.measures.travel_time) << speed;
    if (speed > 1.5) {
      EXPECT_GT(struck.stroke.measures.peak_key_speed, pressed.stroke.measures.peak_key_speed) << speed;
    }
  }
}

// What governs single hits at struck touches: an arm that goes on pushing after the finger has landed. With
// next to none behind it the finger throws hammer and key apart, the key has not let off when the hammer
// comes back, and the string is struck again.
TEST(Struck, WithoutAnArmBehindItTheFingerStrikesTwice) {
  FingerTouch weak = finger(true);
  weak.hold_still = 1;
  weak.hold_per_speed = 0;
  const Fingered alone = play_finger(2.0, weak), usual = play_finger(2.0, finger(true));
  ASSERT_TRUE(alone.found.found);
  EXPECT_TRUE(alone.stroke.has(Fault::kDoubleHit));
  EXPECT_FALSE(alone.stroke.measures.key_bottom_after_string < 10e-3) << "late, or never";
  EXPECT_FALSE(usual.stroke.has(Fault::kDoubleHit));
  EXPECT_LT(usual.stroke.measures.key_bottom_after_string, 5e-3);
}

TEST(Struck, AHammerSpeedOutOfReachIsSaid) {
  const Fingered f = play_finger(40, finger(true));
  EXPECT_FALSE(f.found.found);
  EXPECT_NE(f.found.advice.find("ask for less"), std::string::npos) << f.found.advice;
}

}  // namespace
}  // namespace leverwright::action
