// The figures' data from a results file; figure_data.h says which names are read.
#pragma once
#include <string>

#include "viz/figures/figure_data.h"

namespace leverwright::figures {

// Set-ups that failed are left out. UserError when the file is no study or holds no finished set-up.
StudyFigures read_study(const std::string& results_path);

}  // namespace leverwright::figures
