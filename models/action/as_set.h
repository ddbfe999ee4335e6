// An action as its screws stand, regulated or not: what blow, let-off, drop, dip and aftertouch are there.
// The same definitions as in regulate.h, read instead of solved.
#pragma once
#include "models/action/regulate.h"

namespace leverwright::action {

// `ok` when it finds a rest, lets off and its key reaches the bottom. Where the key is at the bottom before
// let-off, aftertouch is negative: let-off is found with the front punching out of the way.
Regulated read_as_set(const ActionDesign& design, const ScrewSettings& screws);

}  // namespace leverwright::action
