// Drawn parts of the damper option. Where they stand and how they move is the mechanism's (key_options.h):
// the lever's centre, length and round tip, the place its wire hangs on, the felt's lower face, which lies on
// the string with the lever at angle 0 and is pressed by the computed depth at rest, and the upper stop.
// Every other measure of them is invented, for the eye: wood and felt of the head, rails, flange, guide.
#pragma once
#include "models/drawing/outlines.h"

namespace leverwright::drawing {

// Lever and head; nothing without the option.
void add_damper_outlines(const action::Action& a, std::vector<BodyOutline>* out);
// Rails, flange, stop and guide (ground), wire and felt of the head.
void add_damper_features(const action::Action& a, std::vector<Feature>* out);

// The place the wire hangs on, lever at angle 0 [m, W].
Vec2 find_damper_hang(const action::Action& a);
inline constexpr double kDamperHalfLength = 24e-3;  // of the head along the string, invented [m]
inline constexpr const char* kDamperHeadName = "damper head";

}  // namespace leverwright::drawing
