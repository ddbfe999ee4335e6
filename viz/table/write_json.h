// The comparison for other programs. Keys and columns are described in OUTPUT.md beside this header.
#pragma once
#include <string>

#include "models/study/compare.h"

namespace leverwright::table {

inline constexpr int kJsonVersion = 1;

// `status`: "complete" or "stopped". Numbers in trade units, the unit beside each.
std::string write_json(const case_file::CaseDescription& description, const study::Comparison& comparison,
                       const std::string& status);

// One line for each set-up and number; fields with commas or quotes are quoted.
std::string write_csv(const case_file::CaseDescription& description, const study::Comparison& comparison);

}  // namespace leverwright::table
