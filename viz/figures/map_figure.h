// The picture of a stored map (/map of a results file): shaded fields with lines of equal number, the amounts
// as written in the case and the best ones marked. A map over one amount is a curve.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/draw_chart.h"

namespace leverwright::figures {

// One for each number shown.
std::vector<chart::Chart> build_maps(const std::string& results_path);
// stem_NUMBER.png, .svg, .pdf, .csv for each of them.
std::vector<std::string> draw_map(const std::string& results_path, const std::string& stem);

}  // namespace leverwright::figures
