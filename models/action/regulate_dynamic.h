// The two screws that only a moving action can set: back check and repetition spring.
//
//   check height   crown to string when the key is held down after one pressed blow of regulation.check_blow.
//                  The nearer the check stands to the hammer the higher it catches; too near and the tail rubs
//                  on it on its way up.
//   spring         from that caught position the key is let up kLetUp within kLetUpTime and held. The hammer,
//                  free of the check, rises on the repetition lever; its greatest speed has to lie between the
//                  two stated ones and it must not leave the lever before. Aimed at: their geometric mean; but
//                  the spring is never made so soft that the lever no longer lies on its stop at rest.
// The spring presses on the lever's stop, so it moves rest, let-off and drop a little: the quiet regulation
// is done again after it, and the whole until both screws stand still. Blows are played with the point
// contact under the heel whatever the case's grade: the heel's patch does not reach hammer tail or spring.
#pragma once
#include <functional>

#include "models/action/regulate.h"
#include "models/action/touch.h"

namespace leverwright::action {

inline constexpr double kLetUp = 2e-3;     // [m] at the playing point; invented
inline constexpr double kLetUpTime = 0.1;  // [s]; invented
inline constexpr double kHoldBlow = 0.22;  // [s] from the start of the blow until the check height is read

// Frictionless rest of an action without a finger; empty state when none is found.
Rest find_rest(const Action& action);

struct CheckedBlow {
  bool reached = false, caught = false;
  double hammer_speed = 0;    // at the string [m/s]
  double check_distance = 0;  // crown to string at kHoldBlow [m]
  std::vector<double> state;  // then
};
// Not reached where the action has no rest to start from.
CheckedBlow play_checked_blow(const Action& action, const Rest& rest, const PressedTouch& touch);

struct Rise {
  bool freed = false;       // the tail came off the check
  bool left_lever = false;  // before the greatest speed
  double speed = 0;         // greatest, of the crown towards the string [m/s]
};
// The key let up from the state after a caught blow.
Rise play_rise(const Action& action, const Rest& rest, const CheckedBlow& blow);

struct PlayedRegulation {
  bool ok = false;
  std::vector<Failure> failures;
  double checking = 0;    // [m]
  double rise_speed = 0;  // [m/s]
  PressedTouch blow;      // the one the check is set by
  int strokes = 0;
};

// Turns back check and repetition spring of a quietly regulated action; `regulated` is brought up to date.
PlayedRegulation regulate_by_playing(ActionDesign& design, Regulated& regulated,
                                     const std::function<void(double share_done)>& progress = {});

}  // namespace leverwright::action
