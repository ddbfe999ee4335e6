// Pictures of sample-note readings against the model: residuals of a calibration, predicted against measured
// after the work. Numbers come as shown on the bench.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/chart.h"

namespace leverwright::figures {

struct BenchReading {
  std::string note, name, unit;    // "C4, as found", "down weight", "gf"
  double measured = 0, sigma = 0;  // one standard deviation of the reading
  double predicted = 0, predicted_sigma = 0;
};

// residuals.png/.svg/.pdf/.csv: each reading's misfit in its standard deviations, those beyond 3 marked.
std::vector<std::string> draw_residuals(const std::vector<BenchReading>& readings, const std::string& folder);
// predicted_measured.*: one panel for each kind of reading, measured and predicted side by side with 95 %
// bars.
std::vector<std::string> draw_predicted_measured(const std::vector<BenchReading>& readings,
                                                 const std::string& folder);

chart::Chart build_residuals(const std::vector<BenchReading>& readings);
chart::Chart build_predicted_measured(const std::vector<BenchReading>& readings);

}  // namespace leverwright::figures
