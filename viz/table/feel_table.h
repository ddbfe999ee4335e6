// What the finger feels, as text and for other programs (OUTPUT.md).
#pragma once
#include <string>
#include <vector>

#include "models/study/feel.h"
#include "viz/table/text.h"

namespace leverwright::table {

std::string write_feel(const std::vector<study::Feel>& results, const Look& look);
std::string write_feel_json(const std::string& case_path, const std::vector<study::Feel>& results,
                            const std::string& status);
std::string write_feel_csv(const std::vector<study::Feel>& results);

}  // namespace leverwright::table
