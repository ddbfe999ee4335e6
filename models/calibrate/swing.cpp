#include "models/calibrate/swing.h"

#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <limits>

namespace leverwright::calibrate {

namespace {

// theta_k+1 of a half swing that begins at theta_k; below 0: it stands before the middle.
double next_amplitude(double torque, double moment, double theta) {
  const auto lost = [&](double next) {
    return moment * (std::cos(next) - std::cos(theta)) - torque * (theta + next);
  };
  // Falls as `next` grows (slope -M sin next - T); at `theta` it is below zero.
  double low = -theta, high = theta;
  for (int k = 0; k < 80; ++k) {
    const double middle = 0.5 * (low + high);
    (lost(middle) > 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

double swings_until_still(double torque, double moment, double theta_0) {
  if (!(torque > 0)) return std::numeric_limits<double>::infinity();
  constexpr int kMost = 4000;
  double theta = theta_0, halves = 0;
  const double still = torque >= moment ? theta_0 : std::asin(torque / moment);
  while (halves < kMost) {
    if (theta <= still) return 0.5 * halves;
    const double next = next_amplitude(torque, moment, theta);
    if (next <= still) {  // the last one: the part of it still above where it would stand
      return 0.5 * (halves + (theta - still) / (theta - next));
    }
    theta = next;
    ++halves;
  }
  return 0.5 * halves;
}

double torque_of_swings(double swings, double moment, double theta_0) {
  const auto miss = [&](double log_torque) {
    return swings_until_still(std::exp(log_torque), moment, theta_0) - swings;
  };
  double low = std::log(moment * theta_0 / (8 * swings + 40)),
         high = std::log(moment * std::sin(std::min(theta_0, 1.5)));
  if (miss(high) > 0) return std::exp(high);
  while (miss(low) < 0) low -= 1;
  boost::uintmax_t iterations = 80;
  const auto found = boost::math::tools::toms748_solve(
      miss, low, high, boost::math::tools::eps_tolerance<double>(40), iterations);
  return std::exp(0.5 * (found.first + found.second));
}

}  // namespace leverwright::calibrate
