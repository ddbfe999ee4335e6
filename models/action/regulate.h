// Regulation: the screws are solved from the specification, as a technician would find it with a slow finger.
//
// Definitions (numbers: the case's [regulation]; common practice, no source):
//   rest        frictionless equilibrium with no finger on the key, as after a tap on it (rest_position.h)
//   blow        crown to string at rest
//   clearance   jack top to knuckle at rest (set by the lever height)
//   jack        string-side face in line with the string-side edge of the knuckle core, at rest
//   let-off     first minimum of the crown-string distance after the tender has met the button
//   drop        from there to where the hammer lies when the key is stopped as it comes off the jack
//   dip         travel at the playing point from rest until the front punching carries dip_force
//   aftertouch  dip less the travel at let-off
// Let-off, drop, dip and aftertouch are all read on one slow path going down with friction (slow_path.h).
//
// How the screws are found, never from where they stand (so the answer is the same from any start):
//   capstan, lever stop, jack stop   from the parts in order, then Newton on the equilibrium (rest_position.h);
//                                    a repetition spring that cannot carry the hammer is raised first
//   let-off button, drop screw       from the way up with both out of the way, then Newton with a kept Jacobian
//                                    (Broyden); where that leads nowhere, brackets one inside the other
//                                    (TOMS 748): let-off falls as the button goes up, drop falls as its screw
//                                    goes up
//   front punching                   in closed form from the key's angle
//   back check                       left as it stands, or bent back just enough for the tail to pass it (it is
//                                    set by playing, regulate_dynamic.h)
//   dip and aftertouch kept          the blow, bracketed, so that let-off comes at dip less aftertouch
#pragma once
#include <string>
#include <vector>

#include "models/action/frictionless_path.h"
#include "models/action/rest_position.h"
#include "models/action/slow_path.h"

namespace leverwright::action {

struct Regulated {
  bool ok = false;
  std::vector<Failure> failures;
  ScrewSettings screws{};
  // What results, m.
  double blow = 0, dip = 0, let_off = 0, drop = 0, aftertouch = 0, jack_clearance = 0, jack_offset = 0;
  double travel_rest = 0;     // travel coordinate of the key at rest
  double dip_button = 0;      // dip at which the tender meets the button
  double dip_drop_screw = 0;  // dip at which the lever meets its drop screw; 0: not before let-off
  double dip_let_off = 0, dip_drop = 0;
  double spring_raised =
      0;  // by which the repetition spring was made stronger so that it carries the hammer [N m]
  run::StaticState rest;  // frictionless rest
  int evaluations = 0;

  // Dip at which the stroke's free part ends: the tender meets its button or the lever its drop screw.
  double dip_free() const {
    return dip_drop_screw > 0 && dip_drop_screw < dip_button ? dip_drop_screw : dip_button;
  }
};

inline constexpr double kDipLimit = 14e-3;                      // [m] to which a hand looks for let-off
inline constexpr double kLeastBlow = 30e-3, kMostBlow = 65e-3;  // [m]

// Regulates one set-up. Of `start` only what regulation does not set is used: back check and repetition
// spring.
Regulated regulate(ActionDesign& design, const ScrewSettings& start, const std::string& policy);

// The same for the base of a case: the back-rail cloth (and the balance punching) of `design` is set with it,
// so that the regulated key rests as measured, angle and lift zero.
Regulated regulate_base(ActionDesign& design, const ScrewSettings& start, const std::string& policy);

// What regulate_base found for the key, for the other set-ups of the same piano.
struct KeyLevel {
  double back_rail = 0, balance_punching = 0;  // [m]
};
inline KeyLevel level_of(const ActionDesign& d) { return {d.back_rail_offset, d.balance_punching_offset}; }
inline void put_level(const KeyLevel& level, ActionDesign& d) {
  d.back_rail_offset = level.back_rail;
  d.balance_punching_offset = level.balance_punching;
}
// The key levelled under the action regulated to its specification; the screws are not wanted.
void level_key(ActionDesign& design, const ScrewSettings& start = {});

}  // namespace leverwright::action
