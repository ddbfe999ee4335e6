#include "sim/planar/cap.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace leverwright::planar {

Cap::Cap(const Vec2& apex, const Vec2& axis, double dome_radius, double half_width, double edge_fillet)
    : apex_(apex), u_(axis.normalized()), R_(dome_radius), w_(half_width), r_(edge_fillet) {
  assert(R_ > 0 && w_ > 0 && r_ >= 0 && r_ <= w_ && r_ < R_);
  t_ = Vec2(u_.y(), -u_.x());
  const double inner = w_ - r_;
  assert(R_ - r_ > inner);
  const double rise = std::sqrt((R_ - r_) * (R_ - r_) - inner * inner);
  eta_f_ = rise - R_;
  tan_edge_ = inner / rise;
  xi_edge_ = R_ * inner / (R_ - r_);
}

CapDistance Cap::distance(const Vec2& p) const {
  const Vec2 d = p - apex_;
  const LocalCapDistance l = local_distance(d.dot(t_), d.dot(u_));
  return {l.phi, l.g_t * t_ + l.g_u * u_, l.xi, l.curvature, l.zone};
}

std::vector<Vec2> Cap::outline(double side_length, int points_per_arc) const {
  std::vector<Vec2> local;
  const double edge = std::atan(tan_edge_);
  const auto mirror = [](const Vec2& a) { return Vec2(-a.x(), a.y()); };
  std::vector<Vec2> plus;  // from the apex to the plus side
  for (int k = 0; k <= points_per_arc; ++k) {
    const double a = edge * k / points_per_arc;
    plus.emplace_back(R_ * std::sin(a), R_ * (std::cos(a) - 1.0));
  }
  for (int k = 1; k <= points_per_arc; ++k) {
    const double a = edge + (std::acos(0.0) - edge) * k / points_per_arc;
    plus.emplace_back(w_ - r_ + r_ * std::sin(a), eta_f_ + r_ * std::cos(a));
  }
  plus.emplace_back(w_, eta_f_ - side_length);
  for (auto it = plus.rbegin(); it != plus.rend(); ++it) local.push_back(mirror(*it));
  local.insert(local.end(), plus.begin() + 1, plus.end());
  for (Vec2& p : local) p = apex_ + p.x() * t_ + p.y() * u_;
  return local;
}

}  // namespace leverwright::planar
