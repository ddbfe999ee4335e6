#include "models/workshop/accuracy.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/quantity.h"
#include "models/workshop/sheet_lines.h"

namespace leverwright::workshop {

namespace {

struct Answer {
  std::size_t set_up;
  std::size_t measure;
  double reading;  // r, SI
  std::string name;
};

std::vector<Answer> list_answers(const study::Comparison& c) {
  static const std::pair<study::MeasureIndex, calibrate::Kind> kChecked[] = {
      {study::kDownWeight, calibrate::Kind::kDownWeight},
      {study::kUpWeight, calibrate::Kind::kUpWeight},
      {study::kDip, calibrate::Kind::kDip},
      {study::kBlow, calibrate::Kind::kBlow},
      {study::kAftertouch, calibrate::Kind::kAftertouch}};
  std::vector<Answer> out;
  const std::size_t from = c.set_ups.size() > 1 ? 1 : 0;
  for (std::size_t s = from; s < c.set_ups.size(); ++s)
    for (const auto& [measure, kind] : kChecked)
      out.push_back({s, measure, calibrate::usual_sigma_of(kind),
                     fmt::format("{}{}, {}", from > 0 ? "change of " : "", study::kMeasures[measure].name,
                                 c.set_ups[s].name)});
  return out;
}

// Key under which an input is asked for; "" for the amounts of a change, which are work, not measurement.
std::string key_of(const study::Input& in) {
  switch (in.kind) {
    case study::Input::Kind::kChange:
      return "";
    case study::Input::Kind::kLeadMass:
    case study::Input::Kind::kLeadDistance:
      return in.name;
    default:
      return in.key;
  }
}

bool on_the_sheet(const study::Input& in) {
  return in.kind == study::Input::Kind::kLeadMass || in.kind == study::Input::Kind::kLeadDistance ||
         find_line_of(in.key) != nullptr;
}

}  // namespace

double round_down(double value) {
  if (!(value > 0)) return value;
  const double power = std::pow(10.0, std::floor(std::log10(value) + 1e-9));
  const double lead = value / power;
  return (lead >= 5 - 1e-9 ? 5 : lead >= 2 - 1e-9 ? 2 : 1) * power;
}

AccuracyPlan plan_accuracy(const study::Comparison& c) {
  AccuracyPlan out;
  if (c.effects.change.size() != c.set_ups.size() || c.inputs.empty()) return out;
  out.worked_out = true;
  std::vector<std::pair<double, std::string>> elsewhere;
  std::map<std::string, std::pair<double, std::string>> worst_elsewhere;
  for (const Answer& answer : list_answers(c)) {
    std::vector<double> effect(c.inputs.size(), 0.0);
    double variance = 0;
    for (std::size_t i = 0; i < c.inputs.size(); ++i) {
      if (c.inputs[i].kind == study::Input::Kind::kChange &&
          c.inputs[i].set_up != static_cast<int>(answer.set_up))
        continue;
      const double own = c.effects.change[answer.set_up][i][answer.measure];
      const double base = answer.set_up == 0 || c.inputs[i].kind == study::Input::Kind::kChange
                              ? 0
                              : c.effects.change[0][i][answer.measure];
      effect[i] = std::isfinite(own) && std::isfinite(base) ? own - base : 0;
      variance += effect[i] * effect[i];
    }
    // What regulation holds to specification has no doubt to share out.
    if (variance < 1e-6 * answer.reading * answer.reading) continue;
    int n = 0;
    for (const double e : effect) n += e * e >= kMatters * variance;
    const auto& result = c.set_ups[answer.set_up].results[answer.measure];
    const bool told = answer.set_up > 0 && std::abs(result.difference) > 1.96 * result.sigma_difference;
    for (std::size_t i = 0; i < c.inputs.size(); ++i) {
      const double share = effect[i] * effect[i] / variance;
      const std::string key = key_of(c.inputs[i]);
      if (key.empty() || share < kMatters) continue;
      if (!on_the_sheet(c.inputs[i])) {
        auto& worst = worst_elsewhere[c.inputs[i].name];
        if (share > worst.first) worst = {share, answer.name};
        continue;
      }
      Asked& asked = out.by_key[key];
      const double usual = c.inputs[i].sigma;
      const double wanted =
          std::max(usual / kFinest, usual * answer.reading / std::sqrt(n) / std::abs(effect[i]));
      if (asked.accuracy == 0 || wanted < asked.accuracy) asked.accuracy = wanted;
      asked.finer = asked.accuracy < 0.99 * usual;
      asked.most = asked.most || share >= kDominates || (!told && asked.finer);
      if (share > asked.share) {
        asked.share = share;
        asked.answer = answer.name;
      }
    }
  }
  for (const auto& [name, worst] : worst_elsewhere)
    if (worst.first >= kDominates) elsewhere.emplace_back(worst.first, name);
  std::sort(elsewhere.rbegin(), elsewhere.rend());
  for (const auto& [share, name] : elsewhere)
    out.not_on_the_sheet.push_back(
        fmt::format("{} ({:.0f} % of the doubt about {})", name, 100 * share, worst_elsewhere[name].second));
  return out;
}

}  // namespace leverwright::workshop
