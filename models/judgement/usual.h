// The measures of the bench with what can be noticed and what is usual. All common practice without a source;
// the noticeable amounts can be set by the case.
//
//   measure                noticeable   usual
//   down weight            2 gf         45 to 55
//   up weight              2 gf         20 to 30
//   balance weight         2 gf         35 to 40
//   friction               2 gf         at most 15 at the lowest note, evenly down to 10 at the highest
//   dip                    0.1 mm       9.9 to 10.7
//   aftertouch             0.1 mm       0.8 to 1.5
//   let-off                0.2 mm       1.5 to 2.5
//   blow                   0.5 mm       44.5 to 47.6
//   margin of cap, face    0.5 mm       at least 0.5
#pragma once
#include <string>
#include <vector>

#include "models/judgement/question.h"

namespace leverwright::judgement {

// `note`: 1 to 88.
std::vector<Measure> usual_measures(double note = 1);

// nullptr when there is no such measure.
Measure* find_measure(std::vector<Measure>& measures, const std::string& key);

// The user's own target. Friction is wanted no higher than it; less is never wrong.
void set_target(std::vector<Measure>& measures, const std::string& key, double value);

// Down and up weight given: balance weight is half their sum and friction half their difference; the other
// way round likewise. What the user set stays.
void derive_targets(std::vector<Measure>& measures);

}  // namespace leverwright::judgement
