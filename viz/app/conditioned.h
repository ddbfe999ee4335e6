// A case read for a study: its frictions and constants conditioned on the readings of the action as found.
#pragma once
#include <string>

#include "models/case_file/case_description.h"
#include "viz/app/terminal.h"

namespace leverwright::app {

// `prior_only`: the readings are compared with what the model computes, and every value stays as the case has
// it.
case_file::CaseDescription read_conditioned(const std::string& case_path, bool prior_only,
                                            const Terminal& terminal);

}  // namespace leverwright::app
