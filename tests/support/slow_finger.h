// A slow finger played in time: the key led down evenly from frictionless rest with all memories zero, to
// compare with what regulation reads on its quasi-static path. Let-off: least crown-string distance after the
// tender has met the button. Drop: the key stopped as soon as the hammer has come off (kFallen below let-off)
// and held for kHold.
#pragma once
#include "models/action/regulate.h"

namespace leverwright::support {

struct SlowFinger {
  bool let_off_found = false;
  double dip_let_off = 0, let_off = 0, drop = 0;  // [m]
};
inline constexpr double kFallen = 0.3e-3, kHold = 0.5;  // [m], [s]

// speed: of the key at the playing point [m/s].
SlowFinger play_slow_finger(const action::Action& action, const action::Regulated& regulated, double speed);

}  // namespace leverwright::support
