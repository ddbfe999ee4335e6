// The point the key turns about, moved along the stick.
#pragma once
#include "models/action/design.h"

namespace leverwright::remedies {

// Every place on the key is then measured from the new point. `shift`: m, positive toward the strings.
void move_balance_point(action::ActionDesign& a, double shift);

}  // namespace leverwright::remedies
