// Vectors of the action plane.
#pragma once
#include <Eigen/Core>

namespace leverwright::base {

using Vec2 = Eigen::Vector2d;

// z-component of a x b.
inline double cross(const Vec2& a, const Vec2& b) { return a.x() * b.y() - a.y() * b.x(); }
// a turned by +90 deg (anticlockwise): the velocity direction of a point at `a` when omega = +1.
inline Vec2 perp(const Vec2& a) { return Vec2(-a.y(), a.x()); }

}  // namespace leverwright::base
