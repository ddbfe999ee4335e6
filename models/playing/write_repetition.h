// Repetition of one set-up in the results file, below /set_ups/NN/repetition (sim/store/FORMAT.md): a ladder
// for full and one for partial return, the limits, what moves them.
#pragma once
#include <string>
#include <vector>

#include "models/playing/repetition.h"
#include "sim/store/study_writer.h"

namespace leverwright::playing {

// `at`: the set-up's group, "/set_ups/00".
void write_repetition(store::StudyWriter& writer, const std::string& at, const Repetition& repetition,
                      const RepetitionOptions& options);

// The limits with names, units and descriptions, in the order of a table; NaN: does not exist here.
std::vector<store::Number> find_repetition_numbers(const Repetition& repetition);

}  // namespace leverwright::playing
