// A map stored as a results file (sim/store/FORMAT.md): the base as its only set-up, and the group /map.
#pragma once
#include <string>

#include "models/search/seek.h"

namespace leverwright::search {

// A stopped map is kept with status "stopped"; points not computed or excluded are unknown (NaN). UserError
// when the file cannot be written.
void write_map(const case_file::CaseDescription& description, const AmountMap& map, const std::string& path);

}  // namespace leverwright::search
