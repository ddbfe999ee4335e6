// The one parameter of a touch that makes the hammer meet the string at a stated speed.
#pragma once
#include <functional>

namespace leverwright::action {

struct SolvedTouch {
  bool found = false;    // within 0.1 % (aimed at 0.02 %)
  double parameter = 0;  // that was found, or the nearest
  double speed = 0;      // of the hammer with it [m/s]; 0: the string is not reached
  int strokes = 0;       // tried
};

// speed_of(parameter): hammer speed at the string, 0 where it is not reached; it rises with the parameter.
// Brackets from `guess` by steps of 1.6 between `least` and `most`, then TOMS 748.
SolvedTouch solve_touch(const std::function<double(double)>& speed_of, double guess, double least,
                        double most, double hammer_speed,
                        const std::function<void(double share_done)>& progress = {});

}  // namespace leverwright::action
