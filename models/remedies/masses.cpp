#include "models/remedies/masses.h"

#include "sim/base/units.h"

namespace leverwright::remedies {

void add_mass(action::BodyMass& body, double m, const Vec2& p) {
  const double about_origin = body.inertia_cm + body.mass * body.p_cm.squaredNorm() + m * p.squaredNorm();
  const double mass = body.mass + m;
  body.p_cm = (body.mass * body.p_cm + m * p) / mass;
  body.mass = mass;
  body.inertia_cm = about_origin - mass * body.p_cm.squaredNorm();
}

void add_to_wippen(ActionDesign& a, double m, const Vec2& p) {
  add_mass(a.masses[1], m, p);
  if (a.wippen_weight_arm > 0) a.wippen_weight -= base::kGravity * m * p.x() / a.wippen_weight_arm;
}

void weigh_front(ActionDesign& a) {
  a.front_weight = -base::kGravity * a.masses[0].mass * a.masses[0].p_cm.x() / a.key_front_arm;
}

}  // namespace leverwright::remedies
