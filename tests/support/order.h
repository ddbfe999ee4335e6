// Order of convergence: the one helper through which every claim of an order is tested.
#pragma once
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace leverwright::support {

// Errors with a step and with the same step halved `halvings` times.
inline double observed_order(double coarse_error, double fine_error, int halvings = 1) {
  return std::log2(coarse_error / fine_error) / halvings;
}

// Errors of steps each half the one before: every halving shows the order to within `tolerance`. Errors below
// `noise` are rounding and show nothing: a failure.
inline ::testing::AssertionResult order_is(const std::vector<double>& errors, double order, double tolerance,
                                           double noise) {
  if (errors.size() < 2) return ::testing::AssertionFailure() << "two errors at least";
  for (std::size_t k = 0; k < errors.size(); ++k)
    if (!(errors[k] > noise))
      return ::testing::AssertionFailure() << "error " << k << ", " << errors[k] << ", is noise";
  for (std::size_t k = 1; k < errors.size(); ++k) {
    const double seen = observed_order(errors[k - 1], errors[k]);
    if (!(std::abs(seen - order) <= tolerance))
      return ::testing::AssertionFailure()
             << "halving " << k << " shows order " << seen << ": " << errors[k - 1] << " then " << errors[k];
  }
  return ::testing::AssertionSuccess();
}

}  // namespace leverwright::support
