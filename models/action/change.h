// Changes that alter the action's geometry or loads: each a pure step on the design's numbers, with its side
// effects.
#pragma once
#include "models/action/design.h"

namespace leverwright::action {

inline constexpr double kHeelSpacing = 0.1e-3;  // grid of the heel profile [m]

// True for a kind that puts values in place of others (replace_values) and acts on the design as well.
bool also_geometric(const case_file::Change& change);

// Carries out one change. An argument with a documented default that is not there counts as nothing done (no
// mass, no tilt). A kind that is unknown here is a programmer error (the schema lists the kinds).
void apply_change(const case_file::Change& change, ActionDesign& a);

}  // namespace leverwright::action
