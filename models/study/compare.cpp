#include "models/study/compare.h"

#include <fmt/format.h>
#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <exception>
#include <mutex>
#include <numeric>

#include "models/study/judge_comparison.h"
#include "models/study/keep_to_readings.h"
#include "models/study/lead_advice.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::study {

using case_file::CaseDescription;

namespace {

// Screws against the base, thread left, key height, and the lead that brings the wanted balance weight.
void compare_bench(const CaseDescription& d, const SetUpResult& base_result, SetUpResult& s) {
  for (std::size_t k = 0; k < action::kScrewCount; ++k) {
    const auto& range = s.design.screws[k];
    const double moved = s.regulated.screws[k] - base_result.regulated.screws[k];
    s.turns[k] = range.pitch > 0 ? moved / range.pitch : 0.0;
    s.thread_left[k] = moved >= 0 ? range.up - s.regulated.screws[k] : range.down + s.regulated.screws[k];
  }
  s.compared = true;
  s.key_height_change = -(s.regulated.travel_rest - base_result.regulated.travel_rest);
  const double balance = s.measures[kBalanceWeight];
  const LeadAdvice lead = find_lead(balance, find_wanted_balance_weight(d, balance), s.design.key_front_arm);
  s.lead_distance = lead.distance;
  s.lead_mass = lead.total();
}

// Solves the set-ups in parallel, in the order of the case; see compare.h for what a stop keeps.
void solve_set_ups(const CaseDescription& d, Comparison& c, const CompareOptions& options) {
  const std::size_t count = d.set_ups.size();
  std::vector<std::optional<SetUpResult>> solved(count);
  std::vector<double> shares(count, 0.0);
  std::size_t delivered = 0;
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stop{false};
  std::exception_ptr problem;
  std::mutex talk;  // guards everything above that is not atomic, and the caller's functions

  const auto deliver = [&] {  // in order, as far as they are there
    for (; delivered < count && solved[delivered]; ++delivered) {
      c.set_ups.push_back(std::move(*solved[delivered]));
      compare_bench(d, c.set_ups.front(), c.set_ups.back());
      if (options.finished) options.finished(c.set_ups.back());
    }
  };
  const auto work = [&](std::size_t s) {
    const auto tell = [&](const std::string& doing, double share) {
      const std::lock_guard<std::mutex> lock(talk);
      shares[s] = std::max(shares[s], share);
      const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
      if (options.progress &&
          !options.progress({d.set_ups[s].name + ": " + doing, sum / static_cast<double>(count)}))
        stop = true;
    };
    try {
      SolveOptions solve;
      solve.by_playing = true;
      solve.step = options.step;
      if (s >= options.first_played) solve.touches = options.touches;
      solve.tell = tell;
      SetUpResult result = c.solver.solve(d, d.set_ups[s], solve);
      const std::lock_guard<std::mutex> lock(talk);
      shares[s] = 1;
      solved[s] = std::move(result);
      if (!problem) deliver();
    } catch (...) {
      const std::lock_guard<std::mutex> lock(talk);
      if (!problem) problem = std::current_exception();
      stop = true;
    }
  };
  if (options.progress && !options.progress({d.set_ups.front().name, 0})) return;
  // Whoever is free takes the next one; what is taken is finished.
  tbb::parallel_for(
      tbb::blocked_range<std::size_t>(0, count, 1),
      [&](const tbb::blocked_range<std::size_t>& some) {
        for (std::size_t k = some.begin(); k != some.end(); ++k)
          if (!stop) work(next++);
      },
      tbb::simple_partitioner());
  if (problem) std::rethrow_exception(problem);
}

class Stopped {};

Effects find_effects(const CaseDescription& d, Comparison& c, const CompareOptions& options) {
  const std::size_t n_set = d.set_ups.size(), n_in = c.inputs.size();
  Effects e;
  Measures zero{};
  e.change.assign(n_set, std::vector<Measures>(n_in, zero));
  e.unknown.assign(n_set, "");
  std::vector<Measures> reference(n_set);
  std::vector<action::ScrewSettings> start(n_set);
  for (std::size_t s = 0; s < n_set; ++s) {
    start[s] = c.set_ups[s].regulated.screws;
    reference[s] = c.solver.measure(d, s, start[s], &e.unknown[s]);
    if (std::isfinite(reference[s][kDownWeight])) continue;
    start[s] = action::ScrewSettings{};  // not from where playing left check and spring
    reference[s] = c.solver.measure(d, s, start[s], &e.unknown[s]);
  }

  std::atomic<std::size_t> done{0};
  std::size_t total = n_in;
  std::atomic<bool> stop{false};
  std::mutex talk;
  const auto work = [&](std::size_t s, std::size_t i) {
    if (stop) return;
    const Input& in = c.inputs[i];
    for (const double amount : {1.0, -1.0, 0.5, -0.5}) {  // where one way does not fit together, the other
      const Measures m = c.solver.measure(move_input(d, in, amount), s, start[s]);
      for (std::size_t k = 0; k < kMeasureCount; ++k) e.change[s][i][k] = (m[k] - reference[s][k]) / amount;
      if (!e.unknown[s].empty() || std::isfinite(m[kDownWeight])) break;
    }
    ++done;
    if (options.progress) {
      const std::lock_guard<std::mutex> lock(talk);
      if (!options.progress({"uncertainty", static_cast<double>(done) / static_cast<double>(total)}))
        stop = true;
    }
  };
  const auto in_parallel = [&](const std::vector<std::pair<std::size_t, std::size_t>>& jobs) {
    tbb::parallel_for(std::size_t{0}, jobs.size(),
                      [&](std::size_t k) { work(jobs[k].first, jobs[k].second); });
    if (stop) throw Stopped{};
  };

  std::vector<std::pair<std::size_t, std::size_t>> jobs;
  for (std::size_t i = 0; i < n_in; ++i)
    if (c.inputs[i].set_up <= 0) jobs.emplace_back(0, i);
  total = jobs.size() * 2;  // a first guess; set right below
  in_parallel(jobs);
  // Which of them matter.
  Measures variance{};
  for (std::size_t i = 0; i < n_in; ++i)
    for (std::size_t k = 0; k < kMeasureCount; ++k)
      if (std::isfinite(e.change[0][i][k])) variance[k] += e.change[0][i][k] * e.change[0][i][k];
  jobs.clear();
  for (std::size_t i = 0; i < n_in; ++i) {
    const Input& in = c.inputs[i];
    if (in.kind == Input::Kind::kChange) {
      if (in.set_up > 0) jobs.emplace_back(static_cast<std::size_t>(in.set_up), i);
      continue;
    }
    bool matters = false;
    for (std::size_t k = 0; k < kMeasureCount; ++k)
      if (variance[k] > 0 && std::abs(e.change[0][i][k]) > kNegligible * std::sqrt(variance[k]))
        matters = true;
    if (!matters) {
      ++c.inputs_screened_out;
      // Taken to act alike on every set-up.
      for (std::size_t s = 1; s < n_set; ++s) e.change[s][i] = e.change[0][i];
      continue;
    }
    for (std::size_t s = 1; s < n_set; ++s) jobs.emplace_back(s, i);
  }
  total = done + jobs.size();
  in_parallel(jobs);
  return e;
}

// A doubt that cannot be worked out makes a band too narrow, and nobody would know.
void warn_of_lost_doubts(Comparison& c) {
  for (std::size_t s = 0; s < c.set_ups.size(); ++s) {
    if (!c.set_ups[s].weighing.ok) continue;
    const std::string &name = c.set_ups[s].name, &unknown = c.effects.unknown[s];
    const auto& change = c.effects.change[s];
    const auto lost = std::count_if(change.begin(), change.end(),
                                    [](const Measures& m) { return !std::isfinite(m[kDownWeight]); });
    if (!unknown.empty())
      c.warnings.push_back(fmt::format(
          "what the doubts do to \"{}\" is not known: moved as they are it cannot be weighed ({})", name,
          unknown));
    else if (lost > 0)
      c.warnings.push_back(
          fmt::format("the bands of \"{}\" leave out {} of {} doubts: moved either way, it cannot be weighed",
                      name, lost, change.size()));
  }
}

void fill_results(Comparison& c, const Effects* e) {
  for (std::size_t s = 0; s < c.set_ups.size(); ++s) {
    SetUpResult& set_up = c.set_ups[s];
    for (std::size_t k = 0; k < kMeasureCount; ++k) {
      MeasureResult& m = set_up.results[k];
      m.value = set_up.measures[k];
      m.difference = m.value - c.set_ups[0].measures[k];
      if (e) {
        double var = 0, var_diff = 0, largest = 0;
        std::size_t which = 0;
        for (std::size_t i = 0; i < c.inputs.size(); ++i) {
          const double own = e->change[s][i][k];
          const double diff =
              own -
              (c.inputs[i].kind == Input::Kind::kChange && c.inputs[i].set_up > 0 ? 0.0 : e->change[0][i][k]);
          if (std::isfinite(own)) var += own * own;
          if (std::isfinite(diff)) var_diff += diff * diff;
          const double part = s == 0 ? own * own : diff * diff;
          if (std::isfinite(part) && part > largest) {
            largest = part;
            which = i;
          }
        }
        m.sigma = std::sqrt(var);
        m.sigma_difference = s == 0 ? 0.0 : std::sqrt(var_diff);
        const double whole = s == 0 ? var : var_diff;
        if (whole > 0) {
          m.dominant = c.inputs[which].name;
          m.dominant_share = largest / whole;
        }
      }
    }
  }
}

}  // namespace

