// A rounded convex face: dome, two edge fillets, two sides. Serves as capstan cap, jack top, hammer tail.
//
// Local axes at the apex: t along the face, u outwards (towards the mate), perp(t) = u.
// With xi along t and eta along u, both from the apex:
//   dome    circle of radius R about (0, -R), used between the fillets
//   fillet  circle of radius r about (+-(w - r), eta_f), tangent to the dome from inside:
//           eta_f = -R + sqrt((R - r)^2 - (w - r)^2)
//   side    xi = +-w, below the fillet
// The signed distance phi (positive outside) is C1 outside and down to one fillet radius under the surface:
// normals agree where the pieces join. Deeper under the edge it is the distance to the nearer of dome and
// side, continuous with a ridge. A flat cap is a dome of radius kFlatRadius (sag below 1 micrometre over a 5
// mm half width).
#pragma once
#include <algorithm>
#include <cmath>

#include "sim/planar/body_tree.h"

namespace leverwright::planar {

inline constexpr double kFlatRadius = 20.0;  // [m]

enum class CapZone { kDome, kFilletMinus, kFilletPlus, kSide };

struct CapDistance {
  double phi;        // signed distance [m]
  Vec2 gradient;     // unit, outwards, frame of the cap's body
  double xi;         // coordinate of the nearest surface point along the face [m]
  double curvature;  // of the level set through the point, 1/(r + phi) [1/m]; 0 on a side
  CapZone zone;
};

// The same in the cap's own axes.
struct LocalCapDistance {
  double phi;       // signed distance [m]
  double g_t, g_u;  // its gradient along the face and outwards, unit
  double xi;        // as in CapDistance
  double curvature;
  CapZone zone;
};

class Cap {
 public:
  Cap() = default;
  // apex [m] and outward axis (need not be unit) in the body frame; all lengths in m.
  // Requires 0 <= edge_fillet <= half_width and edge_fillet < dome_radius.
  Cap(const Vec2& apex, const Vec2& axis, double dome_radius, double half_width, double edge_fillet);

  CapDistance distance(const Vec2& p) const;  // p in the body frame
  // From coordinates along the face and outwards, both from the apex.
  LocalCapDistance local_distance(double along, double outwards) const {
    const double size = std::abs(along), up = outwards + R_, side = along < 0 ? -1.0 : 1.0;
    if (size <= tan_edge_ * up) {
      const double l = length_of(along, up), per_l = 1.0 / l;
      if (l - R_ >= size - w_)
        return {l - R_, along * per_l, up * per_l, along * per_l * R_, per_l, CapZone::kDome};
    } else if (outwards > eta_f_) {
      const double x = size - (w_ - r_), y = outwards - eta_f_;
      const double l = length_of(x, y), per_l = 1.0 / l;
      return {l - r_,    side * x * per_l,
              y * per_l, side * (w_ - r_ + x * per_l * r_),
              per_l,     side < 0 ? CapZone::kFilletMinus : CapZone::kFilletPlus};
    }
    return {size - w_, side, 0.0, side * w_, 0.0, CapZone::kSide};
  }
  double phi(const Vec2& p) const {
    const Vec2 d = p - apex_;
    return phi_at(d.dot(t_), d.dot(u_));
  }
  // The same from coordinates along the face and outwards, both from the apex.
  double phi_at(double along, double outwards) const {
    const double xi = std::abs(along), up = outwards + R_;
    if (xi <= tan_edge_ * up) return std::max(length_of(xi, up) - R_, xi - w_);
    if (outwards > eta_f_) return length_of(xi - (w_ - r_), outwards - eta_f_) - r_;
    return xi - w_;
  }

  const Vec2& apex() const { return apex_; }
  const Vec2& axis() const { return u_; }
  const Vec2& along() const { return t_; }
  double dome_radius() const { return R_; }
  double half_width() const { return w_; }
  double edge_fillet() const { return r_; }
  // Centre of the plus fillet.
  double fillet_centre_along() const { return w_ - r_; }
  double fillet_centre_outwards() const { return eta_f_; }
  // |xi| beyond which the dome has ended and the cap rides on its edge.
  double dome_half_width() const { return xi_edge_; }
  // Outline points in the body frame from the minus side to the plus side.
  std::vector<Vec2> outline(double side_length, int points_per_arc = 24) const;

 private:
  // Plain root: no overflow to fear at these sizes, and several times faster than std::hypot.
  static double length_of(double x, double y) { return std::sqrt(x * x + y * y); }
  Vec2 apex_ = Vec2::Zero(), u_ = Vec2(0, 1), t_ = Vec2(1, 0);
  double R_ = 1, w_ = 1, r_ = 0;
  double eta_f_ = 0, tan_edge_ = 0, xi_edge_ = 0;
};

}  // namespace leverwright::planar
