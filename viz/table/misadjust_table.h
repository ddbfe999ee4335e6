// What each setting does when it is a little off: a document.
#pragma once
#include <string>

#include "models/playing/misadjust.h"
#include "viz/table/document.h"

namespace leverwright::table {

// `all`: every amount in the table, not only the least and the greatest.
Document misadjustment_document(const std::string& case_path, const playing::Misadjustment& misadjustment,
                                bool all);

}  // namespace leverwright::table
