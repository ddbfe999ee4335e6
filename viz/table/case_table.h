// What was understood of a case file: every quantity with its unit, uncertainty, source and place.
#pragma once
#include <string>

#include "models/case_file/case_description.h"
#include "viz/table/document.h"

namespace leverwright::table {

// The readings at the bench; every other value as a detail. The case has to outlive it.
Document case_document(const case_file::CaseDescription& description);

// "66.5 mm", "+- 0.5 mm" or "0.15 to 0.3" as a technician writes them.
std::string write_value(const case_file::Quantity& quantity);
std::string write_sigma(const case_file::Quantity& quantity);
// "case.toml:38"; "usual value" for a default of the schema.
std::string write_place(const case_file::Origin& place, bool from_default);

}  // namespace leverwright::table
