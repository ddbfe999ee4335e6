// One note of 88 as a case of its own, so that it can be played, compared and drawn like any other: the text
// of the base case with what the samples say about this note in place of the base note's values, and without
// [keyboard].
#pragma once
#include <string>

#include "models/keyboard/note_case.h"

namespace leverwright::keyboard {

// TOML text. Weights read on the samples are left out: this note was not weighed.
std::string write_note_case(const case_file::CaseDescription& base, const KeyboardCase& input,
                            const std::vector<Carried>& carried, int note);

}  // namespace leverwright::keyboard
