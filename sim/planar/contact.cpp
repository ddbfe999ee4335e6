#include "sim/planar/contact.h"

#include <algorithm>
#include <cmath>
#include <limits>

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

ContactPoint TipOnLine::find(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const Vec2 centre = b.to_W(c_);
  const Vec2 m = a.turn(m_);
  const Vec2 d = centre - a.to_W(p0_);
  const double height = d.dot(m);
  ContactPoint t;
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

ContactPoint CircleOnCap::find(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const Vec2 centre = b.to_W(c_);
  const CapDistance d = cap_.distance(a.from_W(centre));
  ContactPoint t;
  t.depth = r_ - d.phi;
  t.n = a.turn(d.gradient);
  t.p = centre - d.phi * t.n;
  t.s_a = d.xi;
  t.zone = d.zone;
  return t;
}

void CircleOnCap::complete(const std::vector<Pose>& poses, ContactPoint& t) const {
  if (t.depth <= 0) return;
  const Vec2 on_circle =
      BodyTree::pose(poses, body_b).inverse_rotate(-t.n);  // from the centre to the contact, b's frame
  t.s_b = r_ * std::atan2(on_circle.x(), -on_circle.y());
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
  mu_varies_ = !mu_.s.empty();
  const double middle = 0.5 * (profile_.x_start() + profile_.x_end());
  profile_centre_ = profile_.point(middle);
  profile_reach_ = 0;
  constexpr int kSamples = 200;  // over the profile and as far beyond its ends as a shadow may reach
  const double beyond = 1.3 * cap_.half_width();
  for (int k = 0; k <= kSamples; ++k) {
    const double x =
        profile_.x_start() - beyond + (profile_.x_end() - profile_.x_start() + 2 * beyond) * k / kSamples;
    profile_reach_ = std::max(profile_reach_, (profile_.point(x) - profile_centre_).norm());
  }
  cap_centre_ = cap_.apex();
  cap_reach_ = 1.5 * cap_.half_width();
  far_squared_ = (cap_.dome_radius() + 1e-4) * (cap_.dome_radius() + 1e-4);
  // Where the dome's centre stands when the dome just touches at x: x - R h' / sqrt(1 + h'^2), made to rise.
  // RotatingAmplitudes into feet on an even grid of that coordinate, the first guess for any depth.
  constexpr int kFeet = 256;
  std::vector<double> feet(kFeet), centres(kFeet);
  for (int k = 0; k < kFeet; ++k) {
    const auto i = static_cast<std::size_t>(k);
    feet[i] =
        profile_.x_start() - beyond + (profile_.x_end() - profile_.x_start() + 2 * beyond) * k / (kFeet - 1);
    const double slope = profile_.at(feet[i]).slope;
    centres[i] = feet[i] - cap_.dome_radius() * slope / std::sqrt(1 + slope * slope);
    if (k > 0) centres[i] = std::max(centres[i], centres[i - 1] + 1e-12);
  }
  touching_from_ = centres.front();
  touching_per_ = (kFeet - 1) / (centres.back() - centres.front());
  touching_foot_.resize(kFeet);
  std::size_t at = 0;
  for (std::size_t k = 0; k < touching_foot_.size(); ++k) {
    const double c_x = touching_from_ + static_cast<double>(k) / touching_per_;
    while (at + 2 < centres.size() && centres[at + 1] < c_x) ++at;
    const double f = std::clamp((c_x - centres[at]) / (centres[at + 1] - centres[at]), 0.0, 1.0);
    touching_foot_[k] = feet[at] + f * (feet[at + 1] - feet[at]);
  }
  constexpr int kPlaces = 400;
  const double step = (profile_.x_end() - profile_.x_start()) / kPlaces;
  for (int k = 0; k < kPlaces; ++k) {
    const double from = profile_.x_start() + step * k, to = from + step;
    if (profile_.extremes(from, to).hollow < std::min(kHollow, 0.5 / cap_.dome_radius())) continue;
    if (hollows_.empty() || from > hollows_.back().to + 0.5 * step || to - hollows_.back().from > kStretch)
      hollows_.push_back({from, to, -1e9, 1e9});
    Hollow& h = hollows_.back();
    h.to = to;
    for (const double x : {from, 0.5 * (from + to), to}) {
      h.top = std::max(h.top, profile_.height(x));
      h.bottom = std::min(h.bottom, profile_.height(x));
    }
  }
}

// Newton on half the squared distance to the centre c, in the profile's axes: (x - c_x) + (h - c_h) h' = 0.
double CapOnProfile::foot_of(double c_x, double c_h, double x, double lo, double hi) const {
  for (int it = 0; it < 12; ++it) {
    const ProfilePoint p = profile_.at(x);
    const double up = p.h - c_h;
    const double slope = std::max(0.1, 1 + p.slope * p.slope + up * p.curvature);
    const double next = std::clamp(x - (x - c_x + up * p.slope) / slope, lo, hi);
    const double change = std::abs(next - x);
    x = next;
    // Far apart a rough gap will do.
    if (change < 1e-7 || (change < 1e-5 && up * up + (x - c_x) * (x - c_x) > far_squared_)) return x;
  }
  return std::numeric_limits<double>::quiet_NaN();
}

double CapOnProfile::foot_when_touching(double c_x) const {
  const double last = static_cast<double>(touching_foot_.size() - 1);
  const double s = std::clamp((c_x - touching_from_) * touching_per_, 0.0, last - 1e-9);
  const auto k = static_cast<std::size_t>(s);
  return touching_foot_[k] + (s - static_cast<double>(k)) * (touching_foot_[k + 1] - touching_foot_[k]);
}

CapOnProfile::Candidate CapOnProfile::lowest(const View& v, Candidate here, double lo, double hi) const {
  for (int it = 0; it < 60; ++it) {
    const double t_t = v.x_t + here.profile.slope * v.y_t, t_u = v.x_u + here.profile.slope * v.y_u;
    const double g = here.cap.g_t * t_t + here.cap.g_u * t_u;
    const double across = here.cap.g_t * t_u - here.cap.g_u * t_t;
    const double gg = here.cap.curvature * across * across +
                      here.profile.curvature * (here.cap.g_t * v.y_t + here.cap.g_u * v.y_u);
    double next = gg > 0 ? here.x - g / gg : lo;
    const bool newton = next > lo && next < hi;
    if (!newton) next = 0.5 * (here.x + (g > 0 ? lo : hi));
    const double change = std::abs(next - here.x);
    const Candidate there = place_at(v, next);
    // Newton is quadratic: what is left is below 1e-12 m.
    const bool done = change < (newton ? 1e-7 : 1e-12);
    if (done || there.cap.phi <= here.cap.phi) {
      (next > here.x ? lo : hi) = here.x;
      here = there;
    } else {
      (next < here.x ? lo : hi) = next;
    }
    if (done) break;
  }
  return here;
}

ContactPoint CapOnProfile::find(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const double limit = profile_reach_ + cap_reach_;
  const double apart_squared = (b.to_W(profile_centre_) - a.to_W(cap_centre_)).squaredNorm();
  if (apart_squared > limit * limit) {
    ContactPoint far;
    far.depth = limit - std::sqrt(apart_squared);
    return far;
  }
  const Vec2 ex = a.inverse_rotate(b.turn(profile_.along())),
             ey = a.inverse_rotate(b.turn(profile_.outward()));
  const Vec2 from_apex = a.from_W(b.to_W(profile_.origin())) - cap_.apex();
  const View v{from_apex.dot(cap_.along()), ex.dot(cap_.along()), ey.dot(cap_.along()),
               from_apex.dot(cap_.axis()),  ex.dot(cap_.axis()),  ey.dot(cap_.axis())};
  const double x_apex = -from_apex.dot(ex), reach = 1.3 * cap_.half_width();
  const double lo = x_apex - reach, hi = x_apex + reach;

  const double r = cap_.dome_radius();
  const double c_x = -v.o_t * v.x_t - (r + v.o_u) * v.x_u, c_h = -v.o_t * v.y_t - (r + v.o_u) * v.y_u;
  const double foot = foot_of(c_x, c_h, std::clamp(foot_when_touching(c_x), lo, hi), lo, hi);
  // The convex stretch around the foot; where it does not fill the shadow, hollow stretches must follow one
  // another up to its end, and this is how near they come at most.
  double from = lo, to = hi, hollows_nearest = foot == foot ? 1e9 : -1e9;
  const auto add = [&](const Hollow& h) {
    const double x = 0.5 * (h.from + h.to);
    hollows_nearest =
        std::min(hollows_nearest, cap_.phi_at(v.along(x, h.top), v.outwards(x, h.top)) -
                                      0.5 * (h.to - h.from) - (h.top - h.bottom) * std::abs(v.y_t));
  };
  const std::size_t count = hollows_.size();
  const auto right =
      static_cast<std::size_t>(std::upper_bound(hollows_.begin(), hollows_.end(), foot,
                                                [](double x, const Hollow& h) { return x < h.from; }) -
                               hollows_.begin());
  constexpr double kJoin = 1e-9;
  if (right > 0) {
    from = std::max(from, hollows_[right - 1].to);
    double covered = from;
    for (std::size_t k = right; k > 0 && covered > lo && hollows_[k - 1].to > covered - kJoin; --k) {
      add(hollows_[k - 1]);
      covered = hollows_[k - 1].from;
    }
    if (covered > lo || from > foot) hollows_nearest = -1e9;
  }
  if (right < count) {
    to = std::min(to, hollows_[right].from);
    double covered = to;
    for (std::size_t k = right; k < count && covered < hi && hollows_[k].from < covered + kJoin; ++k) {
      add(hollows_[k]);
      covered = hollows_[k].to;
    }
    if (covered < hi) hollows_nearest = -1e9;
  }
  Candidate best{};
  best.cap.phi = 1e9;
  if (v.y_u < kFacing && hollows_nearest > -1e8) {
    // Nearest to the centre of the dome or, where the edge bears, of its fillet; else from the slope of phi.
    best = place_at(v, foot);
    CapZone sought = CapZone::kDome;
    if (best.cap.zone == CapZone::kFilletMinus || best.cap.zone == CapZone::kFilletPlus) {
      sought = best.cap.zone;
      const double side = sought == CapZone::kFilletMinus ? -1.0 : 1.0;
      const double t = side * cap_.fillet_centre_along() - v.o_t, u = cap_.fillet_centre_outwards() - v.o_u;
      const double x = foot_of(t * v.x_t + u * v.x_u, t * v.y_t + u * v.y_u, foot, lo, hi);
      best = place_at(v, x == x ? x : foot);
      if (x != x) sought = CapZone::kSide;  // not found: from the slope of phi
    }
    if (best.cap.zone != sought || best.x <= from || best.x >= to)
      best = lowest(v, place_at(v, std::clamp(best.x, from, to)), from, to);
  }
  if (best.cap.phi > hollows_nearest) {
    constexpr int kScan = 17;
    const double step = 2 * reach / (kScan - 1);
    double phis[kScan], least = 1e9;
    for (int k = 0; k < kScan; ++k) {
      const double x = lo + step * k, h = profile_.height(x);
      phis[k] = cap_.phi_at(v.along(x, h), v.outwards(x, h));
      least = std::min(least, phis[k]);
    }
    if (least >
        1.6 * step) {  // nowhere near: phi changes along the curve by no more than the distance covered
      ContactPoint open;
      open.depth = 1.5 * step - least;
      return open;
    }
    // A smooth heel under a dome has one dip; a groove or a strip gives two, and the deeper bears.
    best.cap.phi = 1e9;
    for (int k = 0; k < kScan; ++k) {
      if ((k > 0 && phis[k] > phis[k - 1]) || (k + 1 < kScan && phis[k] >= phis[k + 1])) continue;
      const double x = lo + step * k;
      const Candidate dip = lowest(v, place_at(v, x), x - step, x + step);
      if (dip.cap.phi < best.cap.phi) best = dip;
    }
  }
  const ProfilePoint& pr = best.profile;
  const Vec2 gradient = best.cap.g_t * cap_.along() + best.cap.g_u * cap_.axis();
  ContactPoint t;
  t.depth = -best.cap.phi;
  t.n = a.turn(gradient);
  t.p =
      b.to_W(profile_.origin() + best.x * profile_.along() + pr.h * profile_.outward()) + 0.5 * t.depth * t.n;
  t.s_a = best.cap.xi;
  t.s_b = best.x;
  t.zone = best.cap.zone;
  if (mu_varies_) {
    // The condition gradient . tangent = 0 followed in time, in the cap's frame.
    const Vec2 tangent = ex + pr.slope * ey, across = perp(gradient);
    const Vec2 p_W = b.to_W(profile_.point(best.x));
    const Vec2 relative =
        a.inverse_rotate(b.v_o + b.omega * perp(p_W - b.o) - a.v_o - a.omega * perp(p_W - a.o));
    const double along = across.dot(tangent);
    const double gg = best.cap.curvature * along * along + pr.curvature * gradient.dot(ey);
    const double rate =
        best.cap.curvature * across.dot(relative) * along + (b.omega - a.omega) * gradient.dot(perp(tangent));
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
  mu_varies_ = mu_factor_ != 1;
}

ContactPoint CapOnStrip::find(const std::vector<Pose>& poses) const {
  const Pose& a = BodyTree::pose(poses, body_a);
  const Pose& b = BodyTree::pose(poses, body_b);
  const Vec2 p = b.to_W(p_);
  const CapDistance d = cap_.distance(a.from_W(p));
  ContactPoint t;
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

ContactPoint AngularStop::find(const std::vector<Pose>& poses) const {
  const double relative = BodyTree::pose(poses, body_b).angle - BodyTree::pose(poses, body_a).angle;
  ContactPoint t;
  t.depth = radius_ * sign_ * (relative - limit_);
  t.p = BodyTree::pose(poses, body_b).o;
  return t;
}

}  // namespace leverwright::planar
