// Strokes repeated on one note by a finger whose motion is given: which of them sound, and how loud.
//
// A stroke counts from its beginning to that of the next. Its hammer speed is that of the fastest meeting of
// hammer and string in that time, 0 when there was none.
#pragma once
#include <string>
#include <vector>

#include "models/action/finger_motion.h"

namespace leverwright::action {

struct RepeatedStroke {
  double start = 0;           // of the finger's way down [s]
  double hammer_speed = 0;    // of the crown at the string, fastest meeting [m/s]
  int meetings = 0;           // of hammer and string
  double key_height = 0;      // least dip of the playing point on the way up before it [m]
  bool jack_was_set = false;  // at its start: the jack on its stop with the knuckle above it
};

struct Train {
  std::vector<RepeatedStroke> strokes;
  std::string stopped;  // why it ended early ("" when it did not); strokes not played have speed 0
  run::StrokeStatistics statistics;
  // Where the jack first came back under the knuckle after the first stroke: time since the finger began to
  // go up, and dip of the playing point then. NaN when it did not.
  double jack_reset_after = 0, jack_reset_dip = 0;  // [s], [m]
  // For a picture; empty without an output interval.
  std::vector<double> time, key_dip, finger_dip, string_gap;  // [s], [m]
};

// `with`: from put_finger; `output_interval` 0: no curves.
Train play_train(const WithFinger& with, const FingerMotion& motion, double output_interval = 0);

}  // namespace leverwright::action
