// How sure the answers of every note are, and what was read on the samples against the model. See keyboard.h.
#pragma once
#include "models/keyboard/effects.h"
#include "models/keyboard/keyboard.h"
#include "models/keyboard/lean.h"

namespace leverwright::keyboard {

// By lean.h: what is shared as the readings left it, what carrying adds, and drags that differ from note to
// note.
Bands find_bands(const Effects& effects, const Lean& lean);

std::vector<SampleCheck> check_samples(const Keyboard& keyboard);

}  // namespace leverwright::keyboard
