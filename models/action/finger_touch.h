// A finger that plays the key: struck from above or pressed from the key's surface.
//
//        hand      follows a given way, whatever the key does
//         |  arm   muscles between hand and finger: F = F_hold (d / d_over)^2 both ways, with loss
//       finger     mass of finger and what moves with it at the playing point; its weight is borne
//         |  flesh F = F_1 (d / d_1)^3, with loss
//        key
//
// Laws: F_1 = 1 N; k_1 = p F_1 / d_1 is the stiffness at 1 N, at a force F it is k_1 F^(1 - 1/p): flesh and
// muscles both stiffen as they bear more. Speed is resisted through a loss time alpha = damping / k_1
// (sim/planar/cloth.h). The finger pad's force grows more than linearly with displacement and relaxes
// ([@pawluk1999], abstract: exponential between 0 and 2 N); here a power,
// which stays finite at tens of newtons. All numbers are estimates with ranges: the case's [touches].
//
// The hand's way down: accelerates evenly to the speed v, goes on at v, stops evenly within `stop`, d_over
// below where the key has its bottom.
//     struck   the hand gets its speed over `height` above the key and lands with it
//     pressed  finger on the key, the hand gets its speed over `run_up` while the key goes down
// v is what is solved for a hammer speed. The hand goes up again at the release, within `lift`.
//
// Why the hand is a way and not a force: thrown on the key with a force that knows nothing of the key, the
// finger gives its motion away at once, the hammer runs ahead of a key that has not let off yet, falls back
// on a jack still under the knuckle and strikes again. An arm that goes on pushes the key through the let-off
// as soon as the finger falls behind. See models/handbook/touches.md.
#pragma once
#include <string>

#include "models/action/play.h"

namespace leverwright::action {

inline constexpr double kFleshExponent = 3;      // estimate, 2 to 4
inline constexpr double kFleshHysteresis = 0.2;  // estimate, 0 to 0.4
inline constexpr double kArmExponent = 2;        // estimate, 1 to 3

// Stiffness and damping at 1 N [N/m, N s/m].
planar::Cloth finger_flesh(double stiffness, double damping);

struct FingerTouch {
  bool struck = true;
  double mass = 0.2;             // [kg]
  double stiffness = 4000;       // of the flesh at 1 N [N/m]
  double damping = 15;           // of the flesh at 1 N [N s/m]
  double hold_still = 3;         // [N]
  double hold_per_speed = 10;    // [N s/m]
  double over = 10e-3;           // d_over [m]
  double arm_loss_time = 10e-3;  // [s]
  double height = 20e-3;         // struck: hand and finger above the key at the start [m]
  double run_up = 10e-3;         // pressed: way over which the hand gets its speed [m]
  double speed = 0.4;            // of the hand; solved [m/s]
  double dip = 10e-3;            // where the key has its bottom, below rest [m]
  double stop = 20e-3;           // time the hand stops in [s]; less where the way is too short for it
  double start = 5e-3;           // [s]
  double release_after = 0.4;    // from the hand's meeting the key's rest to the release, or later [s]
  double lift = 60e-3;           // time of the way up [s]

  double hold() const { return hold_still + hold_per_speed * speed; }  // [N]
  planar::Cloth arm() const;
  double lands_at() const;     // [s]
  double stops_at() const;     // the hand, below the key's bottom [s]
  double released_at() const;  // [s]
};

// The hand's way, downwards from its start.
std::shared_ptr<const run::History> hand_history(const FingerTouch& touch);

// The action with this finger over its key, ready to be played.
struct FingeredAction {
  Action action;
  Rest rest;
};
// q: coordinates at rest as regulation found them.
FingeredAction put_finger(const ActionDesign& design, const ScrewSettings& screws, const planar::VecQ& q,
                          const FingerTouch& touch);

run::Drive finger_touch_drive(const FingeredAction& fingered, const FingerTouch& touch);
// The options with the release where this touch has it and the rest of the stroke after it.
PlayOptions finger_options(const FingerTouch& touch, PlayOptions options = {});

struct FoundFingerTouch {
  bool found = false;
  FingerTouch touch;        // with the speed that was found, or the nearest
  double hammer_speed = 0;  // [m/s]
  int strokes = 0;
  std::string advice;  // when not found
};
// Solves the hand's speed for the hammer's speed at the string.
FoundFingerTouch find_finger_touch(const ActionDesign& design, const ScrewSettings& screws,
                                   const planar::VecQ& q, double hammer_speed, FingerTouch touch,
                                   const PlayOptions& options = {});

}  // namespace leverwright::action
