// Every kind of contact between two bodies of a small random mechanism, brought together until the surfaces
// overlap.
#pragma once
#include <memory>

#include "sim/planar/mechanism.h"
#include "tests/sim/planar/random_tree.h"

namespace leverwright::planar {

// A profile of gentle waves and one groove, about 20 mm long, on the left (or right) of its base line.
inline Profile wavy_profile(Draw& draw, const Vec2& origin, const Vec2& along, bool left) {
  const double a = draw.in(0, 0.4e-3), b = draw.in(0, 0.15e-3), phase = draw.in(0, 6),
               groove = draw.in(0, 0.3e-3);
  const double at = draw.in(-3e-3, 3e-3), width = draw.in(0.8e-3, 2e-3), slope = draw.in(-0.3, 0.3);
  std::vector<double> heights;
  for (int k = 0; k <= 80; ++k) {
    const double x = -10e-3 + 0.25e-3 * k;
    const double fall = std::max(0.0, std::abs(x) - 6e-3);
    heights.push_back(slope * x + a * std::sin(x / 2.5e-3 + phase) + b * std::sin(x / 0.9e-3) -
                      groove * std::exp(-std::pow((x - at) / width, 2)) - 150 * fall * fall);
  }
  return Profile(origin, along, left, -10e-3, 0.25e-3, heights);
}

inline Cap random_contact_cap(Draw& draw) {
  const double w = draw.in(3.5e-3, 6e-3);
  const double dome = draw.in(0, 1) < 0.25 ? kFlatRadius : draw.in(1.5, 6) * w;
  return Cap(draw.vector(0.02), draw.vector(1), dome, w, draw.in(0.06, 0.5) * w);
}

enum class Kind { kTipOnLine, kCircleOnCap, kCapOnProfile, kCapOnStrip, kAngularStop };
inline constexpr Kind kKinds[] = {Kind::kTipOnLine, Kind::kCircleOnCap, Kind::kCapOnProfile,
                                  Kind::kCapOnStrip, Kind::kAngularStop};

// Body a is 1, turning on a sliding body 0; body b is 3, turning on body 2 that turns on the ground.
struct ContactCase {
  Mechanism mechanism;
  VecQ q;
  bool touching = false;
};

// Puts the contact into a tree, then shifts the joint of body b (in its parent) so that the pieces meet about
// `depth` deep.
inline ContactCase random_contact(Draw& draw, Kind kind) {
  ContactCase out;
  Mechanism& m = out.mechanism;
  for (int i = 0; i < 4; ++i) {
    Body b;
    b.name = "body " + std::to_string(i);
    b.joint = i == 0 ? Joint::kSlide : Joint::kRevolute;
    b.parent = i == 0 || i == 2 ? kGround : i - 1;
    b.p_joint = draw.vector(0.05);
    b.slide_direction = draw.vector(1).normalized();
    b.mass = draw.in(0.01, 0.05);
    b.p_cm = draw.vector(0.05);
    b.inertia_cm = draw.in(1e-5, 4e-5);
    m.tree.add(b);
  }
  out.q = draw.coordinates(4, 1.0);
  out.q[0] = draw.in(-5e-3, 5e-3);
  const double depth = draw.in(0.02e-3, 0.5e-3);
  Vec2 on_a = draw.vector(0.02), on_b = draw.vector(0.02);  // points to be brought together
  Vec2 out_of_a(0, 1);                                      // outward of a's face there, a's frame
  switch (kind) {
    case Kind::kTipOnLine: {
      const Vec2 normal = draw.vector(1).normalized();
      const double radius = draw.in(1e-3, 5e-3);
      m.contacts.push_back(std::make_unique<TipOnLine>("tip", 1, on_a, normal, 3, on_b, radius));
      on_a += draw.in(-3e-3, 3e-3) * perp(normal) + radius * normal;
      out_of_a = normal;
      break;
    }
    case Kind::kCircleOnCap: {
      const Cap cap = random_contact_cap(draw);
      const double radius = draw.in(4e-3, 6e-3), side = draw.in(-1.3, 1.3) * cap.half_width();
      m.contacts.push_back(std::make_unique<CircleOnCap>("circle", 1, cap, 3, on_b, radius));
      on_a = cap.apex() + side * cap.along();
      out_of_a = cap.axis();
      const Vec2 start = on_a;
      for (double up = 2 * radius; up > -radius; up -= 2e-6) {  // lower the centre until it is a radius away
        on_a = start + up * out_of_a;
        if (cap.phi(on_a) < radius) break;
      }
      break;
    }
    case Kind::kCapOnProfile:
    case Kind::kCapOnStrip: {
      const Cap cap = random_contact_cap(draw);
      const bool left = draw.in(0, 1) < 0.5;
      const Vec2 along = draw.vector(1).normalized();
      const Profile profile = wavy_profile(draw, on_b, along, left);
      MuTable rough;  // every second heel has a rough place
      if (draw.in(0, 1) < 0.5)
        rough = {{-8e-3, draw.in(-5e-3, 0), draw.in(1e-3, 6e-3), 8e-3},
                 {1.0, draw.in(0.5, 3), draw.in(1, 3), 0.7}};
      const double x = draw.in(-7e-3, 7e-3), side = draw.in(-1, 1) * cap.half_width();
      if (kind == Kind::kCapOnProfile)
        m.contacts.push_back(std::make_unique<CapOnProfile>("cap", 1, cap, 3, profile, rough));
      else
        m.contacts.push_back(std::make_unique<CapOnStrip>("strip", "bed", 1, cap, 3, profile, x, 1.3));
      on_b = profile.point(x);
      on_a = cap.apex() + side * cap.along();
      out_of_a = cap.axis();
      const Vec2 start = on_a;
      for (double up = 2e-3; up > -2e-3; up -= 2e-6) {
        on_a = start + up * out_of_a;
        if (cap.phi(on_a) < 0) break;
      }
      // Face each other, more or less.
      const auto poses = complex_poses(m.tree, out.q);
      const double face = poses[1].angle + std::atan2(cap.axis().y(), cap.axis().x());
      const double mate = std::atan2(profile.outward().y(), profile.outward().x());
      out.q[3] = face + 3.14159265358979 - mate + draw.in(-0.35, 0.35);
      break;
    }
    case Kind::kAngularStop: {
      const double sign = draw.in(0, 1) < 0.5 ? -1 : 1, radius = draw.in(0.01, 0.03);
      const double relative = out.q[3] - out.q[1];
      m.contacts.push_back(
          std::make_unique<AngularStop>("stop", 1, 3, relative - sign * depth / radius, sign, radius));
      break;
    }
  }
  if (kind != Kind::kAngularStop) {
    const auto poses = complex_poses(m.tree, out.q);
    const auto target = poses[1].origin + poses[1].turn * as_complex(on_a - depth * out_of_a);
    const auto now = poses[3].origin + poses[3].turn * as_complex(on_b);
    const auto shift = (target - now) / poses[2].turn;
    m.tree.body(3).p_joint += Vec2(shift.real(), shift.imag());
  }
  for (auto& c : m.contacts) {
    const double exponent = draw.in(1.5, 3);
    c->cloth = Cloth(draw.in(2, 10), 0.4e-3, exponent, draw.in(0, 1) < 0.3 ? 0.0 : draw.in(0.05, 0.4),
                     draw.in(0, 0.5), draw.in(0, 2e-4));
    c->friction =
        DryFriction(draw.in(0.1, 0.5), draw.in(0.3, 1.5), exponent, draw.in(2e-6, 1e-5), draw.in(0, 2e-3));
  }
  m.finish();
  Scratch s(m);
  s.q = out.q;
  m.calc_geometry(s);
  out.touching = s.contact_points[0].depth > 1e-6 && s.contact_points[0].depth < 0.7e-3;
  return out;
}

}  // namespace leverwright::planar
