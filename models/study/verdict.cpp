#include "models/study/verdict.h"

#include <fmt/format.h>

#include <cctype>
#include <cmath>
#include <vector>

#include "models/study/compare.h"
#include "models/study/join_words.h"

namespace leverwright::study {

namespace {

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
  std::vector<std::string> better, worse, moved, same;
  for (std::size_t k = 0; k < kMeasureCount; ++k) {
    const MeasureResult& m = s.results[k];
    if (m.judgement == Judgement::kBetter) better.push_back(amount(kMeasures[k], m, with_uncertainty));
    if (m.judgement == Judgement::kWorse) worse.push_back(amount(kMeasures[k], m, with_uncertainty));
    if (m.judgement == Judgement::kMoved) moved.push_back(amount(kMeasures[k], m, with_uncertainty));
    if (m.judgement == Judgement::kSame) same.push_back(kMeasures[k].name);
  }
  std::string out;
  const auto say = [&](const char* what, const std::vector<std::string>& measures) {
    if (!measures.empty()) out += (out.empty() ? "" : "; ") + std::string(what) + " " + join_words(measures);
  };
  say("better in", better);
  say("worse in", worse);
  say("changed, but no nearer to its target, in", moved);
  say(out.empty() ? "cannot be told apart from the base in" : "cannot be told apart in", same);
  if (out.empty()) return lead + "The case sets no target to judge it by.";
  out.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front())));
  return lead + out + ".";
}

}  // namespace leverwright::study
