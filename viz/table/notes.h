// What an answer rests on: readings as found, what was conditioned on them, values nobody measured.
#pragma once
#include <string>

#include "models/case_file/case_description.h"
#include "viz/table/text.h"

namespace leverwright::table {

// The case's notes under their heading; "" when there is none.
std::string write_notes(const case_file::CaseDescription& description, const Look& look);

}  // namespace leverwright::table
