// Profiles of a whole keyboard (/keyboard of a results file): numbers over the 88 notes, naturals and sharps
// told apart, bands, and the sample notes as points.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/draw_chart.h"

namespace leverwright::figures {

struct NamedChart {
  std::string stem;  // "keyboard_weights"
  chart::Chart chart;
};
// Weights, capstan line, leads, and what was carried; those for which the file holds something.
std::vector<NamedChart> build_keyboard(const std::string& results_path);
// folder/STEM.png, .svg, .pdf, .csv of each.
std::vector<std::string> draw_keyboard(const std::string& results_path, const std::string& folder);

}  // namespace leverwright::figures
