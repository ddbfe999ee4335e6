// What is drawn on each body besides its outline, and on the rails; one function a part. Numbers that no measurement
// gives (a rail's depth, a button's height) are the drawing's own and touch nothing that is computed.
#pragma once
#include <vector>

#include "models/drawing/outlines.h"

namespace leverwright::drawing {

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
