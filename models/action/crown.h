// How the hammer's crown, the playing point and the knuckle stand and move, from coordinates and speeds.
#pragma once
#include <cmath>

#include "models/action/action.h"

namespace leverwright::action {

// Speed of the crown towards the string [m/s]: vertical velocity of its highest point.
inline double crown_speed(const Action& a, const planar::VecQ& q, const planar::VecQ& v) {
  const Vec2 r = a.crown() - Vec2(0, 6e-3);  // centre of the crown's circle
  return v[kHammer] * (std::cos(q[kHammer]) * r.x() - std::sin(q[kHammer]) * r.y());
}

// Travel coordinate of the playing point and its derivatives with respect to the key's angle.
struct TravelAt {
  double travel, slope, curvature;
};
inline TravelAt travel_at(const Action& a, double theta) {
  const Vec2& r = a.playing_point.r;
  const double y = std::sin(theta) * r.x() + std::cos(theta) * r.y();
  return {r.y() - y, -(std::cos(theta) * r.x() - std::sin(theta) * r.y()), y};
}

// Middle of the knuckle in the jack's frame.
inline Vec2 knuckle_in_jack(const Action& a, const planar::Scratch& s) {
  return s.poses[kJack].from_W(s.poses[kHammer].to_W(a.design.knuckle_centre));
}

}  // namespace leverwright::action
