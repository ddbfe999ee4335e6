// The whole keyboard into a results file (sim/store/FORMAT.md): the base note as a set-up, everything else
// below /keyboard.
#pragma once
#include <string>

#include "models/keyboard/keyboard.h"

namespace leverwright::keyboard {

// "measured.strike_weight" -> "strike_weight", "friction.hammer_centre" -> "friction_hammer_centre".
std::string column_word(const SampleColumn& column);

// `path`.h5 gets its name when it is whole; a study that was stopped says so and keeps what is finished.
void write_keyboard(const case_file::CaseDescription& description, const Keyboard& keyboard,
                    const std::string& path);

}  // namespace leverwright::keyboard
