#include "models/playing/record_plausibility.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace leverwright::playing {
namespace {

double middle_step(const std::vector<double>& time) {
  std::vector<double> steps;
  steps.reserve(time.size() - 1);
  for (std::size_t k = 1; k < time.size(); ++k) steps.push_back(time[k] - time[k - 1]);
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return *middle;
}

// The fastest over at least a millisecond: the last digit of a fast sampler is no speed.
RecordFault find_speed(const RecordedHistory& r) {
  constexpr double kOver = 1e-3;  // [s]
  std::size_t from = 0;
  for (std::size_t k = 1; k < r.time.size(); ++k) {
    while (from + 1 < k && r.time[k] - r.time[from + 1] >= kOver) ++from;
    const double gap = std::max(r.time[k] - r.time[from], kOver);
    const double speed = std::abs(r.value[k] - r.value[from]) / gap;
    if (speed > kFastestKey)
      return {k, fmt::format("the key would move at {:.3g} m/s here", speed),
              fmt::format("at most {:g} m/s", kFastestKey),
              "look at the units of time and dip, and for samples that are missing or wrong"};
  }
  return {};
}

}  // namespace

std::vector<RecordFault> find_record_faults(const RecordedHistory& r) {
  std::vector<RecordFault> out;
  const std::size_t last = r.time.size() - 1;
  if (r.time.size() > kMostSamples) {
    out.push_back({last, fmt::format("{} samples are too many", r.time.size()),
                   fmt::format("at most {}", kMostSamples), "take every tenth, or one stroke of the record"});
    return out;
  }
  const double length = r.time[last] - r.time[0], step = middle_step(r.time);
  if (!(length <= kLongestRecord))
    out.push_back({last, fmt::format("the record lasts {:.4g} s", length),
                   fmt::format("{:g} ms to {:g} s: one stroke", 1e3 * kShortestRecord, kLongestRecord),
                   "the times look like ms or us called s: put the right unit in the heading"});
  else if (!(length >= kShortestRecord))
    out.push_back({last, fmt::format("the record lasts {:.4g} ms", 1e3 * length),
                   fmt::format("{:g} ms to {:g} s: one stroke", 1e3 * kShortestRecord, kLongestRecord),
                   "the times look like s called ms: put the right unit in the heading"});
  else if (!(step <= kCoarsestStep))
    out.push_back({0, fmt::format("the samples stand {:.4g} ms apart", 1e3 * step),
                   fmt::format("at most {:g} ms: let-off passes in a few", 1e3 * kCoarsestStep),
                   "sample faster; with 1000 samples a second all is seen"});
  for (std::size_t k = 1; k < r.time.size() && out.empty(); ++k)
    if (!(r.time[k] - r.time[k - 1] <= kLongestGap))
      out.push_back({k, fmt::format("{:.4g} s without a sample before this one", r.time[k] - r.time[k - 1]),
                     fmt::format("at most {:g} s between two samples", kLongestGap),
                     "a piece is missing, or a time is mistyped: what happened meanwhile would be made up"});
  const auto greatest = std::max_element(r.value.begin(), r.value.end());
  const auto least = std::min_element(r.value.begin(), r.value.end());
  const auto at = [&](auto it) { return static_cast<std::size_t>(it - r.value.begin()); };
  const double high = r.is_force ? kGreatestForce : kGreatestDip, low = r.is_force ? kLeastPress : kLeastDip;
  const double factor = r.is_force ? 1 : 1e3;
  const char* unit = r.is_force ? "N" : "mm";
  const char* name = r.is_force ? "force" : "dip";
  const std::string range =
      fmt::format("a greatest {} from {:g} to {:g} {}", name, factor * low, factor * high, unit);
  if (!(std::max(std::abs(*greatest), std::abs(*least)) <= high))
    out.push_back({std::abs(*greatest) >= std::abs(*least) ? at(greatest) : at(least),
                   fmt::format("a {} of {:.4g} {} is none of a piano's key", name,
                               factor * (std::abs(*greatest) >= std::abs(*least) ? *greatest : *least), unit),
                   range,
                   r.is_force ? "they look like gf or mN called N" : "they look like mm called m or cm"});
  else if (-*least > kMostBelowZero * std::max(*greatest, low))
    out.push_back({at(least),
                   fmt::format("the {} goes to {:.4g} {}: the finger would {} the key", name, factor * *least,
                               unit, r.is_force ? "pull up" : "lift"),
                   r.is_force ? "force counted positive downwards" : "dip counted positive downwards",
                   "turn the sign round, and take off what the sensor shows at rest"});
  else if (*greatest < low)
    out.push_back({at(greatest), fmt::format("the {} never passes {:.4g} {}", name, factor * *greatest, unit),
                   range,
                   r.is_force ? "they look like N called gf or mN" : "they look like m or cm called mm"});
  if (!r.is_force && out.empty())
    if (RecordFault fault = find_speed(r); !fault.what.empty()) out.push_back(std::move(fault));
  return out;
}

}  // namespace leverwright::playing
