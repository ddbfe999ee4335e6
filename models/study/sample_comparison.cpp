// Monte Carlo of a comparison: see monte_carlo.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/study/compare.h"
#include "models/study/judge_comparison.h"

namespace leverwright::study {

using case_file::CaseDescription;

namespace {

// The case with every input drawn. Inputs that act on the same value (both coordinates of a trace) add up.
CaseDescription draw_case(const CaseDescription& d, const std::vector<Input>& inputs,
                          const std::vector<std::vector<double>>& draws, std::size_t sample) {
  CaseDescription out = d;
  for (std::size_t i = 0; i < inputs.size(); ++i) out = move_input(out, inputs[i], draws[i][sample]);
  return out;
}

// Odds and word of a change over the samples, as the judgement has them.
void judge_samples(const judgement::Measure& wanted, double factor, const std::vector<double>& base,
                   const std::vector<double>& changed, SampledMeasure& m) {
  double nearer = 0, farther = 0, count = 0;
  for (std::size_t n = 0; n < base.size(); ++n) {
    const double gain =
        wanted.wanted.distance(base[n] * factor) - wanted.wanted.distance(changed[n] * factor);
    if (!std::isfinite(base[n]) || !std::isfinite(changed[n])) continue;
    ++count;
    nearer += gain > 1e-9 ? 1 : 0;
    farther += gain < -1e-9 ? 1 : 0;
  }
  m.nearer = nearer + farther > 0 ? nearer / (nearer + farther) : std::numeric_limits<double>::quiet_NaN();
  double differs = count > 0 ? (nearer + farther) / count : 0;
  const double before = m.value.mean - m.difference.mean;
  if (!wanted.wanted.own && std::max(wanted.wanted.distance(before * factor),
                                     wanted.wanted.distance(m.value.mean * factor)) <= wanted.noticeable)
    differs = 0;  // as judge.cpp has it
  m.judgement = count > 0 ? judgement::word_for(m.nearer, differs, m.difference.low * factor,
                                                m.difference.high * factor, wanted)
                          : Judgement::kNone;
}

std::string disagreement(const std::string& set_up, const MeasureInfo& info, const Spread& s, double value,
                         double sigma, bool of_change) {
  const double f = info.display_factor;
  return fmt::format(
      "{}{} of \"{}\": drawn {:.{}f} +- {:.{}f}, straight line {:.{}f} +- {:.{}f} {}: use the drawn "
      "percentiles, {:.{}f} to {:.{}f}",
      of_change ? "change of " : "", info.name, set_up, s.mean * f, info.decimals, s.sd * f,
      info.decimals + 1, value * f, info.decimals, sigma * f, info.decimals + 1, info.display_unit, s.low * f,
      info.decimals, s.high * f, info.decimals);
}

// Below half of the last digit shown nothing is worth a word.
bool shows(const MeasureInfo& info, const Spread& s, double value, double sigma) {
  const double last = least_shown(info);
  return std::abs(s.sd - sigma) > last || std::abs(s.mean - value) > last;
}

}  // namespace

MonteCarlo sample_comparison(const CaseDescription& d, const Comparison& c, const CompareOptions& options) {
  const auto& asked = options.monte_carlo;
  const std::size_t n_set = c.set_ups.size(), n = static_cast<std::size_t>(asked.samples);
  std::vector<std::string> names;
  std::vector<std::vector<double>> draws;
  for (const Input& in : c.inputs) {
    names.push_back(in.name);
    std::vector<double> x(n);
    const std::string set_up = in.set_up >= 0 ? d.set_ups[in.set_up].name : "";
    for (std::size_t k = 0; k < n; ++k) x[k] = draw(in, set_up, asked.seed, k);
    draws.push_back(std::move(x));
  }
  std::vector<std::vector<std::string>> reasons(n, std::vector<std::string>(n_set));
  const auto samples = run_samples(
      asked.samples,
      [&](int k) {
        const CaseDescription drawn = draw_case(d, c.inputs, draws, static_cast<std::size_t>(k));
        SampleOutput out;
        for (std::size_t s = 0; s < n_set; ++s)
          out.push_back(c.solver.measure(drawn, s, c.set_ups[s].regulated.screws, &reasons[k][s]));
        return out;
      },
      [&](double share) {
        return !options.progress || options.progress({"Monte Carlo", share});
      });
  // The drawn values start from the quick weighing; what is reported stands on the same footing as the
  // linear result.
  SampleOutput quick;
  for (std::size_t s = 0; s < n_set; ++s)
    quick.push_back(c.solver.measure(d, s, c.set_ups[s].regulated.screws));

  MonteCarlo out;
  out.asked = asked.samples;
  out.done = static_cast<int>(samples.size());
  out.seed = asked.seed;
  for (std::size_t s = 0; s < n_set; ++s) {
    out.set_ups.emplace_back();
    int failed = 0;
    for (const auto& sample : samples) failed += std::isnan(sample[s][kDownWeight]);
    out.failed.push_back(failed);
    out.failed_for.emplace_back();
    for (std::size_t k = 0; k < samples.size(); ++k)
      if (std::isnan(samples[k][s][kDownWeight])) ++out.failed_for.back()[reasons[k][s]];
    for (std::size_t k = 0; k < kMeasureCount; ++k) {
      SampledMeasure& m = out.set_ups.back()[k];
      const MeasureResult& linear = c.set_ups[s].results[k];
      const double step = c.set_ups[s].measures[k] - quick[s][k];
      const double base_step = c.set_ups[0].measures[k] - quick[0][k];
      std::vector<double> y, of_base, diff;
      for (const auto& sample : samples) {
        y.push_back(sample[s][k] + step);
        of_base.push_back(sample[0][k] + base_step);
        diff.push_back(y.back() - of_base.back());
      }
      m.value = describe_spread(y, draws, names);
      m.value_agrees = agrees_with_linear(m.value, linear.value, linear.sigma) ||
                       !shows(kMeasures[k], m.value, linear.value, linear.sigma);
      if (!m.value_agrees)
        out.disagreements.push_back(
            disagreement(c.set_ups[s].name, kMeasures[k], m.value, linear.value, linear.sigma, false));
      if (s == 0) continue;
      m.difference = describe_spread(diff, draws, names);
      m.difference_agrees = agrees_with_linear(m.difference, linear.difference, linear.sigma_difference) ||
                            !shows(kMeasures[k], m.difference, linear.difference, linear.sigma_difference);
      if (!m.difference_agrees)
        out.disagreements.push_back(disagreement(c.set_ups[s].name, kMeasures[k], m.difference,
                                                 linear.difference, linear.sigma_difference, true));
      m.nearer = std::numeric_limits<double>::quiet_NaN();
      const int place = judged_place(c.question, static_cast<MeasureIndex>(k));
      if (place >= 0) judge_samples(c.question.measures[place], kMeasures[k].display_factor, of_base, y, m);
    }
  }
  return out;
}

}  // namespace leverwright::study
