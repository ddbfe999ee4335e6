// Options of the model: what a case may switch on or off under [options], and the numbers that belong to an
// option's parts. An option's row here, its line in models/action/options.h and the code that puts it into
// the mechanism go together.
#include "models/case_file/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

namespace {
constexpr const char* kStringTable =
    "C4 of Chaigne & Askenfelt, J. Acoust. Soc. Am. 95, 1994, one string, as public simulation codes carry "
    "its table";
}

std::vector<ChoiceSpec> option_choices() {
  return {
      {"options.shank_bending",
       by_default,
       "off",
       {"off", "on"},
       "the shank bends between hammer centre and head; off: one stiff piece"},
      {"options.compliant_string",
       by_default,
       "on",
       {"off", "on"},
       "the string yields to the hammer and swings on, which is what contact times and forces need; off: "
       "a stiff stop. Its numbers are under [string]"},
  };
}

std::vector<KeySpec> option_keys() {
  return {
      // One string of the note; all of its strings are struck together.
      {"string.count", count, by_default, "3", "", "1 to 4", "strings of the note", kCommon},
      {"string.length", length, by_default, "620 mm", "1 %", "40 to 2500 mm",
       "speaking length, from agraffe or bar to bridge", kStringTable},
      {"string.mass", mass, by_default, "3.93 g", "2 %", "0.1 to 250 g",
       "of the speaking length of one string", kStringTable},
      {"string.tension", weight, by_default, "670 N", "5 %", "100 to 2500 N", "of one string", kStringTable},
      {"string.stiffness", number, by_default, "3.82e-5", "10 %", "0 to 0.01",
       "bending stiffness over tension and length squared, EI/(T L^2); it stretches the upper partials",
       kStringTable},
      {"string.striking_share", number, by_default, "0.12 (0.11 to 0.13)", "", "0.02 to 0.5",
       "from agraffe or bar to the strike line, as a share of the speaking length", kStringTable},
      {"string.loss_constant", number, by_default, "0.5 (0.25 to 1.1)", "", "0 to 100",
       "decay of every partial, per second",
       "0.5 as in the table above, 1.1 in a later code; range estimated"},
      {"string.loss_rising", number, by_default, "6.25e-9 (1e-10 to 1e-8)", "", "0 to 1e-6",
       "decay that grows with the square of a partial's angular frequency, seconds",
       "6.25e-9 as in the table above; range estimated"},
      {"string.modes", count, by_default, "8", "", "1 to 60",
       "partials kept one by one; those above count by their give alone", "convention of this program"},
      // The shank as a beam.
      {"shank.stiffness", stiffness, by_default, "3.4 N/mm (2.7 to 5 N/mm)", "30 %", "0.2 to 100 N/mm",
       "force over deflection of the bare shank held at its centre, pressed at stiffness_arm",
       "1 lb on four shanks, college and university technicians' list archive 2003-11 #010193"},
      {"shank.stiffness_arm", length, by_default, "130 mm", "0.5 mm", "80 to 160 mm",
       "where the stiffness was read, from the hammer centre", "130.2 mm in the same source"},
      {"shank.mass", mass, by_default, "2.4 g (1.8 to 3.2 g)", "20 %", "0.5 to 8 g",
       "of the bare shank from the hammer centre to the head", kEstimate},
      {"shank.head_half_width", length, by_default, "6 mm (4 to 8 mm)", "1 mm", "0 to 15 mm",
       "half the width of the head where the shank goes in: the shank bends no further", kEstimate},
      {"shank.loss_time", time_span, by_default, "0.03 ms (0.01 to 0.1 ms)", "50 %", "0 to 2 ms",
       "loss of the wood in bending: its moment leads as if the bend were this much later on", kEstimate},
  };
}

}  // namespace leverwright::case_file
