#include "models/study/keep_to_readings.h"

#include <cmath>

namespace leverwright::study {

namespace {

// An aftertouch at the specification hangs on the dip and blow read as well: its own error says too little.
struct Leaned {
  const char* key;
  MeasureIndex measure;
};
constexpr Leaned kLeaned[] = {{"measured.down_weight", kDownWeight}, {"measured.up_weight", kUpWeight}};

void keep_one(double sigma, std::size_t measure, Effects& effects) {
  const auto& base = effects.change.front();
  std::vector<double> h(base.size(), 0.0);
  double v = 0;
  for (std::size_t i = 0; i < h.size(); ++i) {
    if (std::isfinite(base[i][measure])) h[i] = base[i][measure];
    v += h[i] * h[i];
  }
  if (!(v > sigma * sigma)) return;
  const double less = (1 - sigma / std::sqrt(v)) / v;
  for (auto& set_up : effects.change)
    for (std::size_t k = 0; k < kMeasureCount; ++k) {
      double along = 0;
      for (std::size_t i = 0; i < h.size(); ++i)
        if (std::isfinite(set_up[i][k])) along += set_up[i][k] * h[i];
      for (std::size_t i = 0; i < h.size(); ++i) set_up[i][k] -= less * along * h[i];
    }
}

}  // namespace

void keep_to_readings(const case_file::CaseDescription& d, Effects& effects) {
  if (d.told.empty() || effects.change.empty()) return;
  for (const Leaned& leaned : kLeaned) {
    const auto read = d.quantities.find(leaned.key);
    if (read != d.quantities.end() && !read->second.from_default && read->second.sigma > 0)
      keep_one(read->second.sigma, leaned.measure, effects);
  }
}

}  // namespace leverwright::study
