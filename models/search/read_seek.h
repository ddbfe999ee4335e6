// Reads the [[seek]] sections of a case. How they are written: models/handbook/seek.md.
#pragma once
#include <string>
#include <vector>

#include "models/search/seek.h"

namespace leverwright::search {

// All of them, in the order of the file; none when the case has no such section. Throws base::UserError with
// every problem: file, line, what was expected.
std::vector<Seek> read_seeks(const case_file::CaseDescription& description);

}  // namespace leverwright::search
