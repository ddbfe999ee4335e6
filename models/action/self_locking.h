// Self-locking: an action that no finger moves, because friction grows with the force that should overcome it.
//
//   of one contact   its force at the edge of the friction cone has no moment left about the driven body's pivot
//   of the train     the statics of the whole, every driving contact sliding with its full friction, have no solution
//                    with normal forces and finger force above zero. With A(mu) N = b, the forces grow as
//                    1/(mu_lock - mu) on the way there and change sign beyond; what an elastic surface then shows, stuck
//                    and ever more squeezed, is no weight.
// Looked for up to where the tender meets its button or the lever its drop screw, which is where weights are read.
// From there those two carry part of the load and the jack is on its way out; a contact may pass a steep place in one
// sample, and whether it gets over is what the path itself tells: no let-off is found where it does not.
#pragma once
#include <string>
#include <vector>

#include "models/action/action.h"

namespace leverwright::action {

struct Jam {
  bool jammed = false;
  std::string
      place;  // the contact at fault: for the train the one with the greatest friction on its driven body
  double dip = 0;  // [m]
};

// `down`: samples of a path going down with friction, in order; `dip_free`: where button or drop screw is met [m].
Jam find_jam(const Action& action, const std::vector<run::StaticSample>& down, double dip_free);

}  // namespace leverwright::action
