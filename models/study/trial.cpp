#include "models/study/trial.h"

#include <limits>

#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::study {

namespace {

constexpr double kStep = 0.05e-3;  // of dip
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

std::string why_not_regulated(const action::Regulated& r) {
  if (r.failures.empty()) return "it cannot be regulated";
  return "cannot be regulated: " + r.failures.front().requirement;
}

}  // namespace

const std::array<MeasureInfo, kTrialNumberCount> kTrialNumbers = all_numbers();

std::size_t find_trial_number(const std::string& key_or_name) {
  std::size_t k = 0;
  while (k < kTrialNumberCount && key_or_name != kTrialNumbers[k].key && key_or_name != kTrialNumbers[k].name)
    ++k;
  return k;
}

TrialGround find_ground(const case_file::CaseDescription& d) {
  if (d.set_ups.empty())
    throw base::UserError("the case has no [[set_up]]", "add at least one; the first is the base");
  TrialGround ground;
  action::ActionDesign design = action::design(d, d.set_ups.front());
  action::level_key(design, {});
  action::Regulated r = action::regulate(design, {}, design.policy);
  if (r.dip_let_off > 0) {
    action::level_key(design, r.screws);
    r = action::regulate(design, r.screws, design.policy);
  }
  if (!r.ok) {
    const auto& at = d.set_ups.front().place;
    throw base::UserError({{at.file, at.line, at.line_text, "the base: " + why_not_regulated(r), "",
                            r.failures.empty() ? "look at its measurements with: leverwright read"
                                               : r.failures.front().advice}});
  }
  ground.back_rail_offset = design.back_rail_offset;
  ground.screws = r.screws;
  return ground;
}

Trial try_set_up(const case_file::CaseDescription& d, const case_file::SetUp& set_up,
                 const TrialGround& ground) {
  Trial t;
  t.numbers.fill(std::numeric_limits<double>::quiet_NaN());
  try {
    t.design = action::design(d, set_up);
    t.design.back_rail_offset = ground.back_rail_offset;
    t.regulated = action::regulate(t.design, ground.screws, t.design.policy);
    if (!t.regulated.ok) {
      t.why = why_not_regulated(t.regulated);
      return t;
    }
    const action::Action a = action::assemble(t.design, t.regulated.screws);
    action::WeighOptions options;
    options.step = kStep;
    const action::Weighing w = action::weigh(a, t.regulated, options);
    if (!w.ok || w.jam.jammed) {
      t.why = w.jam.jammed ? "jams: " + w.jam.place : "cannot be weighed: " + w.failure;
      return t;
    }
    const Measures m = find_measures(a, t.regulated, w);
    for (std::size_t k = 0; k < kMeasureCount; ++k) t.numbers[k] = m[k];
    const action::BenchNotes bench = action::find_bench_notes(a, t.regulated, w);
    t.numbers[kLineDistance] = bench.line_distance_half;
    t.numbers[kFrontWeight] = t.design.front_weight;
    t.numbers[kWippenWeight] = t.design.wippen_weight;
    t.numbers[kJackButton] = t.regulated.screws[action::kJackStop];
    t.numbers[kJackDepth] = bench.jack_depth_at_dip;
    t.numbers[kCapstanScrew] = t.regulated.screws[action::kCapstan];
    t.numbers[kKeyHeight] = -t.regulated.travel_rest;
    t.numbers[kCapEdgeMargin] = bench.cap_edge_margin;
    t.numbers[kFaceMargin] = bench.face_margin;
    t.ok = true;
  } catch (const base::UserError& e) {
    t.why = "does not fit together: " + e.problems().front().what;
  } catch (const base::Unstable& e) {
    t.why = std::string("cannot be weighed: ") + e.what();
  }
  return t;
}

}  // namespace leverwright::study
