#include "sim/analysis/curves.h"

#include <algorithm>
#include <cassert>

namespace leverwright::analysis {

double interpolate(const Curve& c, double x) {
  assert(!c.x.empty() && c.x.size() == c.y.size());
  if (x <= c.x.front()) return c.y.front();
  if (x >= c.x.back()) return c.y.back();
  const auto k = static_cast<std::size_t>(std::upper_bound(c.x.begin(), c.x.end(), x) - c.x.begin());
  const double share = (x - c.x[k - 1]) / (c.x[k] - c.x[k - 1]);
  return c.y[k - 1] + share * (c.y[k] - c.y[k - 1]);
}

double integral_over(const Curve& c, double from, double to) {
  double sum = 0, x = from, y = interpolate(c, from);
  for (std::size_t k = 0; k < c.x.size() && c.x[k] < to; ++k) {
    if (c.x[k] <= from) continue;
    sum += 0.5 * (c.x[k] - x) * (c.y[k] + y);
    x = c.x[k];
    y = c.y[k];
  }
  return sum + 0.5 * (to - x) * (interpolate(c, to) + y);
}

double mean_over(const Curve& c, double from, double to) {
  assert(from < to);
  return integral_over(c, from, to) / (to - from);
}

namespace {

// sign +1: maximum, -1: minimum.
Extreme find_extreme(const Curve& c, double from, double to, double sign) {
  constexpr double kRound = 1e-12;  // a sample on the window's edge belongs to it
  Extreme out;
  std::size_t best = c.x.size();
  for (std::size_t k = 0; k < c.x.size(); ++k) {
    if (c.x[k] < from - kRound || c.x[k] > to + kRound) continue;
    if (best == c.x.size() || sign * c.y[k] > sign * c.y[best]) best = k;
  }
  if (best == c.x.size()) {  // no sample inside: the better end
    const double a = interpolate(c, from), b = interpolate(c, to);
    return sign * a >= sign * b ? Extreme{from, a, true} : Extreme{to, b, true};
  }
  out = {c.x[best], c.y[best], false};
  if (best == 0 || best + 1 == c.x.size() || c.x[best - 1] < from - kRound || c.x[best + 1] > to + kRound) {
    out.at_end = true;
    return out;
  }
  // Parabola through three points, in Newton's form about the middle one.
  const double h1 = c.x[best] - c.x[best - 1], h2 = c.x[best + 1] - c.x[best];
  const double s1 = (c.y[best] - c.y[best - 1]) / h1, s2 = (c.y[best + 1] - c.y[best]) / h2;
  const double bend = (s2 - s1) / (h1 + h2);
  const double slope = (s1 * h2 + s2 * h1) / (h1 + h2);  // at the middle point
  if (sign * bend >= 0) return out;
  const double shift = std::clamp(-slope / (2 * bend), -h1, h2);
  out.x += shift;
  out.y += shift * (slope + shift * bend);
  return out;
}

}  // namespace

Extreme find_maximum(const Curve& c, double from, double to) { return find_extreme(c, from, to, 1.0); }
Extreme find_minimum(const Curve& c, double from, double to) { return find_extreme(c, from, to, -1.0); }

std::vector<double> find_crossings(const Curve& c, double level) {
  std::vector<double> out;
  for (std::size_t k = 1; k < c.x.size(); ++k) {
    const double a = c.y[k - 1] - level, b = c.y[k] - level;
    if ((a < 0) != (b < 0)) out.push_back(c.x[k - 1] + (c.x[k] - c.x[k - 1]) * a / (a - b));
  }
  return out;
}

}  // namespace leverwright::analysis
