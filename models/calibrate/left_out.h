// What the model leaves out of a note: one unknown, key.left_out, that lifts or lowers the playing point. A key that
// rocks on the edge of its balance punching instead of on its pin is 5 to 7.5 gf heavier (options.balance_punching on
// the four shipped cases; models/handbook/options.md); a scale, a lead's place and a spring nobody saw add some 2.
// Without it a scale would be held less true than the model. An estimate: 8 gf either way, 3.5 gf where the case has
// the punching.
#pragma once
#include "models/case_file/case_description.h"

namespace leverwright::calibrate {

inline constexpr const char* kLeftOutKey = "key.left_out";

// The case's own value, or the estimate [N].
case_file::Quantity left_out_of(const case_file::CaseDescription& description);

// For whoever holds readings of weights against the model; a value the case has stays.
void add_left_out(case_file::CaseDescription& description);

}  // namespace leverwright::calibrate
