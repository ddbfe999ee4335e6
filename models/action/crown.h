// How the hammer's crown, the playing point and the knuckle stand and move, from coordinates and speeds.
#pragma once
#include <cmath>

#include "models/action/action.h"
#include "sim/planar/point_travel.h"

namespace leverwright::action {

// Speed of the crown towards the string [m/s]: vertical velocity of its highest point.
inline double crown_speed(const Action& a, const planar::VecQ& q, const planar::VecQ& v) {
  return -a.string_gap_rate(q, v);
}

// Travel coordinate of the playing point, and its derivative with respect to the key's angle.
struct TravelAt {
  double travel, slope;
};
// q: the coordinates, as VecQ or as the first entries of a state.
template <class Coordinates>
TravelAt travel_at(const Action& a, const Coordinates& q) {
  const Vec2& r = a.playing_point.r;
  const double lift = a.lift_body >= 0 ? q[static_cast<std::size_t>(a.lift_body)] : 0.0;
  return {planar::point_travel(r, q[kKey]) - lift, planar::point_travel_slope(r, q[kKey])};
}
// Downward speed of the playing point [m/s].
template <class Coordinates>
double travel_speed(const Action& a, const Coordinates& q, const Coordinates& v) {
  const double lift = a.lift_body >= 0 ? v[static_cast<std::size_t>(a.lift_body)] : 0.0;
  return v[kKey] * planar::point_travel_slope(a.playing_point.r, q[kKey]) - lift;
}

// Middle of the knuckle in the jack's frame.
inline Vec2 knuckle_in_jack(const Action& a, const planar::Scratch& s) {
  return s.poses[kJack].from_W(s.poses[kHammer].to_W(a.design.knuckle_centre));
}

}  // namespace leverwright::action
