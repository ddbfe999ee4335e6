// Options of the model: what a case may switch on or off under [options], and the numbers that belong to an
// option's parts. An option's row here, its line in models/action/options.h and the code that puts it into
// the mechanism go together.
#include "models/case/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

std::vector<ChoiceSpec> option_choices() {
  return {
      {"options.shank_bending",
       by_default,
       "off",
       {"off"},
       "the shank bends between knuckle and head (on is not in this version yet)"},
      {"options.compliant_string",
       by_default,
       "off",
       {"off"},
       "the string yields to the hammer and swings on (on is not in this version yet)"},
  };
}

std::vector<KeySpec> option_keys() { return {}; }

}  // namespace leverwright::case_file
