// Charts of what some studies hold beside their set-ups' own curves, from the results file. Each draws
// nothing and returns no file where the study holds nothing of the kind.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/draw_chart.h"

namespace leverwright::figures {

struct RepetitionLadder {
  std::string set_up;
  std::vector<double> rate, share_full, share_partial;  // 1/s, shares
  double back_full = 0, back_partial = 0;               // m
  double limit_full = 0, limit_partial = 0;             // 1/s
};
chart::Chart build_repetition(const std::string& title, const std::vector<RepetitionLadder>& ladders);

// repetition.png, .svg, .pdf, .csv
std::vector<std::string> draw_repetition(const std::string& results_path, const std::string& folder);

}  // namespace leverwright::figures
