// The played touches of one set-up in the results file, below strokes/TOUCH (sim/store/FORMAT.md): series
// over time, located events, faults, measures, and where the energy went.
#pragma once
#include <string>

#include "models/study/compare.h"
#include "sim/store/study_writer.h"

namespace leverwright::study {

// `at`: the set-up's group, "/set_ups/00".
void write_strokes(store::StudyWriter& writer, const std::string& at, const SetUpResult& set_up);

// The measures of one played touch with names, units and descriptions, in the order of a table; the number is
// NaN where what it measures did not happen.
std::vector<store::Number> find_touch_numbers(const PlayedTouch& touch);

}  // namespace leverwright::study