const char* turn_direction(action::Screw screw, bool positive) {
  switch (screw) {
    case action::kCapstan:
      return positive ? "up" : "down";
    case action::kFrontPunching:
      return positive ? "add paper" : "take paper out";
    case action::kLetOffButton:
      return positive ? "up" : "down";
    case action::kDropScrew:
      return positive ? "up" : "down";
    case action::kJackStop:
      return positive ? "jack toward the player" : "jack toward the strings";
    case action::kLeverStop:
      return positive ? "lever lower" : "lever higher";
    case action::kBackCheck:
      return positive ? "toward the player" : "toward the strings";
    case action::kRepetitionSpring:
      return positive ? "stronger" : "weaker";
    default:
      return "";
  }
}

namespace {

Comparison compare_here(const CaseDescription& d, const CompareOptions& options) {
  Comparison c;
  c.warnings = d.warnings;
  // The key of the base, regulated, rests as measured: this fixes the back-rail cloth for all set-ups.
  c.solver = SetUpSolver(d);
  solve_set_ups(d, c, options);
  std::optional<Effects> effects;
  if (options.uncertainty && c.set_ups.size() == d.set_ups.size()) {
    c.inputs = find_inputs(d);
    try {
      effects = find_effects(d, c, options);
      keep_to_readings(d, *effects);
    } catch (const Stopped&) {
      c.warnings.push_back(
          "stopped before the uncertainties were finished: differences are shown without them");
      c.inputs.clear();
    }
  }
  fill_results(c, effects ? &*effects : nullptr);
  if (effects) {
    c.effects = std::move(*effects);
    warn_of_lost_doubts(c);
  }
  judge_comparison(d, c);
  if (options.monte_carlo.samples > 0 && effects) c.monte_carlo = sample_comparison(d, c, options);
  return c;
}

}  // namespace

Comparison compare(const CaseDescription& d, const CompareOptions& options) {
  if (options.threads <= 0) return compare_here(d, options);
  tbb::task_arena arena(options.threads);
  return arena.execute([&] { return compare_here(d, options); });
}

}  // namespace leverwright::study
