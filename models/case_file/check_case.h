// Checks that need more than one value: contradictions are problems, oddities are warnings.
#pragma once
#include <set>
#include <string>

#include "models/case_file/case_description.h"
#include "models/case_file/document.h"

namespace leverwright::case_file {

// Each check runs only when the values it needs are there; `unreadable` holds the paths that were written but
// could not be read, so that one fault does not show as two.
void check_case(CaseDescription& description, const FileText& file, const std::set<std::string>& unreadable,
                ProblemList& problems);

}  // namespace leverwright::case_file
