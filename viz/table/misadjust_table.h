// Sensitivity to misadjustment, as text and for other programs (OUTPUT.md).
#pragma once
#include <string>

#include "models/study/misadjust.h"
#include "viz/table/text.h"

namespace leverwright::table {

// `all`: every amount; else the least and the greatest.
std::string write_misadjustment(const study::Misadjustment& result, bool all, const Look& look);
std::string write_misadjustment_json(const std::string& case_path, const study::Misadjustment& result);
std::string write_misadjustment_csv(const study::Misadjustment& result);

}  // namespace leverwright::table
