// Self-locking: an action that no finger moves, because friction grows with the force that should overcome it.
//
//   of one contact   its force at the edge of the friction cone has no moment left about the driven body's pivot
//   of the train     the statics of the whole, every driving contact sliding with its full friction, have no solution
//                    with normal forces and finger force above zero. With A(mu) N = b, the forces grow as
//                    1/(mu_lock - mu) on the way there and change sign beyond; what an elastic surface then shows, stuck
//                    and ever more squeezed, is no weight.
// Looked for up to let-off: after it the jack only leans on the knuckle and drives nothing.
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

// `down`: samples of a path going down with friction, in order.
Jam find_jam(const Action& action, const std::vector<run::StaticSample>& down, double dip_let_off);

}  // namespace leverwright::action
