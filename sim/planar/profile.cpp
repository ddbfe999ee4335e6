#include "sim/planar/profile.h"

#include <algorithm>
#include <boost/math/interpolators/cardinal_cubic_b_spline.hpp>
#include <boost/math/interpolators/pchip.hpp>
#include <cassert>
#include <cmath>

namespace leverwright::planar {

Profile::Profile(const Vec2& p_origin, const Vec2& along, bool ey_is_left, double x_start, double spacing,
                 const std::vector<double>& heights)
    : origin_(p_origin),
      ex_(along.normalized()),
      x0_(x_start),
      spacing_(spacing),
      per_spacing_(1.0 / spacing) {
  assert(heights.size() >= 5 && spacing > 0);
  ey_ = ey_is_left ? perp(ex_) : Vec2(-perp(ex_));
  const std::size_t n = heights.size() - 1;
  // End slopes from the cubic through the four outermost heights: left to itself the library's estimate at
  // the right end can bend the last interval.
  const auto end_slope = [&](std::size_t at, int step) {
    const auto h = [&](int k) {
      const int place = static_cast<int>(at) + k * step;
      return heights[static_cast<std::size_t>(place)];
    };
    return (-11 * h(0) + 18 * h(1) - 9 * h(2) + 2 * h(3)) / (6 * spacing * step);
  };
  const boost::math::interpolators::cardinal_cubic_b_spline<double> spline(
      heights.begin(), heights.end(), x_start, spacing, end_slope(0, 1), end_slope(n, -1));
  pieces_.resize(n);
  for (std::size_t k = 0; k < n; ++k) {
    const double a = heights[k], b = heights[k + 1];
    const double sa = spline.prime(x_start + static_cast<double>(k) * spacing) * spacing;
    const double sb = spline.prime(x_start + static_cast<double>(k + 1) * spacing) * spacing;
    pieces_[k] = {a, sa, 3 * (b - a) - 2 * sa - sb, 2 * (a - b) + sa + sb};
  }
}

ProfilePoint Profile::beyond(double s) const {
  const auto n = static_cast<double>(pieces_.size());
  if (s < n) {
    const Piece& p = pieces_.front();
    return {p.c0 + p.c1 * s, p.c1 * per_spacing_, 0.0};
  }
  const Piece& p = pieces_.back();
  const double slope = p.c1 + 2 * p.c2 + 3 * p.c3;
  return {p.c0 + p.c1 + p.c2 + p.c3 + slope * (s - n), slope * per_spacing_, 0.0};
}

Profile::Extremes Profile::extremes(double from, double to) const {
  Extremes out{0, 0};
  const auto n = static_cast<double>(pieces_.size());
  const auto first = static_cast<std::size_t>(std::clamp((from - x0_) * per_spacing_, 0.0, n - 1));
  const auto last = static_cast<std::size_t>(std::clamp((to - x0_) * per_spacing_, 0.0, n - 1));
  for (std::size_t k = first; k <= last; ++k) {
    const Piece& p = pieces_[k];
    const double second = per_spacing_ * per_spacing_;
    out.hollow = std::max({out.hollow, 2 * p.c2 * second, (2 * p.c2 + 6 * p.c3) * second});
    for (const double slope : {p.c1, p.c1 + 2 * p.c2 + 3 * p.c3})
      out.slope = std::max(out.slope, std::abs(slope) * per_spacing_);
  }
  return out;
}

std::vector<double> sample_evenly(const std::vector<double>& x, const std::vector<double>& y, double x_start,
                                  double spacing, int count) {
  assert(x.size() == y.size() && x.size() >= 4);
  std::vector<double> out(static_cast<std::size_t>(count));
  const double lo = x.front(), hi = x.back();
  std::vector<double> xs = x, ys = y;
  const boost::math::interpolators::pchip<std::vector<double>> spline(std::move(xs), std::move(ys));
  const double slope_lo = spline.prime(lo), slope_hi = spline.prime(hi);
  for (int k = 0; k < count; ++k) {
    const double s = x_start + spacing * k;
    out[static_cast<std::size_t>(k)] = s < lo   ? y.front() + slope_lo * (s - lo)
                                       : s > hi ? y.back() + slope_hi * (s - hi)
                                                : spline(s);
  }
  return out;
}

}  // namespace leverwright::planar
