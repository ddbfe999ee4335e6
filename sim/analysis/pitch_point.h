// Pitch point of two bodies in contact, and what it says about sliding.
//
// Bodies a and b turn about instantaneous centres c_a, c_b (their pins, when they are pivoted on the ground)
// and touch at p along the normal n. Their relative instantaneous centre I lies on the line of centres c_a
// c_b (Aronhold-Kennedy theorem of three centres) and, when they neither part nor sink in, on the normal
// through p. So
//   I = p + s n,   s = cross(c_a - p, e) / cross(n, e),   e = c_b - c_a,
// and material points at the contact slide past each other with
//   t . (v_b - v_a) = omega_rel s,   omega_rel = omega_b - omega_a,   t = -perp(n)   (as in
//   planar/contact.h),
// |omega_rel| times the distance from contact to pitch point. The speed ratio is set by I, not by p:
//   omega_b / omega_a = cross(I - c_a, n) / cross(I - c_b, n)   (distances along the line of centres).
// Holds for rigid surfaces; with compression the depth rate adds a part along n only.
// Source: any textbook of mechanisms, e.g. [@hartenberg1964].
#pragma once
#include "sim/planar/body_tree.h"

namespace leverwright::analysis {

using base::Vec2;

struct PitchPoint {
  bool exists = false;      // false: the normal is parallel to the line of centres
  Vec2 p = Vec2::Zero();    // I, W [m]
  double along_normal = 0;  // s: from the contact to I along n [m]
  double line_distance =
      0;  // of the contact from the line of centres, positive on the left going from a to b [m]
  double speed_ratio = 0;  // omega_b / omega_a of rigid surfaces
};

PitchPoint find_pitch_point(const Vec2& c_a, const Vec2& c_b, const Vec2& p, const Vec2& n);

// Distance of p from the line through the two centres, positive on the left going from a to b.
double line_distance(const Vec2& c_a, const Vec2& c_b, const Vec2& p);

// Slip velocity at the contact from the relative turning speed [m/s].
inline double slip_velocity(const PitchPoint& i, double omega_relative) {
  return omega_relative * i.along_normal;
}

// Where a moving body has no velocity at this instant: o + perp(v_o) / omega. The ground, and a body that
// does not turn, have none: then `exists` is false.
struct InstantCentre {
  bool exists = false;
  Vec2 p = Vec2::Zero();
};
InstantCentre find_instant_centre(const planar::Pose& pose);

}  // namespace leverwright::analysis
