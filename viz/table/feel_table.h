// What the finger meets, set-up by set-up: a document.
#pragma once
#include <string>
#include <vector>

#include "models/playing/feel.h"
#include "viz/table/document.h"

namespace leverwright::table {

// `status`: "complete" or "stopped".
Document feel_document(const std::string& case_path, const std::vector<playing::Feel>& results,
                       const std::string& status);

}  // namespace leverwright::table
