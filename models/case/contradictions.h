// Changes of one set-up that cannot both be carried out: two of them setting the same thing (one hole cannot
// be drilled in two places, one heel cannot be covered twice), or one that leaves the other without sense.
// Everything else combines: the changes are carried out in the order of the schema's rows, so the answer does
// not depend on the order in which the case lists them.
#pragma once
#include "models/case/case_description.h"
#include "models/case/document.h"

namespace leverwright::case_file {

// Adds one problem for each contradiction; it names both changes and their lines.
void find_contradictions(const SetUp& set_up, const FileText& file, ProblemList& problems);

}  // namespace leverwright::case_file
