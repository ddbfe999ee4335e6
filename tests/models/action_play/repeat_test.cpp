// Repeated strokes: the finger's way, that it only pushes, and that a train of slow strokes is a row of
// single ones.
#include "models/action/repeat.h"

#include <gtest/gtest.h>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

WithFinger as_found_with_finger() {
  const Played& p = played_as_found();
  return put_finger(p.design, p.regulated.screws, p.regulated.rest.q);
}

FingerMotion motion_at(double rate, int strokes) {
  FingerMotion m;
  m.rate = rate;
  m.strokes = strokes;
  m.depth = played_as_found().regulated.dip;
  m.back = m.depth;
  return m;
}

TEST(FingerMotion, GoesDownAndUpWhereAndWhenItSays) {
  FingerMotion m;
  m.rate = 7;
  m.strokes = 4;
  m.depth = 9.4e-3;
  m.back = 5.1e-3;
  m.down_time = 38e-3;
  m.up_time = 47e-3;
  m.time_jitter = m.height_jitter = 0;
  const FingerWay way = find_finger_way(m);
  ASSERT_EQ(way.start.size(), 4u);
  for (std::size_t k = 0; k < 4; ++k) {
    const double t = way.start[k];
    EXPECT_NEAR(t - way.start[0], static_cast<double>(k) / 7, 1e-12);
    EXPECT_NEAR(way.height->at(t).value, 4.3e-3, 1e-12) << "at the top";
    EXPECT_NEAR(way.height->at(t + 38e-3).value, 9.4e-3, 1e-12) << "at the bottom";
    EXPECT_NEAR(way.height->at(t + 19e-3).rate, 1.875 * 5.1e-3 / 38e-3, 1e-9) << "quintic's greatest speed";
    // Where the period leaves room the two rests are equal: (1/7 - 85 ms)/2 = 28.9 ms.
    if (k < 3) {
      EXPECT_NEAR(way.height->at(t + 66e-3).value, 9.4e-3, 1e-12);
      EXPECT_NEAR(way.height->at(t + 115e-3).value, 4.3e-3, 1e-12);
    }
  }
  m.rate = 16;  // 62.5 ms: no room for 38 and 47
  const FingerWay hurried = find_finger_way(m);
  EXPECT_NEAR(hurried.height->at(hurried.start[1] + 0.45 * 62.5e-3).value, 9.4e-3, 1e-12);
  EXPECT_LT(hurried.height->at(hurried.start[1] + 0.40 * 62.5e-3).value, 9.4e-3 - 1e-6);
}

TEST(FingerMotion, JitterComesFromTheSeedAloneAndStaysInItsBounds) {
  FingerMotion m;
  m.rate = 9.3;
  m.strokes = 40;
  const FingerWay a = find_finger_way(m), b = find_finger_way(m);
  EXPECT_EQ(a.start, b.start);
  m.seed = 2;
  EXPECT_NE(find_finger_way(m).start, a.start);
  double largest = 0;
  for (std::size_t k = 0; k < a.start.size(); ++k) {
    const double late = a.start[k] - 0.3 - static_cast<double>(k) / 9.3;
    EXPECT_LE(std::abs(late), 0.03 / 9.3 + 1e-12);
    largest = std::max(largest, std::abs(late));
  }
  EXPECT_GT(largest, 0.02 / 9.3);
}

Train even_row(const WithFinger& with, double rate, int strokes) {
  FingerMotion m = motion_at(rate, strokes);
  m.time_jitter = m.height_jitter = 0;
  return play_train(with, m);
}

TEST(Repeat, SlowStrokesAreARowOfSingleOnes) {
  const WithFinger with = as_found_with_finger();
  const Train train = even_row(with, 1, 4);
  ASSERT_EQ(train.stopped, "");
  const double single = even_row(with, 1, 1).strokes[0].hammer_speed;
  EXPECT_GT(single, 1);
  for (const RepeatedStroke& s : train.strokes) {
    // With friction the rest a key comes back to is not the one it started from, here 0.2 mm higher, and the
    // string still swings a little.
    EXPECT_NEAR(s.hammer_speed / single, 1, 0.01);
    EXPECT_EQ(s.meetings, 1);
    EXPECT_TRUE(s.jack_was_set);
    EXPECT_LT(std::abs(s.key_height), 0.4e-3) << "back at rest";
  }
  EXPECT_GT(train.jack_reset_after, 5e-3);
  EXPECT_LT(train.jack_reset_after, 60e-3);
  // The jack cannot come back before the key is above the dip at which it was pushed out.
  EXPECT_LT(train.jack_reset_dip, played_as_found().regulated.dip_let_off);
}

