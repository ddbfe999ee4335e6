#include "viz/table/numbers.h"

#include <algorithm>
#include <limits>

#include "models/study/write_strokes.h"
#include "sim/base/units.h"
#include "viz/table/bench_table.h"

namespace leverwright::table {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

NumberLine plain(const char* group, const std::string& key, const std::string& name, const char* unit,
                 double value) {
  return {group, key, name, unit, value, kNone, kNone, kNone, "", ""};
}

std::string key_of(std::string name) {  // "steady finger force" -> "steady_finger_force"
  std::replace(name.begin(), name.end(), ' ', '_');
  return name;
}

// No uncertainty is propagated through strokes: there are changes, but no sigmas and no judgement.
void add_touches(const study::SetUpResult& s, const study::SetUpResult* base, std::vector<NumberLine>& out) {
  for (std::size_t k = 0; k < s.touches.size(); ++k) {
    const auto numbers = study::find_touch_numbers(s.touches[k]);
    std::vector<store::Number> of_base;
    if (base && k < base->touches.size()) of_base = study::find_touch_numbers(base->touches[k]);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
      const auto& n = numbers[i];
      out.push_back({"touch " + s.touches[k].name, key_of(n.name), n.name, n.display_unit, n.displayed(),
                     kNone, i < of_base.size() ? n.displayed() - of_base[i].displayed() : kNone, kNone, "",
                     ""});
    }
  }
}

}  // namespace

std::string judgement_word(study::Judgement judgement) {
  switch (judgement) {
    case study::Judgement::kBetter:
      return "better";
    case study::Judgement::kWorse:
      return "worse";
    case study::Judgement::kMoved:
      return "moved";
    case study::Judgement::kSame:
      return "same";
    case study::Judgement::kNoTarget:
      return "no target";
  }
  return "";
}

std::vector<NumberLine> find_numbers(const study::SetUpResult& s, const study::SetUpResult* base,
                                     bool uncertainty) {
  std::vector<NumberLine> out;
  for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
    const auto& info = study::kMeasures[k];
    const auto& m = s.results[k];
    const double f = info.display_factor;
    NumberLine line = plain("measure", info.key, info.name, info.display_unit, m.value * f);
    if (uncertainty && m.sigma > 0) line.sigma = m.sigma * f;  // zero: not worked out
    if (base) {
      line.change = m.difference * f;
      if (uncertainty) {
        if (m.sigma_difference > 0) line.sigma_of_change = m.sigma_difference * f;
        line.judgement = judgement_word(m.judgement);
      }
    }
    line.dominant = m.dominant;
    out.push_back(line);
  }
  const auto& r = s.regulated;
  const auto& w = s.weighing;
  const auto& b = s.bench;
  const double gf = 1 / base::kGramForce, mm = 1e3;
  out.push_back(plain("regulation", "let_off", "let-off", "mm", r.let_off * mm));
  out.push_back(plain("regulation", "drop", "drop", "mm", r.drop * mm));
  out.push_back(
      plain("regulation", "jack_clearance", "jack top to knuckle at rest", "mm", r.jack_clearance * mm));
  out.push_back(plain("regulation", "dip_at_let_off", "dip at let-off", "mm", r.dip_let_off * mm));
  out.push_back(
      plain("regulation", "dip_at_button", "dip where the tender meets its button", "mm", r.dip_button * mm));
  if (!w.ok) return out;
  out.push_back(plain("weighing", "mean_down_force", "mean down force", "gf", w.mean_down * gf));
  out.push_back(plain("weighing", "mean_up_force", "mean up force", "gf", w.mean_up * gf));
  out.push_back(plain("weighing", "dip_of_down_weight", "dip where the down weight is set", "mm",
                      w.dip_of_down_weight * mm));
  out.push_back(
      plain("weighing", "dip_of_up_weight", "dip where the up weight is set", "mm", w.dip_of_up_weight * mm));
  out.push_back(plain("weighing", "lever_product", "lever product", "1", w.lever_product));
  out.push_back(plain("weighing", "key_ratio", "key ratio", "1", w.key_ratio));
  for (std::size_t k = 0; k < action::kScrewCount; ++k) {
    const bool spring = k == action::kRepetitionSpring;
    const std::string key = action::kScrewKeys[k], name = action::kScrewNames[k];
    out.push_back(plain("screw", key + "_setting", name + ": setting against the drawing",
                        spring ? "N mm" : "mm", r.screws[k] * mm));
    out.push_back(plain("screw", key + "_turns", name + ": turns against the base", "turn", s.turns[k]));
    out.push_back(plain("screw", key + "_left", name + ": left in the direction moved",
                        spring ? "N mm" : "mm", s.thread_left[k] * mm));
  }
  out.push_back(
      plain("bench", "shank_to_rest_cushion", "shank to rest cushion at rest", "mm", b.shank_rest_gap * mm));
  out.push_back(plain("bench", "jack_clear_of_core_at_dip", "jack clear of the knuckle core at full dip",
                      "mm", b.jack_depth_at_dip * mm));
  out.push_back(plain("bench", "jack_clearance_at_dip", "jack top to knuckle at full dip", "mm",
                      b.jack_clearance_at_dip * mm));
  out.push_back(plain("bench", "cap_edge_to_cloth_edge", "cap edge to cloth edge at half stroke", "mm",
                      b.cap_to_cloth_edge * mm));
  out.push_back(plain("bench", "contact_above_line_of_centres",
                      "contact above the line of centres at half stroke", "mm", b.line_distance_half * mm));
  out.push_back(
      plain("bench", "cap_edge_margin", "least margin to the cap's edge", "mm", b.cap_edge_margin * mm));
  out.push_back(
      plain("bench", "lifting_face_margin", "least margin on the lifting face", "mm", b.face_margin * mm));
  out.push_back(plain("bench", "key_height_change", "key height at rest against the base", "mm",
                      s.key_height_change * mm));
  out.push_back(plain("lead", "front_weight", "front weight as it stands", "gf", s.design.front_weight * gf));
  out.push_back(plain("lead", "lead_mass",
                      "lead that restores the base's balance weight (negative: take out)", "g",
                      s.lead_mass * 1e3));
  out.push_back(plain("lead", "lead_distance", "distance of that lead in front of the balance hole", "mm",
                      s.lead_distance * mm));
  out.push_back(plain("lead", "front_weight_with_lead", "front weight with that lead", "gf",
                      front_weight_with_lead(s) * gf));
  add_touches(s, base, out);
  return out;
}

}  // namespace leverwright::table
