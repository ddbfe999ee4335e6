// The set-up a staged plan begins with: friction eased, nothing else touched.
#pragma once
#include "models/case_file/case_description.h"

namespace leverwright::study {

// The description as it is where a set-up of it eases friction alone, or none eases friction at all. Else
// with one more set-up at the end: the friction treatments of the set-up that names most of them, without its
// other changes.
case_file::CaseDescription with_friction_first(const case_file::CaseDescription& description);

}  // namespace leverwright::study
