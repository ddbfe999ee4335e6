#include "tests/viz/table/invented_comparison.h"

#include "models/remedies/all.h"
#include "models/study/judge_comparison.h"

namespace leverwright::table_test {

namespace {

const char* const kNames[] = {"as found",      "capstan relocated",  "strip under the cloth",
                              "centres eased", "caps moved further", "second strip"};
const char* const kKinds[] = {"capstan moved", "heel build-up", "friction"};
constexpr int kUndone[] = {3, 1, 2};

study::SetUpResult invented_set_up(int index, bool uncertainty) {
  study::SetUpResult s;
  s.name = kNames[index];
  s.description = index ? "an invented move" : "";
  s.undone = index == 0 ? 1 : kUndone[(index - 1) % 3];
  s.regulated_ok = s.regulated.ok = s.weighing.ok = s.whole_stroke = s.compared = true;
  s.regulated.dip_let_off = 8.6e-3;
  s.design.key_front_arm = 0.2461;
  s.design.front_weight = 0.26;
  s.design.screws.fill({0.8e-3, 4e-3, 4e-3});
  s.thread_left.fill(3.1e-3);
  for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
    const double shown = 10.3 + 3.7 * static_cast<double>(k);
    auto& m = s.results[k];
    m.value = (shown + 0.9 * index) / study::kMeasures[k].display_factor;
    m.difference = 0.9 * index / study::kMeasures[k].display_factor;
    m.sigma = uncertainty ? 0.8 / study::kMeasures[k].display_factor : 0;
    m.sigma_difference = uncertainty && index ? 0.4 / study::kMeasures[k].display_factor : 0;
    m.dominant = uncertainty ? "spread" : "";
    s.measures[k] = m.value;
  }
  return s;
}

}  // namespace

study::Comparison invented_comparison(int others, bool uncertainty) {
  study::Comparison c;
  for (int k = 0; k <= others; ++k) c.set_ups.push_back(invented_set_up(k, uncertainty));
  if (uncertainty) {
    c.inputs.resize(3);
    c.effects.change.assign(c.set_ups.size(), std::vector<study::Measures>(3, study::Measures{}));
  }
  study::judge_comparison(invented_case(others), c);
  return c;
}

case_file::CaseDescription invented_case(int others) {
  case_file::CaseDescription d;
  d.title = "An invented case";
  d.instrument = "an invented grand";
  d.choices["regulation.policy"] = "keep dip and blow";
  d.path = "invented/case.toml";
  for (int k = 0; k <= others; ++k) {
    case_file::SetUp s;
    s.name = kNames[k];
    if (k > 0) {
      s.changes.emplace_back();
      s.changes.back().remedy = remedies::find(kKinds[(k - 1) % 3]);
    }
    d.set_ups.push_back(s);
  }
  return d;
}

}  // namespace leverwright::table_test
