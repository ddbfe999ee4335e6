// Two parts side by side: a document (OUTPUT.md).
#pragma once
#include "models/search/parts.h"
#include "viz/table/document.h"

namespace leverwright::table {

// In CSV one line for each dimension and number; the last dimensions are "together", "sum" and "interaction".
Document parts_document(const search::PartsComparison& comparison);

}  // namespace leverwright::table
