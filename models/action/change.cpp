#include "models/action/change.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::action {

namespace {

using case_file::Change;

double amount(const Change& c, const char* name) { return c.quantities.at(name).value; }

// +1 towards the strings, -1 towards the balance rail (and the player).
double towards_strings(const Change& c) {
  return c.choices.at("direction") == "toward the strings" ? 1.0 : -1.0;
}

// A strip between heel cloth and under-cloth: full height over its length; the cloth drapes over its two
// ends, so the surface rises and falls over about two cloth thicknesses (raised cosine, ends of the strip at
// half height).
void build_up(const Change& c, ActionDesign& a) {
  const double height = amount(c, "height"), centre = -amount(c, "centre");
  const double length = amount(c, "length");
  const double drape = std::max(2.0 * a.heel_cloth_thickness, 1e-3);
  for (std::size_t k = 0; k < a.heel_x.size(); ++k) {
    const double from_end = 0.5 * length - std::abs(a.heel_x[k] - centre);  // > 0 inside the strip
    const double s = std::clamp(from_end / drape + 0.5, 0.0, 1.0);
    a.heel_h[k] += height * 0.5 * (1.0 - std::cos(base::kPi * s));
  }
}

// The capstan's own mass moves with it: front weight and key inertia follow.
void move_capstan(const Change& c, ActionDesign& a) {
  const double shift = towards_strings(c) * amount(c, "distance");
  const double mass = a.capstan_mass;
  BodyMass& key = a.masses[0];
  const Vec2 old_apex = a.cap_apex;
  a.cap_apex.x() += shift;
  const double inertia_origin = key.inertia_cm + key.mass * key.p_cm.squaredNorm() +
                                mass * (a.cap_apex.squaredNorm() - old_apex.squaredNorm());
  key.p_cm.x() += mass * shift / key.mass;
  key.inertia_cm = inertia_origin - key.mass * key.p_cm.squaredNorm();
  a.front_weight -= mass * base::kGravity * shift / a.key_front_arm;
}

void lean_capstan(const Change& c, ActionDesign& a) {
  const double angle = amount(c, "angle");
  if (c.choices.at("about") == "centre of its dome") {
    const auto axis = [](double lean) { return Vec2(std::sin(lean), std::cos(lean)); };
    const Vec2 centre = a.cap_apex - a.cap_dome_radius * axis(a.cap_lean);
    a.cap_apex = centre + a.cap_dome_radius * axis(angle);
  }
  a.cap_lean = angle;
}

// The whole heel moves along the wippen and down by the shim; the lifting face goes with it.
void reglue_heel(const Change& c, ActionDesign& a) {
  const double shift = towards_strings(c) * amount(c, "shift"), shim = amount(c, "shim");
  for (double& x : a.heel_x) x += shift;
  for (double& h : a.heel_h) h += shim;
  for (double& s : a.heel_mu.s) s += shift;
  a.lifting_face_from += shift;
  a.lifting_face_to += shift;
}

// The key turns about another point of the same stick: every place on the key is measured from there.
void halve_punching(const Change& c, ActionDesign& a) {
  if (a.options.has(kBalancePunching)) {
    // The punching itself is in the model: half of it is cut away, and the key turns where it then bears.
    BalancePunching& p = a.key_options.punching;
    (c.choices.at("direction") == "toward the strings" ? p.bears_from : p.bears_to) = 0;
    return;
  }
  const double shift = (c.choices.at("direction") == "toward the strings" ? 1.0 : -1.0) * amount(c, "shift");
  const Vec2 d(shift, 0);
  a.p_balance += d;
  for (Vec2* p : {&a.playing_point, &a.front_punching, &a.back_rail, &a.check_centre, &a.cap_apex}) *p -= d;
  a.key_front_x -= shift;
  a.key_rear_x -= shift;
  BodyMass& key = a.masses[0];
  key.p_cm -= d;
  // Front weight as it would be weighed on a knife edge at the new balance point.
  a.key_front_arm += shift;
  a.front_weight = -base::kGravity * key.mass * key.p_cm.x() / a.key_front_arm;
}

}  // namespace

void apply_change(const Change& c, ActionDesign& a) {
  if (c.kind == "heel build-up")
    build_up(c, a);
  else if (c.kind == "capstan moved")
    move_capstan(c, a);
  else if (c.kind == "capstan lean")
    lean_capstan(c, a);
  else if (c.kind == "heel re-glued")
    reglue_heel(c, a);
  else if (c.kind == "balance punching halved")
    halve_punching(c, a);
  else if (c.kind == "assist spring")
    a.assist_torque += amount(c, "strength") * a.key_front_arm;
  else
    assert(false && "a change kind without an effect");
}

}  // namespace leverwright::action
