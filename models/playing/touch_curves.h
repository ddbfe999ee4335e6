// What a note does over the whole range of hammer speeds, for each way of playing it: a bare force on the
// key, a finger that presses from the key's surface, a finger that strikes from above.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::playing {

struct TouchCurve {
  std::string how;  // "pressed by a force", "pressed by a finger", "struck by a finger"
  std::vector<study::PlayedTouch>
      strokes;  // one per hammer speed, in their order; found.found false: not reached
};

struct TouchCurveOptions {
  std::vector<double> speeds = {0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 3.8, 4.5, 6.0};  // [m/s]
  std::function<bool(double share_done)> progress;  // false: stop; the curves then end where they are
};

// `set_up`: regulated. Runs in parallel over the speeds; the same bits for any number of threads.
std::vector<TouchCurve> find_touch_curves(const case_file::CaseDescription& description,
                                          const study::SetUpResult& set_up,
                                          const TouchCurveOptions& options = {});

// Where `value` of successive strokes passes through zero, by a straight line between them; NaN when it does
// not. Strokes whose value is NaN are left out [m/s].
double find_zero_speed(const TouchCurve& curve,
                       const std::function<double(const study::PlayedTouch&)>& value);

}  // namespace leverwright::playing
