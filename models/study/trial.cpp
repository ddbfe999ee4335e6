#include "models/study/trial.h"

#include <limits>

#include "sim/base/units.h"

namespace leverwright::study {

namespace {

constexpr double kToGf = 1.0 / base::kGramForce;

constexpr std::array<MeasureInfo, kTrialNumberCount - kMeasureCount> kBenchOnly = {{
    {"line_distance", "contact above the line of centres at half stroke", "m", "mm", 1e3, 2},
    {"front_weight", "front weight", "N", "gf", kToGf, 1},
    {"wippen_weight", "wippen weight", "N", "gf", kToGf, 1},
    {"jack_button", "jack button", "m", "mm", 1e3, 2},
    {"jack_depth", "jack clear of the knuckle core at full dip", "m", "mm", 1e3, 2},
    {"capstan_height", "capstan height", "m", "mm", 1e3, 2},
    {"key_height", "key height at rest", "m", "mm", 1e3, 2},
    {"cap_edge_margin", "least margin to the cap's edge", "m", "mm", 1e3, 2},
    {"face_margin", "least margin on the lifting face", "m", "mm", 1e3, 2},
}};

std::array<MeasureInfo, kTrialNumberCount> all_numbers() {
  std::array<MeasureInfo, kTrialNumberCount> out{};
  for (std::size_t k = 0; k < kTrialNumberCount; ++k)
    out[k] = k < kMeasureCount ? kMeasures[k] : kBenchOnly[k - kMeasureCount];
  return out;
}

}  // namespace

const std::array<MeasureInfo, kTrialNumberCount> kTrialNumbers = all_numbers();

std::size_t find_trial_number(const std::string& key_or_name) {
  std::size_t k = 0;
  while (k < kTrialNumberCount && key_or_name != kTrialNumbers[k].key && key_or_name != kTrialNumbers[k].name)
    ++k;
  return k;
}

Trial try_set_up(const SetUpSolver& solver, const case_file::CaseDescription& d,
                 const case_file::SetUp& set_up, const action::ScrewSettings* start) {
  SolveOptions options;
  options.start = start ? *start : solver.base_screws();
  SetUpResult s = solver.try_solve(d, set_up, options);
  Trial t;
  t.numbers.fill(std::numeric_limits<double>::quiet_NaN());
  t.why = why_no_answer(s);
  t.ok = t.why.empty();
  if (t.ok) {
    for (std::size_t k = 0; k < kMeasureCount; ++k) t.numbers[k] = s.measures[k];
    t.numbers[kLineDistance] = s.bench.line_distance_half;
    t.numbers[kFrontWeight] = s.design.front_weight;
    t.numbers[kWippenWeight] = s.design.wippen_weight;
    t.numbers[kJackButton] = s.regulated.screws[action::kJackStop];
    t.numbers[kJackDepth] = s.bench.jack_depth_at_dip;
    t.numbers[kCapstanScrew] = s.regulated.screws[action::kCapstan];
    t.numbers[kKeyHeight] = -s.regulated.travel_rest;
    t.numbers[kCapEdgeMargin] = s.bench.cap_edge_margin;
    t.numbers[kFaceMargin] = s.bench.face_margin;
  }
  t.regulated = std::move(s.regulated);
  t.design = std::move(s.design);
  return t;
}

}  // namespace leverwright::study
