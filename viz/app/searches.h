// The [[seek]] sections of a case by name.
#pragma once
#include <string>
#include <vector>

#include "models/search/read_seek.h"

namespace leverwright::app {

// The one of this name, or all for "". UserError where there is none.
std::vector<search::Seek> find_searches(const case_file::CaseDescription& description,
                                        const std::string& name);

}  // namespace leverwright::app
