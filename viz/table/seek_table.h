// What was sought and found, and maps of numbers over two amounts: documents (OUTPUT.md).
#pragma once
#include <string>
#include <vector>

#include "models/search/seek.h"
#include "viz/table/document.h"

namespace leverwright::table {

Document seek_document(const case_file::CaseDescription& description,
                       const std::vector<search::SeekResult>& results);
// The maps have to outlive it.
Document map_document(const std::vector<search::AmountMap>& maps);
// One line for each point: the amounts, every number, and why it has none.
std::string write_map_csv(const search::AmountMap& map);

// An amount with its unit: "2.35 mm".
std::string amount_words(const search::Vary& vary, double amount);

}  // namespace leverwright::table
