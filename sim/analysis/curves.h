// Numbers from sampled curves y(x), x rising: values between samples, means over windows, extremes.
#pragma once
#include <vector>

namespace leverwright::analysis {

struct Curve {
  std::vector<double> x, y;  // the same length, x strictly rising
};

// Straight lines between samples; the end values outside. The curve must not be empty.
double interpolate(const Curve& c, double x);

// Integral of the straight-line curve over [from, to], and its mean there (from < to, both within the
// samples).
double integral_over(const Curve& c, double from, double to);
double mean_over(const Curve& c, double from, double to);

struct Extreme {
  double x = 0, y = 0;
  bool at_end = false;  // at an end of the window: no turning point there
};
// Highest (lowest) point within [from, to]: the best sample, moved to the top of the parabola through it and
// its two neighbours where all three lie in the window. Error of third order in the spacing on a smooth
// curve.
Extreme find_maximum(const Curve& c, double from, double to);
Extreme find_minimum(const Curve& c, double from, double to);

// Places where y - level changes sign, by straight lines.
std::vector<double> find_crossings(const Curve& c, double level);

}  // namespace leverwright::analysis
