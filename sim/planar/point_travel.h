// Downward travel of a point fixed on a body that turns about its origin, and its inverse.
//
// r = (r_x, r_y) from the body's origin, a the body's absolute angle, travel counted from a = 0:
//   travel(a)    = r_y - (r_x sin a + r_y cos a)
//   slope(a)     = d travel / da   = -(r_x cos a - r_y sin a)
//   curvature(a) = d2 travel / da2 =   r_x sin a + r_y cos a
// and with r = |r| (cos b, sin b):  sin(a + b) = (r_y - travel) / |r|.
#pragma once
#include <cassert>
#include <cmath>

#include "sim/base/units.h"
#include "sim/base/vec2.h"

namespace leverwright::planar {

inline double point_travel(const base::Vec2& r, double a) {
  return r.y() - (std::sin(a) * r.x() + std::cos(a) * r.y());
}
inline double point_travel_slope(const base::Vec2& r, double a) {
  return -(std::cos(a) * r.x() - std::sin(a) * r.y());
}
inline double point_travel_curvature(const base::Vec2& r, double a) {
  return std::sin(a) * r.x() + std::cos(a) * r.y();
}
// The angle nearest zero at which the point has this travel; |travel - r_y| must not exceed |r|.
inline double angle_for_travel(const base::Vec2& r, double travel) {
  const double length = r.norm(), b = std::atan2(r.y(), r.x());
  const double s = (r.y() - travel) / length;
  assert(std::abs(s) <= 1);
  const double a = r.x() < 0 ? base::kPi - std::asin(s) - b : std::asin(s) - b;
  return std::remainder(a, 2 * base::kPi);
}

}  // namespace leverwright::planar
