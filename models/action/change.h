// Changes that alter the action's geometry or loads: each a pure step on the design's numbers, with its side
// effects.
#pragma once
#include "models/action/design.h"

namespace leverwright::action {

inline constexpr double kHeelSpacing = 0.25e-3;  // grid of the heel profile [m]

// Carries out one change. A kind that is unknown here is a programmer error (the schema lists the kinds).
void apply_change(const case_file::Change& change, ActionDesign& a);

}  // namespace leverwright::action
