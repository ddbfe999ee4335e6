// What is drawn on each body besides its outline, and on the rails; one function a part. Numbers that no measurement
// gives (a rail's depth, a button's height) are the drawing's own and touch nothing that is computed.
#pragma once
#include <vector>

#include "models/drawing/outlines.h"

namespace leverwright::drawing {

// Widths across the key [m].
inline constexpr double kHalfWood = 5e-3, kHalfSlot = 3e-3, kHalfTongue = 2.7e-3, kHalfJack = 2.5e-3;
inline constexpr double kHalfCheck = 6e-3, kButtFrom = 7e-3;  // the butt begins so far from the centre
inline constexpr double kHalfLever = 4.75e-3, kHalfShank = 3e-3, kHalfRail = 14e-3;
inline constexpr Across kFork{kHalfSlot, kHalfWood}, kTongue{0, kHalfTongue};

// Where the wippen's body ends and its post for the lever begins, and where its forks for jack and flange
// begin [m, wippen frame].
struct WippenCuts {
  double post_y = 0, jack_x = 0, flange_x = 0;
};
WippenCuts find_wippen_cuts(const action::ActionDesign& d);
// Where the jack passes through the lever at any angle its stops leave it [m, lever frame].
struct LeverWindow {
  double front = 0, back = 0;
};
LeverWindow find_lever_window(const action::Action& a);
// Hammer head with its tail as the mechanism has it, about the foot of the strike line, smooth.
std::vector<Vec2> find_head_shape(const action::ActionDesign& d);

std::vector<Vec2> find_jack_shape(const action::ActionDesign& d);  // jack's frame

void add_fixed_features(const action::Action& a, std::vector<Feature>* out);
void add_key_features(const action::Action& a, std::vector<Feature>* out);
void add_wippen_features(const action::Action& a, std::vector<Feature>* out);
void add_jack_and_lever_features(const action::Action& a, std::vector<Feature>* out);
void add_hammer_features(const action::Action& a, std::vector<Feature>* out);

// Cushion of the back check with the wood behind it, in the key's frame.
struct CheckShape {
  std::vector<Vec2> leather, wood;
  Vec2 foot{0, 0};  // where its wire enters the wood
};
CheckShape find_check_shape(const action::Action& a);

}  // namespace leverwright::drawing
