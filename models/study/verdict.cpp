#include "models/study/verdict.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::study {

namespace {

std::string join(const std::vector<std::string>& parts) {
  std::string out;
  for (std::size_t k = 0; k < parts.size(); ++k)
    out += (k == 0 ? "" : k + 1 == parts.size() ? " and " : ", ") + parts[k];
  return out;
}

std::string amount(const MeasureInfo& info, const MeasureResult& m, bool with_uncertainty) {
  const std::string unit = std::string(info.display_unit) == "1" ? "" : std::string(" ") + info.display_unit;
  if (!with_uncertainty)
    return fmt::format("{} ({:+.{}f}{})", info.name, m.difference * info.display_factor, info.decimals, unit);
  return fmt::format("{} ({:+.{}f} +- {:.{}f}{})", info.name, m.difference * info.display_factor,
                     info.decimals, m.sigma_difference * info.display_factor, info.decimals, unit);
}

}  // namespace

std::string write_verdict(const SetUpResult& base_result, const SetUpResult& s, bool with_uncertainty) {
  if (!s.weighing.ok) {
    std::string why = s.weighing.failure;
    if (!s.regulated.failures.empty())
      why = s.regulated.failures.front().requirement + ": " + s.regulated.failures.front().advice;
    return "Cannot be regulated. " + why + ".";
  }
  std::string lead;
  if (!s.regulated_ok && !s.regulated.failures.empty())
    lead = fmt::format("Not regulated to the specification ({}). ", s.regulated.failures.front().requirement);
  if (&s == &base_result) return lead + "The base: every other set-up is compared with this one.";
  std::vector<std::string> better, worse, same;
  for (std::size_t k = 0; k < kMeasureCount; ++k) {
    const MeasureResult& m = s.results[k];
    if (m.judgement == Judgement::kBetter) better.push_back(amount(kMeasures[k], m, with_uncertainty));
    if (m.judgement == Judgement::kWorse) worse.push_back(amount(kMeasures[k], m, with_uncertainty));
    if (m.judgement == Judgement::kSame) same.push_back(kMeasures[k].name);
  }
  if (better.empty() && worse.empty())
    return lead + "Cannot be told apart from the base in " + join(same) + ".";
  std::string out = lead;
  if (!better.empty()) out += "Better in " + join(better);
  if (!worse.empty()) out += (better.empty() ? "Worse in " : "; worse in ") + join(worse);
  if (!same.empty()) out += "; cannot be told apart in " + join(same);
  return out + ".";
}

}  // namespace leverwright::study
