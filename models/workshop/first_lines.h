// The lines of the bench sheet that narrow the answer most, and are asked first.
#pragma once
#include <vector>

namespace leverwright::workshop {

inline constexpr int kMostFirst = 15;

struct FirstLine {
  int number;   // of the sheet's line
  double left;  // width of the answers that this line and those before it leave, as a share of what it was
};

// The most telling first; where it comes from stands in first_lines.cpp.
const std::vector<FirstLine>& first_lines();

}  // namespace leverwright::workshop
