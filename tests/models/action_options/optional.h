// The demo's note with options of the model switched on, levelled and regulated.
#pragma once
#include <initializer_list>

#include "models/action/options.h"
#include "tests/models/action_play/played.h"

namespace leverwright::action {

inline case_file::CaseDescription demo_with(std::initializer_list<Option> options) {
  case_file::CaseDescription d = demo_case();
  for (const Option o : options) d = with_option(d, o, true);
  return d;
}

inline ActionDesign design_of(const case_file::CaseDescription& d) {
  ActionDesign out = design(d, d.set_ups.front());
  level_key(out, {});
  return out;
}
inline ActionDesign design_of(std::initializer_list<Option> options) { return design_of(demo_with(options)); }

}  // namespace leverwright::action
