// The demo case of the whole keyboard, and a study of some of its notes.
#pragma once
#include "models/keyboard/keyboard.h"
#include "models/remedies/read_case.h"
#include "sim/base/units.h"

namespace leverwright::keyboard {

inline constexpr double kGf = base::kGramForce;

inline const case_file::CaseDescription& demo_case() {
  static const auto d = remedies::read_case("cases/samples_to_88/case.toml");
  return d;
}

inline KeyboardOptions few(std::vector<int> notes) {
  KeyboardOptions o;
  o.notes = std::move(notes);
  o.uncertainty = false;
  return o;
}

}  // namespace leverwright::keyboard
