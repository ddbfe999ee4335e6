// A small invented results file with one stroke of two set-ups: key, wippen with jack, hammer, and a motion
// given by formulas.
#pragma once
#include <string>

namespace leverwright::mock {

void write_small_study(const std::string& path);

// The invented motion, rad: the hammer rises by 0.3 rad between 20 and 60 ms.
double small_hammer_angle(double t);

}  // namespace leverwright::mock
