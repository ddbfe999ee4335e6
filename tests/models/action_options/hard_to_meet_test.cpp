// What models/handbook/hard_to_meet.md says of the key's options, kept true: the bending check wire lets a
// hard blow further down than a rigid one, the balance punching spreads key bottom against string.
#include <gtest/gtest.h>

#include "tests/models/action_options/optional.h"

using namespace leverwright;
using namespace leverwright::action;

namespace {

StrokeResult stroke_at(const Played& p, double speed) {
  const FoundTouch touch = find_pressed_touch(p.action, p.rest, speed);
  EXPECT_TRUE(touch.found) << speed;
  return play_touch(p, touch.touch);
}

TEST(HardToMeet, a_rigid_wire_catches_the_loudest_blow_too_near_and_a_bending_one_further_down) {
  const Played rigid = regulate_and_play(design_of(std::initializer_list<Option>{}));
  const Played wire = regulate_and_play(design_of({kCheckWire}));
  const double without = stroke_at(rigid, 6.0).measures.check_distance;
  const double with = stroke_at(wire, 6.0).measures.check_distance;
  EXPECT_LT(without, 14.5e-3) << "15.5 at mf";
  EXPECT_GT(with, without + 1e-3);
  // On a stiff stop the hammer comes back at a quarter of its speed, on a string at more than half.
  const auto on_stop = [](std::initializer_list<Option> options) {
    case_file::CaseDescription d = demo_with(options);
    return stroke_at(regulate_and_play(design_of(with_option(d, kCompliantString, false))), 6.0)
        .measures.check_distance;
  };
  EXPECT_GT(on_stop({kCheckWire}), 14.5e-3);
  EXPECT_LT(on_stop({kCheckWire}), 16e-3);
  EXPECT_GT(with, on_stop({kCheckWire}) + 1e-3);
}

TEST(HardToMeet, the_balance_punching_spreads_key_bottom_against_string) {
  const Played rigid = regulate_and_play(design_of(std::initializer_list<Option>{}));
  const Played punching = regulate_and_play(design_of({kBalancePunching}));
  const auto late = [](const Played& p, double speed) {
    return stroke_at(p, speed).measures.key_bottom_after_string;
  };
  EXPECT_GT(late(punching, 0.5), late(rigid, 0.5) + 2e-3);
  EXPECT_GT(late(punching, 0.5), 8e-3) << "published: 10 ms and more at the very softest";
  EXPECT_LT(late(punching, 6.0), late(rigid, 6.0) - 0.2e-3);
}

}  // namespace
