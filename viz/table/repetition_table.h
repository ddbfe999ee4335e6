// Repetition of set-ups: limits side by side, what holds them back, the ladder; and the same for programs.
#pragma once
#include <string>
#include <vector>

#include "models/study/repetition.h"
#include "viz/table/text.h"

namespace leverwright::table {

std::string write_repetition_table(const std::vector<study::Repetition>& results,
                                   const study::RepetitionOptions& options, const Look& look);
// `status`: "complete" or "stopped". Described in OUTPUT.md beside this header.
std::string write_repetition_json(const std::string& case_path, const std::vector<study::Repetition>& results,
                                  const study::RepetitionOptions& options, const std::string& status);
// One line for each number; of the ladders one for each rung and column.
std::string write_repetition_csv(const std::vector<study::Repetition>& results);

}  // namespace leverwright::table