// Four a second is not slow: 85 ms after the finger has let the key up the hammer still swings on the
// repetition lever, by some millimetres, and what the next stroke gives hangs on where it is just then. The
// string's own swing is not it: one that is dead before the next stroke gives the same.
TEST(Repeat, AtFourASecondTheHammersSwingFromTheLastStrokeCounts) {
  const Train train = even_row(as_found_with_finger(), 4, 4);
  const double single = even_row(as_found_with_finger(), 4, 1).strokes[0].hammer_speed;
  double most = 0;
  for (const RepeatedStroke& s : train.strokes) {
    EXPECT_EQ(s.meetings, 1);
    most = std::max(most, std::abs(s.hammer_speed / single - 1));
  }
  EXPECT_GT(most, 0.03);
  EXPECT_LT(most, 0.12);

  ActionDesign dead = played_as_found().design;
  ASSERT_TRUE(dead.options.has(kCompliantString));
  dead.options.string.loss_constant = 200;  // exp(-200/s x 0.2 s): nothing is left
  const Played& p = played_as_found();
  const Train quiet = even_row(put_finger(dead, p.regulated.screws, p.regulated.rest.q), 4, 2);
  EXPECT_NEAR(quiet.strokes[1].hammer_speed, train.strokes[1].hammer_speed, 0.01 * single);

  // Where the hammer is as the second stroke begins.
  const Train shown = play_train(
      as_found_with_finger(),
      [] {
        FingerMotion m = motion_at(1, 2);
        m.time_jitter = m.height_jitter = 0;
        return m;
      }(),
      1e-3);
  double gap_at_rest = 0, farthest = 0;
  const double began = shown.strokes[0].start, up = 0.5;  // the finger begins to go up
  for (std::size_t k = 0; k < shown.time.size(); ++k) {
    const double since = shown.time[k] - began;
    if (since < 0) gap_at_rest = shown.string_gap[k];
    if (since > up + 40e-3 + 75e-3 && since < up + 40e-3 + 160e-3)
      farthest = std::max(farthest, std::abs(shown.string_gap[k] - gap_at_rest));
  }
  EXPECT_GT(farthest, 1.5e-3);
}

TEST(Repeat, TheFingerOnlyPushesSoTheKeyLagsBehindAQuickOne) {
  const WithFinger with = as_found_with_finger();
  FingerMotion m = motion_at(11, 5);
  m.up_time = 8e-3;
  const Train train = play_train(with, m, 5e-4);
  double largest = 0, pressed_in = 0;
  for (std::size_t k = 0; k < train.time.size(); ++k) {
    largest = std::max(largest, train.key_dip[k] - train.finger_dip[k]);
    pressed_in = std::max(pressed_in, train.finger_dip[k] - train.key_dip[k]);
  }
  EXPECT_GT(largest, 1e-3) << "the finger leaves the key";
  EXPECT_GT(pressed_in, 1e-5);
  EXPECT_LT(pressed_in, 1.2e-3) << "the pad is stiff";
}

TEST(Repeat, AKeyHardlyLetUpDoesNotSoundAgain) {
  const WithFinger with = as_found_with_finger();
  FingerMotion m = motion_at(2, 2);
  m.back = 0.5e-3;
  m.down_time = 5e-3;
  m.first_back = m.depth;
  m.first_down_time = 40e-3;
  m.time_jitter = m.height_jitter = 0;
  Train train = play_train(with, m);
  EXPECT_GT(train.strokes[0].hammer_speed, 1);
  EXPECT_EQ(train.strokes[1].meetings, 0);
  m.back = 5e-3;
  m.down_time = 20e-3;
  train = play_train(with, m);
  EXPECT_EQ(train.strokes[1].meetings, 1) << "half the dip is enough: double escapement";
  EXPECT_TRUE(train.strokes[1].jack_was_set);
}

}  // namespace
}  // namespace leverwright::action
