// A smooth curve on a body: height h over a base line, a C2 cubic spline. Serves as heel, check face.
//
// Local axes at p_origin: ex along the base line, ey outwards (towards the mate), perp(ex) = ey when
// `ey_is_left`, else perp(ex) = -ey. Point of the curve: p(x) = p_origin + x ex + h(x) ey  [m].
// The spline interpolates evenly spaced heights (Boost.Math cardinal cubic B-spline) and is kept as one cubic
// per interval; beyond its ends it goes on straight with the end slope.
#pragma once
#include <vector>

#include "sim/planar/body_tree.h"

namespace leverwright::planar {

struct ProfilePoint {
  double h, slope, curvature;  // h, dh/dx, d2h/dx2
};

class Profile {
 public:
  Profile() = default;
  // heights at x_start + k * spacing, k = 0 .. heights.size()-1 (at least 5).
  Profile(const Vec2& p_origin, const Vec2& along, bool ey_is_left, double x_start, double spacing,
          const std::vector<double>& heights);

  ProfilePoint at(double x) const {
    const double s = (x - x0_) * per_spacing_;
    if (!(s >= 0 && s < static_cast<double>(pieces_.size()))) return beyond(s);
    const auto k = static_cast<std::size_t>(s);
    const double f = s - static_cast<double>(k);
    const Piece& p = pieces_[k];
    return {p.c0 + f * (p.c1 + f * (p.c2 + f * p.c3)), (p.c1 + f * (2 * p.c2 + 3 * f * p.c3)) * per_spacing_,
            (2 * p.c2 + 6 * f * p.c3) * per_spacing_ * per_spacing_};
  }
  double height(double x) const {  // at(x).h, cheaper
    const double s = (x - x0_) * per_spacing_;
    if (!(s >= 0 && s < static_cast<double>(pieces_.size()))) return at(x).h;
    const auto k = static_cast<std::size_t>(s);
    const double f = s - static_cast<double>(k);
    const Piece& p = pieces_[k];
    return p.c0 + f * (p.c1 + f * (p.c2 + f * p.c3));
  }
  // The largest d2h/dx2 and |dh/dx| of the pieces that [from, to] contact_points; 0 where it is straight beyond the
  // ends.
  struct Extremes {
    double hollow, slope;
  };
  Extremes extremes(double from, double to) const;
  Vec2 point(double x) const { return origin_ + x * ex_ + at(x).h * ey_; }
  double x_start() const { return x0_; }
  double x_end() const { return x0_ + spacing_ * static_cast<double>(pieces_.size()); }
  const Vec2& origin() const { return origin_; }
  const Vec2& along() const { return ex_; }
  const Vec2& outward() const { return ey_; }

 private:
  struct Piece {
    double c0, c1, c2, c3;
  };
  ProfilePoint beyond(double s) const;  // outside the pieces
  Vec2 origin_ = Vec2::Zero(), ex_ = Vec2(1, 0), ey_ = Vec2(0, 1);
  double x0_ = 0, spacing_ = 1, per_spacing_ = 1;
  std::vector<Piece> pieces_;
};

// Heights on an even grid through unevenly spaced points (monotone-preserving piecewise cubic, Boost pchip).
std::vector<double> sample_evenly(const std::vector<double>& x, const std::vector<double>& y, double x_start,
                                  double spacing, int count);

}  // namespace leverwright::planar
