#include "sim/analysis/pitch_point.h"

#include <cmath>

namespace leverwright::analysis {

using base::cross;
using base::perp;

double line_distance(const Vec2& c_a, const Vec2& c_b, const Vec2& p) {
  const Vec2 e = c_b - c_a;
  return cross(e, p - c_a) / e.norm();
}

PitchPoint find_pitch_point(const Vec2& c_a, const Vec2& c_b, const Vec2& p, const Vec2& n) {
  PitchPoint out;
  const Vec2 e = c_b - c_a;
  out.line_distance = line_distance(c_a, c_b, p);
  const double across = cross(n, e);
  if (std::abs(across) < 1e-9 * e.norm()) return out;
  out.exists = true;
  out.along_normal = cross(c_a - p, e) / across;
  out.p = p + out.along_normal * n;
  out.speed_ratio = cross(p - c_a, n) / cross(p - c_b, n);
  return out;
}

InstantCentre find_instant_centre(const planar::Pose& pose) {
  const double speed = pose.v_o.norm();
  if (pose.omega == 0 || std::abs(pose.omega) * 1e3 < speed) return {};  // further off than a kilometre
  return {true, pose.o + perp(pose.v_o) / pose.omega};
}

}  // namespace leverwright::analysis
