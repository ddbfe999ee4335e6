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

// One setting moved at a time: how many times a noticeable change each measure changes by.
struct MisadjustedRow {
  std::string setting, words;
  double moved = 0;            // m
  std::vector<double> values;  // one for each measure, displayed unit; NaN: does not exist
  std::string faults;
};
struct MisadjustedMeasure {
  std::string name, unit;
  double noticeable = 1;  // displayed unit
  int decimals = 1;
};
struct MisadjustedStudy {
  std::string set_up;
  std::vector<MisadjustedMeasure> measures;
  std::vector<MisadjustedRow> rows;  // the first: as regulated
};
// A panel for the amount nearest to 0.2 mm and one for the greatest.
chart::Chart build_misadjustment(const MisadjustedStudy& study);
// misadjustment.png, .svg, .pdf, .csv
std::vector<std::string> draw_misadjustment(const std::string& results_path, const std::string& folder);

}  // namespace leverwright::figures
