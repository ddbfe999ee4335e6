#include "tests/independent/surfaces.h"

#include <algorithm>
#include <cmath>

namespace leverwright::independent {

Face::Face(const PlainFace& f, double raised)
    : axis_{std::sin(f.lean), std::cos(f.lean)}, R_(f.dome_radius), w_(f.half_width), r_(f.edge_fillet) {
  apex_ = f.apex + raised * axis_;
  gamma_ = std::asin((w_ - r_) / (R_ - r_));
  fillet_x_ = w_ - r_;
  fillet_y_ = (R_ - r_) * std::cos(gamma_) - R_;
}

Distance Face::distance(Point p) const {
  const Point along{axis_.y, -axis_.x}, d = p - apex_;
  const double a = dot(d, along), b = dot(d, axis_), side = a < 0 ? -1 : 1;
  const auto back = [&](double n_a, double n_b) { return n_a * along + n_b * axis_; };
  if (std::atan2(std::abs(a), b + R_) <= gamma_) {
    const double from_centre = std::hypot(a, b + R_);
    return {from_centre - R_, back(a / from_centre, (b + R_) / from_centre)};
  }
  if (b > fillet_y_) {
    const double x = std::abs(a) - fillet_x_, y = b - fillet_y_, from_centre = std::hypot(x, y);
    return {from_centre - r_, back(side * x / from_centre, y / from_centre)};
  }
  return {std::abs(a) - w_, back(side, 0)};
}

Curve::Curve(const std::vector<double>& x, const std::vector<double>& h)
    : x0_(x.front()), step_(x[1] - x[0]), h_(h), bend_(h.size(), 0.0) {
  // bend[k-1] + 4 bend[k] + bend[k+1] = 6 (h[k-1] - 2 h[k] + h[k+1]) / step^2, no bend at the ends.
  const std::size_t n = h.size();
  std::vector<double> upper(n, 0.0);
  for (std::size_t k = 1; k + 1 < n; ++k) {
    const double right = 6 * (h[k - 1] - 2 * h[k] + h[k + 1]) / (step_ * step_);
    const double pivot = 4 - upper[k - 1];
    upper[k] = 1 / pivot;
    bend_[k] = (right - bend_[k - 1]) / pivot;
  }
  for (std::size_t k = n - 2; k > 0; --k) bend_[k] -= upper[k] * bend_[k + 1];
}

void Curve::at(double x, double& h, double& slope) const {
  const double last = static_cast<double>(h_.size() - 1);
  const double s = (x - x0_) / step_, inside = std::clamp(s, 0.0, last);
  const auto k = static_cast<std::size_t>(std::min(std::floor(inside), last - 1));
  const double b = inside - static_cast<double>(k), a = 1 - b, per = step_ * step_ / 6;
  h = a * h_[k] + b * h_[k + 1] + per * ((a * a * a - a) * bend_[k] + (b * b * b - b) * bend_[k + 1]);
  slope = (h_[k + 1] - h_[k]) / step_ +
          per / step_ * ((1 - 3 * a * a) * bend_[k] + (3 * b * b - 1) * bend_[k + 1]);
  h += slope * step_ * (s - inside);
}

Meeting meet(const Face& face, const FaceSeen& seen, const BaseLine& line, const Curve& curve) {
  const auto in_face = [&](Point p) {
    const Point d = p - seen.origin;
    return Point{seen.cos * d.x + seen.sin * d.y, -seen.sin * d.x + seen.cos * d.y};
  };
  const auto out_of_face = [&](Point v) {
    return Point{seen.cos * v.x - seen.sin * v.y, seen.sin * v.x + seen.cos * v.y};
  };
  struct Place {
    Meeting m;
    double tilt;  // outward normal along the curve: zero at the deepest point
  };
  const auto place = [&](double x) {
    double h, slope;
    curve.at(x, h, slope);
    const Point at = line.origin + x * line.along + h * line.outward;
    const Distance d = face.distance(in_face(at));
    const Point normal = out_of_face(d.normal);
    return Place{{d.gap, normal, at, x}, dot(normal, line.along + slope * line.outward)};
  };
  const Point apex = seen.origin + out_of_face(face.apex());
  const double middle = dot(apex - line.origin, line.along), reach = 1.2 * face.half_width();
  constexpr int kScan = 48;
  const double step = 2 * reach / kScan;
  int lowest = 0;
  double least = 1e9;
  for (int k = 0; k <= kScan; ++k) {
    const double gap = place(middle - reach + step * k).m.gap;
    if (gap < least) {
      least = gap;
      lowest = k;
    }
  }
  double a = middle - reach + step * (lowest - 1), b = a + 2 * step;
  Place at_a = place(a), at_b = place(b), best = place(a + step);
  double f_a = at_a.tilt, f_b = at_b.tilt;
  if (f_a * f_b > 0) return best.m;
  int stayed = 0;
  for (int it = 0; it < 80 && b - a > 1e-15; ++it) {
    const double x = (a * f_b - b * f_a) / (f_b - f_a);
    best = place(x);
    if (best.tilt == 0 || std::abs(best.tilt) < 1e-14) break;
    if (best.tilt * f_b > 0) {
      b = x;
      f_b = best.tilt;
      if (stayed == 1) f_a /= 2;
      stayed = 1;
    } else {
      a = x;
      f_a = best.tilt;
      if (stayed == -1) f_b /= 2;
      stayed = -1;
    }
  }
  return best.m;
}

}  // namespace leverwright::independent
