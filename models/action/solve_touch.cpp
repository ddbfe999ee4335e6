#include "models/action/solve_touch.h"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

namespace leverwright::action {

SolvedTouch solve_touch(const std::function<double(double)>& speed_of, double guess, double least,
                        double most, double hammer_speed, const std::function<void(double)>& progress) {
  constexpr double kAim = 2e-4, kGoodEnough = 1e-3;  // shares
  SolvedTouch out;
  out.parameter = guess;
  double best = 1e9;
  const auto miss = [&](double parameter) {
    const double v = speed_of(parameter);
    ++out.strokes;
    if (progress) progress(std::min(1.0, out.strokes / 12.0));
    const double off = v / hammer_speed - 1;
    if (std::abs(off) < best) {
      best = std::abs(off);
      out.parameter = parameter;
      out.speed = v;
    }
    return std::abs(off) < kAim ? 0.0 : off;
  };
  double low = guess, f_low = miss(low), high = low, f_high = f_low;
  while (f_high < 0 && high < most) {
    low = high;
    f_low = f_high;
    high *= 1.6;
    f_high = miss(high);
  }
  while (f_low > 0 && low > least) {
    high = low;
    f_high = f_low;
    low /= 1.6;
    f_low = miss(low);
  }
  if (f_low < 0 && f_high > 0) {
    std::uintmax_t iterations = 25;
    boost::math::tools::toms748_solve(
        miss, low, high, f_low, f_high, [](double a, double b) { return b - a < 1e-9 * b; }, iterations);
  }
  out.found = best < kGoodEnough;
  return out;
}

}  // namespace leverwright::action
