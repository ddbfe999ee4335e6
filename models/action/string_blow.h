// A hammer alone against a string: a mass that flies freely on to the felt's contact. What the string and the
// felt do to contact time and rebound, without the action; and the strings published with their felts.
#pragma once
#include <array>

#include "sim/planar/cloth.h"
#include "sim/planar/modal_string.h"

namespace leverwright::action {

struct StringBlow {
  bool parted = false;       // the hammer has left the string for good within kLongestBlow
  double duration = 0;       // first touch to last parting [s]
  double rebound_speed = 0;  // away from the string [m/s]
  double peak_force = 0;     // [N]
  double string_energy = 0;  // left in the string [J]
  double audit_error = 0;    // of the blow's kinetic energy
};
inline constexpr double kLongestBlow = 12e-3;  // [s]

// speed: of the hammer as it meets the string at rest [m/s]; mass: as it acts at the strike point [kg].
StringBlow strike_string(const planar::StringData& string, const planar::Cloth& felt, double mass,
                         double speed);

// Strings and felts of [@chaigne1994]: one string with its share of the
// hammer. Read in public simulation codes: C4 whole but for C2's and C7's losses; C2 hammer share, felt and
// striking share; lengths, stiffnesses and loss constants of all three. From memory: masses and tensions of
// C2 and C7 (they give 65 and 2100 Hz with the lengths), C7's hammer share and striking share.
struct PublishedNote {
  const char* name;
  planar::StringData string;
  double felt_k, felt_p;  // F = K x^p, SI
  double hammer_mass;     // [kg]
};
extern const std::array<PublishedNote, 3> kPublishedNotes;  // C2, C4, C7

// Its felt without and with loss: hysteresis 0.3 of a slow press and damping as the schema's defaults, the
// estimates every felt starts with.
planar::Cloth felt_of(const PublishedNote& note, bool with_loss);

}  // namespace leverwright::action
