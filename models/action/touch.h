// Touches: what the finger does.
//
//   pressed     a force at the playing point: half-cosine rise over `rise` to the plateau, held, half-cosine
//               fall over `fall` from the release on. Rise and fall times are invented; the plateau is solved
//               so that the hammer meets the string at a stated speed.
//   key motion  the playing point follows a given way down and up (quintic ramps); the finger's force is the
//               answer
//   weight      a mass falls on the key from a stated height through a stiff pad (Finger with its own weight)
//   finger      a mass on spring and damper pressed by a force history; its weight is borne by the arm
#pragma once
#include <functional>
#include <memory>

#include "models/action/play.h"

namespace leverwright::action {

struct PressedTouch {
  double start = 5e-3;      // [s]
  double rise = 40e-3;      // [s]
  double plateau = 5;       // [N]
  double release_at = 0.4;  // [s]
  double fall = 30e-3;      // [s]
};
run::Drive pressed_drive(const Action& action, const PressedTouch& touch);

struct KeyMotion {
  double start = 5e-3;       // [s]
  double down_time = 40e-3;  // [s]
  double dip = 10e-3;        // [m] at the playing point
  double release_at = 0.4;   // [s]
  double up_time = 60e-3;    // [s]
};
run::Drive key_motion_drive(const Action& action, const Rest& rest, const KeyMotion& motion);
// Any way of the playing point below rest [m], as the drive of the key.
run::Drive key_motion_drive(const Action& action, const Rest& rest, std::shared_ptr<const run::History> dip);

// For an action assembled with a Finger: the force history presses the finger, whose weight is borne; without
// a history (nullptr) it falls freely as a weight.
run::Drive finger_drive(const Action& action, std::shared_ptr<const run::History> force);

struct FoundTouch {
  bool found = false;
  PressedTouch touch;       // with the plateau that was found, or the best
  double hammer_speed = 0;  // what it gives [m/s]
  int strokes = 0;          // tried
  std::string advice;       // when not found: what stands in the way
};

// Solves the plateau for the hammer's speed at the string, to 0.1 % (aimed at 0.02 %).
FoundTouch find_pressed_touch(const Action& action, const Rest& rest, double hammer_speed,
                              PressedTouch touch = {}, const PlayOptions& options = {});

}  // namespace leverwright::action
