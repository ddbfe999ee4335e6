// The lines of the bench sheet that are asked first: those that narrow the answer most, then those of common practice.
#pragma once
#include <vector>

namespace leverwright::workshop {

inline constexpr int kMostFirst = 15;
inline constexpr double kNotFound = 1;  // in place of `left`: chosen by judgement, not by the experiment

struct FirstLine {
  int number;   // of the sheet's line
  double left;  // width of the answers that this line and those before it leave, as a share of what it was
};

// The most telling first; where it comes from stands in first_lines.cpp.
const std::vector<FirstLine>& first_lines();

}  // namespace leverwright::workshop
