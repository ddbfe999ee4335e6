#include "models/remedies/balance_point.h"

#include "models/remedies/masses.h"

namespace leverwright::remedies {

void move_balance_point(ActionDesign& a, double shift) {
  if (a.options.has(action::kBalancePunching)) {
    // The punching itself is in the model: the key turns where the half that is left, or shimmed, bears it.
    action::BalancePunching& p = a.key_options.punching;
    (shift > 0 ? p.bears_from : p.bears_to) = 0;
    return;
  }
  const Vec2 d(shift, 0);
  a.p_balance += d;
  for (Vec2* p : {&a.playing_point, &a.front_punching, &a.back_rail, &a.check_centre, &a.cap_apex}) *p -= d;
  a.key_front_x -= shift;
  a.key_rear_x -= shift;
  a.masses[0].p_cm -= d;
  a.key_front_arm += shift;
  weigh_front(a);
}

}  // namespace leverwright::remedies
