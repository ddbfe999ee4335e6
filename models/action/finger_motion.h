// The finger of repeated strokes: its way up and down is given, what it does to the key is the answer.
//
// The finger is a body of the mechanism (action.h, Finger) whose height follows a given way; it presses the
// key through its pad and can only push, so that the key comes back by its own weight and by what the action
// gives back, never pulled. Heights count downwards from the key's rest.
//
//   one stroke, period T = 1/rate:   quintic ramp down from depth - back to depth over t_down
//                                    rest at the bottom for (T - t_down - t_up) / 2
//                                    quintic ramp up over t_up, rest at the top for the remaining time
//   t_down = least of down_time and kDownShare T;  t_up = least of up_time and kUpShare T
//   jitter: stroke k begins at k T + T time_jitter r, and turns at the bottom and at the top off the stated
//           heights by back * height_jitter r, every r uniform on [-1, 1] from one generator
//
// The numbers of the motion are invented; jitter is there because success against rate is not monotone: a
// train without it can fall into step with the hammer.
// The generator is std::mt19937_64, whose numbers the language standard fixes; r = 2 (n >> 11) 2^-53 - 1.
#pragma once
#include <cstdint>
#include <memory>
#include <vector>

#include "models/action/play.h"

namespace leverwright::action {

struct FingerMotion {
  double rate = 8;                            // [1/s]
  int strokes = 25;                           // the first begins where nothing went before
  double depth = 10e-3;                       // where the finger turns, below the key's rest [m]
  double back = 10e-3;                        // how far it goes up between strokes [m]
  double down_time = 40e-3, up_time = 40e-3;  // [s]
  double time_jitter = 0.03;                  // largest, share of the period
  double height_jitter = 0.02;                // largest, share of `back`
  std::uint64_t seed = 1;
  // The first stroke where it differs: begins first_back above `depth` and goes down in first_down_time.
  double first_back = 0, first_down_time = 0;  // [m], [s]; 0: as the others
};
inline constexpr double kDownShare = 0.45, kUpShare = 0.40;

// Invented: a fingertip held stiff, so that the key's travel is the finger's within 0.2 mm at 10 N.
inline constexpr Finger kStiffFinger = {0.05, 40e3, 40, 0};

struct FingerWay {
  std::shared_ptr<const run::History> height;  // below the key's rest [m]
  std::vector<double> start;                   // when each stroke begins [s]
  double end = 0;                              // of the last stroke [s]
};
FingerWay find_finger_way(const FingerMotion& motion);

// A finger that follows this way, for an action assembled with a Finger.
run::Drive finger_motion_drive(const Action& action, const Rest& rest,
                               std::shared_ptr<const run::History> height);

// `action` with a finger over its key, and the rest from which strokes begin: finger laid on the key.
struct WithFinger {
  Action action;
  Rest rest;
};
WithFinger put_finger(const ActionDesign& design, const ScrewSettings& screws, const planar::VecQ& q_rest,
                      const Finger& finger = kStiffFinger);

}  // namespace leverwright::action
