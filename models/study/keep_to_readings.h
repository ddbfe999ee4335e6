// What was read is known at least to the reading's own error.
//
// Readings leave x, the inputs in standard deviations, as independent z (tie_together, inputs.cpp), with effects found where
// they were leaned on. At the set-up compared an effect can be another one: within one standard deviation of an input a
// capstan sticks or slides, and a weight read to 1.5 gf came out as known to 9.7 gf. Let h be the effects of z on the
// base's weight there, v = h.h, and s the reading's error. Where v > s^2 the reading is taken once more, there, with
// the error R that leaves exactly s: 1/s^2 = 1/v + 1/R. z then has the covariance I - h h^T / (v + R), and 1/(v + R) =
// (v - s^2) / v^2; along e = h / sqrt(v) that is s^2 / v instead of 1, across it 1. With its symmetric root every row b of
// effects, of every set-up and measure, becomes b - (1 - s / sqrt(v)) (b.e) e: base, changes and what they have in common
// stay of one piece. Where v <= s^2 nothing is done.
#pragma once
#include "models/study/compare.h"

namespace leverwright::study {

// `d` as conditioned; without readings leaned on it changes nothing. An effect that is not known stays so.
void keep_to_readings(const case_file::CaseDescription& d, Effects& effects);

}  // namespace leverwright::study
