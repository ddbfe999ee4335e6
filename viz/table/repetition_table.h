// How fast each set-up repeats, and what limits it: a document.
#pragma once
#include <string>
#include <vector>

#include "models/playing/repetition.h"
#include "viz/table/document.h"

namespace leverwright::table {

// `status`: "complete" or "stopped".
Document repetition_document(const std::string& case_path, const std::vector<playing::Repetition>& results,
                             const playing::RepetitionOptions& options, const std::string& status);

}  // namespace leverwright::table
