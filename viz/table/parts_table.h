// Two parts side by side, as text, CSV and JSON (OUTPUT.md).
#pragma once
#include <string>

#include "models/study/parts.h"
#include "viz/table/text.h"

namespace leverwright::table {

std::string write_parts(const study::PartsComparison& comparison, const Look& look);
// One line for each dimension and number; the last dimensions are "together", "sum" and "interaction".
std::string write_parts_csv(const study::PartsComparison& comparison);
std::string write_parts_json(const study::PartsComparison& comparison);

}  // namespace leverwright::table
