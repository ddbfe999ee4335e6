#include "models/playing/stroke_spread.h"

#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <atomic>
#include <cmath>
#include <exception>
#include <mutex>

#include "sim/base/error.h"

namespace leverwright::playing {

namespace {

Answers ask_alone(const case_file::CaseDescription& description, const SpreadOptions& options,
                  const std::function<Answers(const study::SetUpResult&)>& ask) {
  study::CompareOptions compare_options;
  compare_options.uncertainty = false;
  compare_options.touches = options.touches;
  try {
    const study::Comparison c = study::compare(description, compare_options);
    return c.set_ups.front().weighing.ok ? ask(c.set_ups.front()) : Answers{};
  } catch (const base::UserError&) {
    return {};  // moved that far the measurements do not fit together
  }
}

std::map<std::string, StrokeSpread> find_here(const case_file::CaseDescription& whole, std::size_t set_up,
                                              const std::function<Answers(const study::SetUpResult&)>& ask,
                                              const SpreadOptions& options) {
  case_file::CaseDescription d = whole;
  d.set_ups = {whole.set_ups[set_up]};
  const std::vector<study::Input> inputs = study::find_inputs(d, true);
  std::vector<Answers> moved(inputs.size() + 1);
  std::atomic<std::size_t> done{0};
  std::atomic<bool> stopped{false};
  std::mutex telling;
  tbb::parallel_for(std::size_t{0}, inputs.size() + 1, [&](std::size_t k) {
    if (stopped) return;
    // The last is the case as it is; a way that does not fit together is tried backwards.
    const bool own = k == inputs.size();
    moved[k] = ask_alone(own ? d : study::move_input(d, inputs[k], 1.0), options, ask);
    if (!own && moved[k].empty()) moved[k] = ask_alone(study::move_input(d, inputs[k], -1.0), options, ask);
    ++done;
    if (!options.progress) return;
    const std::lock_guard<std::mutex> lock(telling);
    if (!options.progress(static_cast<double>(done) / static_cast<double>(inputs.size() + 1))) stopped = true;
  });
  std::map<std::string, StrokeSpread> out;
  if (stopped) return out;
  for (const auto& [name, own] : moved.back()) {
    if (!std::isfinite(own)) continue;
    StrokeSpread s;
    double variance = 0, largest = 0;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
      const auto found = moved[i].find(name);
      if (found == moved[i].end() || !std::isfinite(found->second)) {
        ++s.lost;
        continue;
      }
      const double part = (found->second - own) * (found->second - own);
      variance += part;
      if (part <= largest) continue;
      largest = part;
      s.dominant = inputs[i].name;
    }
    s.sigma = std::sqrt(variance);
    s.dominant_share = variance > 0 ? largest / variance : 0;
    out[name] = s;
  }
  return out;
}

}  // namespace

std::map<std::string, StrokeSpread> find_stroke_spread(
    const case_file::CaseDescription& description, std::size_t set_up,
    const std::function<Answers(const study::SetUpResult&)>& ask, const SpreadOptions& options) {
  if (options.threads <= 0) return find_here(description, set_up, ask, options);
  tbb::task_arena arena(options.threads);
  return arena.execute([&] { return find_here(description, set_up, ask, options); });
}

}  // namespace leverwright::playing
