// What was sought and found, and maps of numbers over two amounts, as text, CSV and JSON (OUTPUT.md).
#pragma once
#include <string>
#include <vector>

#include "models/study/seek.h"
#include "viz/table/text.h"

namespace leverwright::table {

std::string write_seek(const case_file::CaseDescription& description, const study::SeekResult& result,
                       const Look& look);
std::string write_seeks_csv(const std::vector<study::SeekResult>& results);
std::string write_seeks_json(const case_file::CaseDescription& description,
                             const std::vector<study::SeekResult>& results);

// One line for each point: the amounts, every number, and why it has none.
std::string write_map_csv(const study::AmountMap& map);
std::string write_map(const study::AmountMap& map, const Look& look);

// An amount with its unit: "2.35 mm".
std::string amount_words(const study::Vary& vary, double amount);

}  // namespace leverwright::table
