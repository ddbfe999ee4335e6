#include "sim/planar/contact.h"

#include <algorithm>
#include <cmath>

namespace leverwright::planar {

TipOnLine::TipOnLine(std::string name_in, int face_body, const Vec2& p0, const Vec2& outward, int tip_body,
                     const Vec2& centre, double radius)
    : Contact(std::move(name_in), face_body, tip_body),
      p0_(p0),
      m_(outward.normalized()),
      c_(centre),
      r_(radius) {
  group = name;
}

Touch TipOnLine::locate(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const Vec2 centre = b.to_W(c_);
  const Vec2 m = a.turn(m_);
  const Vec2 d = centre - a.to_W(p0_);
  const double height = d.dot(m);
  Touch t;
  t.depth = r_ - height;
  t.n = m;
  t.p = centre - height * m;
  t.s_a = -d.dot(perp(m));
  return t;
}

CircleOnCap::CircleOnCap(std::string name_in, int cap_body, const Cap& cap, int circle_body,
                         const Vec2& centre, double radius)
    : Contact(std::move(name_in), cap_body, circle_body), cap_(cap), c_(centre), r_(radius) {
  group = name;
}

Touch CircleOnCap::locate(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const Vec2 centre = b.to_W(c_);
  const CapDistance d = cap_.distance(a.from_W(centre));
  Touch t;
  t.depth = r_ - d.phi;
  t.n = a.turn(d.gradient);
  t.p = centre - d.phi * t.n;
  t.s_a = d.xi;
  t.zone = d.zone;
  if (t.depth <= 0) return t;
  const Vec2 on_circle = b.unturn(-t.n);  // from the centre to the contact, b's frame
  t.s_b = r_ * std::atan2(on_circle.x(), -on_circle.y());
  return t;
}

double MuTable::at(double x) const {
  if (s.empty()) return 1.0;
  if (x <= s.front()) return factor.front();
  if (x >= s.back()) return factor.back();
  const auto it = std::upper_bound(s.begin(), s.end(), x);
  const auto k = static_cast<std::size_t>(it - s.begin());
  const double f = (x - s[k - 1]) / (s[k] - s[k - 1]);
  return factor[k - 1] + f * (factor[k] - factor[k - 1]);
}

double MuTable::slope(double x) const {
  if (s.empty() || x <= s.front() || x >= s.back()) return 0.0;
  const auto k = static_cast<std::size_t>(std::upper_bound(s.begin(), s.end(), x) - s.begin());
  return (factor[k] - factor[k - 1]) / (s[k] - s[k - 1]);
}

CapOnProfile::CapOnProfile(std::string name_in, int cap_body, const Cap& cap, int profile_body,
                           const Profile& profile, MuTable mu)
    : Contact(std::move(name_in), cap_body, profile_body), cap_(cap), profile_(profile), mu_(std::move(mu)) {
  group = name;
  const double middle = 0.5 * (profile_.x_start() + profile_.x_end());
  profile_centre_ = profile_.point(middle);
  profile_reach_ = 0;
  constexpr int kSamples = 200;
  for (int k = 0; k <= kSamples; ++k) {
    const double x = profile_.x_start() + (profile_.x_end() - profile_.x_start()) * k / kSamples;
    profile_reach_ = std::max(profile_reach_, (profile_.point(x) - profile_centre_).norm());
  }
  cap_centre_ = cap_.apex();
  cap_reach_ = 1.5 * cap_.half_width();
}

Touch CapOnProfile::locate(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const double apart = (b.to_W(profile_centre_) - a.to_W(cap_centre_)).norm() - profile_reach_ - cap_reach_;
  if (apart > 0) {
    Touch far;
    far.depth = -apart;
    return far;
  }
  // The cap seen from the profile's body: work in the profile's frame, carry points over to the cap's frame.
  const auto cap_frame = [&](const Vec2& p_b) { return a.from_W(b.to_W(p_b)); };
  const Vec2 ex = a.unturn(b.turn(profile_.along())), ey = a.unturn(b.turn(profile_.outward()));
  const Vec2 origin = cap_frame(profile_.origin());
  const auto point = [&](double x, double h) { return Vec2(origin + x * ex + h * ey); };

  // Scan over the shadow of the cap.
  const double x_apex = (cap_.apex() - origin).dot(ex);
  const double reach = 1.1 * cap_.half_width();
  constexpr int kScan = 13;
  const double step = 2 * reach / (kScan - 1);
  const auto scan_at = [&](int k) { return x_apex - reach + step * k; };
  double phis[kScan];
  double best = 1e9;
  const Vec2 from_apex = origin - cap_.apex();
  const double o_t = from_apex.dot(cap_.along()), x_t = ex.dot(cap_.along()), y_t = ey.dot(cap_.along());
  const double o_u = from_apex.dot(cap_.axis()), x_u = ex.dot(cap_.axis()), y_u = ey.dot(cap_.axis());
  for (int k = 0; k < kScan; ++k) {
    const double xk = scan_at(k), h = profile_.height(xk);
    phis[k] = cap_.phi_at(o_t + xk * x_t + h * y_t, o_u + xk * x_u + h * y_u);
    best = std::min(best, phis[k]);
  }
  if (best > 1.6 * step) {  // nowhere near: phi changes along the curve by no more than the distance covered
    Touch open;
    open.depth = 1.5 * step - best;
    return open;
  }
  // From each dip of the scan downhill to its lowest point: Newton on phi'(x) where it leads lower inside the
  // bracket, half the way downhill where not. A smooth heel under a dome has one dip; a groove or a strip
  // gives two, and the deeper bears.
  CapDistance d{};
  ProfilePoint pr{};
  double x = x_apex;
  best = 1e9;
  for (int k = 0; k < kScan; ++k) {
    if ((k > 0 && phis[k] > phis[k - 1]) || (k + 1 < kScan && phis[k] >= phis[k + 1])) continue;
    double here = scan_at(k), lo = here - step, hi = here + step;
    pr = profile_.at(here);
    d = cap_.distance(point(here, pr.h));
    for (int it = 0; it < 60; ++it) {
      const Vec2 tangent = ex + pr.slope * ey;
      const double g = d.gradient.dot(tangent);
      const double normal_part = base::cross(d.gradient, tangent);
      const double gg = d.curvature * normal_part * normal_part + pr.curvature * d.gradient.dot(ey);
      double next = gg > 0 ? here - g / gg : lo;
      const bool newton = next > lo && next < hi;
      if (!newton) next = 0.5 * (here + (g > 0 ? lo : hi));
      const double change = std::abs(next - here);
      const ProfilePoint next_pr = profile_.at(next);
      const CapDistance next_d = cap_.distance(point(next, next_pr.h));
      const bool done =
          change < (newton ? 1e-8 : 1e-12);  // Newton is quadratic: what is left is below 1e-12 m
      if (done || next_d.phi <= d.phi) {
        (next > here ? lo : hi) = here;
        here = next;
        pr = next_pr;
        d = next_d;
      } else {
        (next < here ? lo : hi) = next;
      }
      if (done) break;
    }
    if (d.phi < best) {
      best = d.phi;
      x = here;
    }
  }
  pr = profile_.at(x);
  d = cap_.distance(point(x, pr.h));
  Touch t;
  t.depth = -d.phi;
  t.n = a.turn(d.gradient);
  t.p = b.to_W(profile_.origin() + x * profile_.along() + pr.h * profile_.outward()) + 0.5 * t.depth * t.n;
  t.s_a = d.xi;
  t.s_b = x;
  t.zone = d.zone;
  if (!mu_.s.empty()) {
    // The condition gradient . tangent = 0 followed in time, in the cap's frame.
    const Vec2 tangent = ex + pr.slope * ey, across = perp(d.gradient);
    const Vec2 p_W = b.to_W(profile_.point(x));
    const Vec2 relative = a.unturn(b.v_o + b.omega * perp(p_W - b.o) - a.v_o - a.omega * perp(p_W - a.o));
    const double along = across.dot(tangent);
    const double gg = d.curvature * along * along + pr.curvature * d.gradient.dot(ey);
    const double rate =
        d.curvature * across.dot(relative) * along + (b.omega - a.omega) * d.gradient.dot(perp(tangent));
    if (gg > 0) t.rate_s_b = -rate / gg;
  }
  return t;
}

CapOnStrip::CapOnStrip(std::string name_in, std::string group_in, int cap_body, const Cap& cap,
                       int profile_body, const Profile& profile, double x, double mu_factor)
    : Contact(std::move(name_in), cap_body, profile_body),
      cap_(cap),
      p_(profile.point(x)),
      x_(x),
      mu_factor_(mu_factor) {
  group = std::move(group_in);
}

Touch CapOnStrip::locate(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const Vec2 p = b.to_W(p_);
  const CapDistance d = cap_.distance(a.from_W(p));
  Touch t;
  t.depth = -d.phi;
  t.n = a.turn(d.gradient);
  t.p = p;
  t.s_a = d.xi;
  t.s_b = x_;
  t.zone = d.zone;
  return t;
}

AngularStop::AngularStop(std::string name_in, int a, int b, double limit, double sign, double radius)
    : Contact(std::move(name_in), a, b), limit_(limit), sign_(sign), radius_(radius) {
  group = name;
}

Touch AngularStop::locate(const std::vector<Pose>& poses) const {
  const double relative = BodyTree::pose(poses, body_b).angle - BodyTree::pose(poses, body_a).angle;
  Touch t;
  t.depth = radius_ * sign_ * (relative - limit_);
  t.p = BodyTree::pose(poses, body_b).o;
  return t;
}

}  // namespace leverwright::planar
