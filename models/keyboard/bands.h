// How sure the answers of every note are, and what was read on the samples against the model. See keyboard.h.
#pragma once
#include "models/action/regulate.h"
#include "models/keyboard/keyboard.h"
#include "models/keyboard/work.h"

namespace leverwright::keyboard {

// Inputs' effects on four anchor notes, spread over all. Empty when stopped before it was whole.
std::optional<Bands> find_bands(const case_file::CaseDescription& description, const Keyboard& keyboard,
                                Work& work);
// How many evaluations it takes.
int band_jobs(const case_file::CaseDescription& description, const Keyboard& keyboard);

std::vector<SampleCheck> check_samples(const Keyboard& keyboard);

}  // namespace leverwright::keyboard
