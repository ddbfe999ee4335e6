// The slowest even key that still sounds: closed form against strokes with a key led evenly, at let-off
// distances of 1 to 5 mm.
#include "models/study/least_speed.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/models/action_play/played.h"

namespace leverwright::study {
namespace {

TEST(LeastSpeed, OfAnEvenKeyIsThatOfAHammerThrownAsTheJackTrips) {
  const action::Played& p = action::played_as_found();
  const auto found = find_least_speeds(p.design, p.regulated, {1e-3, 3e-3, 5e-3});
  ASSERT_EQ(found.size(), 3u);
  double before = 0, before_form = 0, off_before = 0.25;
  for (const LeastSpeedAt& l : found) {
    RecordProperty("let_off_" + std::to_string(l.let_off), std::to_string(l.form.closed) + " " +
                                                               std::to_string(l.played_smooth) + " " +
                                                               std::to_string(l.played));
    // Both roads grow with the distance, neither as quickly as its root: the ratio falls as the jack trips.
    EXPECT_GT(l.form.closed, before_form);
    EXPECT_GT(l.played_smooth, before);
    before_form = l.form.closed;
    before = l.played_smooth;
    // What is left over (least_speed.h) dies out as the hammer leaves before the trip.
    const double off = std::abs(l.form.closed / l.played_smooth - 1);
    EXPECT_LT(off, off_before) << l.let_off;
    off_before = off;
    // Without what the trip takes the key would seem to need less than it does.
    EXPECT_LT(l.form.plain, 1.02 * l.played_smooth) << l.let_off;
    EXPECT_LT(l.form.plain, l.form.closed);
    EXPECT_GT(l.form.leaves_gap, l.let_off) << "the hammer leaves before the slow path lets it off";
  }
  EXPECT_LT(std::abs(found[1].form.closed / found[1].played_smooth - 1), 0.10) << "at 3 mm";
  EXPECT_LT(off_before, 0.03) << "at 5 mm";
  // The simple form by hand: sqrt(2 g s) / i.
  EXPECT_NEAR(found[1].form.plain, std::sqrt(2 * found[1].form.fall * found[1].let_off) / found[1].form.ratio,
              5e-3 * found[1].form.plain);
}

TEST(LeastSpeed, AStuckJackKicksTheHammerAndASmoothOneDoesNot) {
  const action::Played& p = action::played_as_found();
  const auto found = find_least_speeds(p.design, p.regulated, {2e-3});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_GT(found[0].kick, 0.5e-3);
  EXPECT_LT(found[0].kick_smooth, 0.4e-3);
  EXPECT_NEAR(found[0].played / found[0].form.closed, 1, 0.15) << "the quick branch is the thrown one";
}

}  // namespace
}  // namespace leverwright::study
