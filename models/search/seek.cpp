#include "models/search/seek.h"

#include <nlopt.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <mutex>

#include "sim/base/error.h"

namespace leverwright::search {

namespace {

using case_file::CaseDescription;
using case_file::SetUp;

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr int kGridOne = 17, kGridTwo = 9;  // points along each amount
constexpr int kLocalTries = 40;             // of each search from a good point
constexpr std::size_t kStarts = 3;
constexpr double kFinest = 2e-3;  // of the bounds' width: finer than any of these is cut

// Shares the caller's progress function between threads.
class Talk {
 public:
  Talk(const SeekOptions& options, double total) : options_(options), total_(total) {}
  void step() {
    const double done = ++done_;
    if (!options_.progress) return;
    const std::lock_guard<std::mutex> lock(talk_);
    if (!stop_ && !options_.progress(std::min(0.999, done / total_))) stop_ = true;
  }
  bool stopped() const { return stop_; }

 private:
  const SeekOptions& options_;
  double total_;
  std::atomic<int> done_{0};
  std::atomic<bool> stop_{false};
  std::mutex talk_;
};

struct Tried {
  std::vector<double> amounts;
  Trial trial;
  Judged judged;
};

struct Searcher {
  const CaseDescription& d;
  const Seek& s;
  const study::SetUpSolver& solver;
  const action::ScrewSettings& start;  // of the screws
  double base_lean;                    // of the capstan: a lean is a change from there
  Talk& talk;

  std::size_t n() const { return s.vary.size(); }
  double amount(std::size_t k, double share) const {
    return s.vary[k].from + share * (s.vary[k].to - s.vary[k].from);
  }
  Tried at(const std::vector<double>& shares) const {
    Tried t;
    for (std::size_t k = 0; k < n(); ++k) t.amounts.push_back(amount(k, shares[k]));
    t.trial = try_set_up(solver, d, with_amounts(d, s, t.amounts), start);
    t.judged = judge(s, t.trial.numbers);
    talk.step();
    return t;
  }
};

// What one run of COBYLA works on.
struct Local {
  const Searcher& searcher;
  double scale;       // of the cost
  bool least_change;  // second stage: the smallest change that is as good to `within`
  double as_good_as;  // cost that still counts, for that stage
  std::vector<Tried> seen;
  nlopt_opt optimiser = nullptr;

  const Tried& visit(unsigned count, const double* x) {
    std::vector<double> shares(x, x + count);
    for (double& share : shares) share = std::clamp(share, 0.0, 1.0);
    std::vector<double> amounts;
    for (std::size_t k = 0; k < shares.size(); ++k) amounts.push_back(searcher.amount(k, shares[k]));
    for (const Tried& t : seen)
      if (t.amounts == amounts) return t;
    if (searcher.talk.stopped()) nlopt_force_stop(optimiser);
    seen.push_back(searcher.at(shares));
    return seen.back();
  }
};

// The size of a change against the base, for those amounts whose zero means that nothing is done.
double size_of_change(const Searcher& at, const std::vector<double>& amounts) {
  static const std::vector<std::string> kFromNothing = {"height", "distance",  "shift",    "shim", "angle",
                                                        "amount", "thickness", "strength", "mass"};
  double sum = 0;
  for (std::size_t k = 0; k < amounts.size(); ++k) {
    const Vary& v = at.s.vary[k];
    if (std::find(kFromNothing.begin(), kFromNothing.end(), v.argument) == kFromNothing.end()) continue;
    const double from = v.argument == "angle" ? at.base_lean : 0.0;
    sum += std::pow((amounts[k] - from) / (v.to - v.from), 2);
  }
  return sum;
}

double cost_of(unsigned count, const double* x, double*, void* data) {
  auto& local = *static_cast<Local*>(data);
  const Tried& t = local.visit(count, x);
  if (!t.trial.ok) return 3.0;  // costs of the grid lie between 0 and 1 of the scale
  if (local.least_change) return size_of_change(local.searcher, t.amounts);
  return t.judged.cost / local.scale;
}

struct Keep {  // one limit as COBYLA wants it: kept where <= 0
  Local* local;
  std::size_t number;
  double bound, sign, scale;
};

double excess_of_cost(unsigned count, const double* x, double*, void* data) {
  auto& local = *static_cast<Local*>(data);
  const Tried& t = local.visit(count, x);
  if (!t.trial.ok) return 1.0;
  return (t.judged.cost - local.as_good_as) / local.scale;
}

double excess_of(unsigned count, const double* x, double*, void* data) {
  const auto& keep = *static_cast<Keep*>(data);
  const Tried& t = keep.local->visit(count, x);
  return t.trial.ok ? keep.sign * (t.trial.numbers[keep.number] - keep.bound) / keep.scale : 1.0;
}

void search(Local& local, const std::vector<double>& start, double first_step) {
  const Seek& s = local.searcher.s;
  std::vector<double> x = start;
  const std::unique_ptr<nlopt_opt_s, void (*)(nlopt_opt)> optimiser(
      nlopt_create(NLOPT_LN_COBYLA, static_cast<unsigned>(x.size())), nlopt_destroy);
  local.optimiser = optimiser.get();
  nlopt_set_lower_bounds1(optimiser.get(), 0);
  nlopt_set_upper_bounds1(optimiser.get(), 1);
  nlopt_set_min_objective(optimiser.get(), cost_of, &local);
  std::vector<Keep> keeps;
  const auto keep = [&](std::size_t number, double low, double high) {
    const double scale =
        std::pow(10.0, -kTrialNumbers[number].decimals + 1) / kTrialNumbers[number].display_factor;
    if (std::isfinite(high)) keeps.push_back({&local, number, high, 1, scale});
    if (std::isfinite(low)) keeps.push_back({&local, number, low, -1, scale});
  };
  for (const Limit& limit : s.limits) keep(limit.number, limit.low, limit.high);
  if (local.least_change) nlopt_add_inequality_constraint(optimiser.get(), excess_of_cost, &local, 0);
  for (Keep& one : keeps) nlopt_add_inequality_constraint(optimiser.get(), excess_of, &one, 0);
  nlopt_set_initial_step1(optimiser.get(), first_step);
  nlopt_set_xtol_abs1(optimiser.get(), kFinest);
  nlopt_set_maxeval(optimiser.get(), kLocalTries);
  double value = 0;
  nlopt_optimize(optimiser.get(), x.data(), &value);  // its answer is read off the points seen
}

// Grid points from which to search: the best, then the best that are no neighbours of those before.
std::vector<std::size_t> find_starts(const std::vector<Tried>& grid, int along) {
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < grid.size(); ++k)
    if (grid[k].trial.ok) order.push_back(k);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t i, std::size_t j) { return better(grid[i].judged, grid[j].judged); });
  std::vector<std::size_t> starts;
  const auto far = [&](std::size_t i, std::size_t j) {
    const int width = along, a = static_cast<int>(i), b = static_cast<int>(j);
    return std::abs(a % width - b % width) > 1 || std::abs(a / width - b / width) > 1;
  };
  for (const std::size_t k : order) {
    if (starts.size() == kStarts) break;
    if (std::all_of(starts.begin(), starts.end(), [&](std::size_t other) { return far(k, other); }))
      starts.push_back(k);
  }
  return starts;
}

std::vector<double> shares_of(std::size_t index, std::size_t n, int along) {
  std::vector<double> shares;
  for (std::size_t k = 0; k < n; ++k) {
    shares.push_back(static_cast<double>(index % static_cast<std::size_t>(along)) / (along - 1.0));
    index /= static_cast<std::size_t>(along);
  }
  return shares;
}

void count_excluded(SeekResult& out, const std::vector<Tried>& all) {
  std::map<std::string, int> reasons;
  for (const Tried& t : all) {
    ++out.tried;
    if (t.trial.ok || t.trial.why.empty()) continue;
    ++out.excluded;
    ++reasons[t.trial.why];
  }
  int most = 0;
  for (const auto& [why, count] : reasons)
    if (count > most) most = count, out.commonest_reason = why;
}

void summarise(SeekResult& out, const std::vector<Tried>& all, const Tried& best) {
  const Seek& s = out.seek;
  out.best = {best.amounts, best.trial};
  out.limits_kept = best.judged.violation <= 0;
  out.met = out.limits_kept && (s.aim != Aim::kReach || best.judged.cost <= s.within * (1 + 1e-9));
  out.reach_low = kInfinite, out.reach_high = -kInfinite;
  out.flat_low = out.flat_high = best.amounts;
  double lowest = kInfinite;
  for (const Tried& t : all)
    if (t.trial.ok && t.judged.violation <= best.judged.violation) lowest = std::min(lowest, t.judged.cost);
  for (const Tried& t : all) {
    if (!t.trial.ok || t.judged.violation > best.judged.violation) continue;
    out.reach_low = std::min(out.reach_low, t.trial.numbers[s.number]);
    out.reach_high = std::max(out.reach_high, t.trial.numbers[s.number]);
    if (t.judged.cost > lowest + s.within) continue;
    for (std::size_t k = 0; k < s.vary.size(); ++k) {
      out.flat_low[k] = std::min(out.flat_low[k], t.amounts[k]);
      out.flat_high[k] = std::max(out.flat_high[k], t.amounts[k]);
    }
  }
  for (std::size_t k = 0; k < s.vary.size(); ++k) {
    const double width = std::abs(s.vary[k].to - s.vary[k].from);
    out.at_bound.push_back(std::min(std::abs(best.amounts[k] - s.vary[k].from),
                                    std::abs(best.amounts[k] - s.vary[k].to)) < 2 * kFinest * width);
  }
}

template <class Work>
void in_arena(int threads, const Work& work) {
  if (threads <= 0) {
    work();
  } else {
    tbb::task_arena arena(threads);
    arena.execute(work);
  }
}

SeekResult seek_here(const CaseDescription& d, const Seek& s, const SeekOptions& options) {
  SeekResult out;
  out.seek = s;
  const study::SetUpSolver solver(d);
  const action::ScrewSettings start = find_trial_start(solver, d);
  out.base = try_set_up(solver, d, d.set_ups.front(), start);
  const int along = s.vary.size() == 1 ? kGridOne : kGridTwo;
  const std::size_t points = s.vary.size() == 1 ? kGridOne : kGridTwo * kGridTwo;
  Talk talk(options, static_cast<double>(points) + 0.6 * kLocalTries * kStarts);
  const Searcher searcher{d, s, solver, start, out.base.design.cap_lean, talk};

  std::vector<Tried> all(points);
  tbb::parallel_for(std::size_t{0}, points, [&](std::size_t k) {
    if (!talk.stopped()) all[k] = searcher.at(shares_of(k, s.vary.size(), along));
  });
  all.erase(std::remove_if(all.begin(), all.end(), [](const Tried& t) { return t.amounts.empty(); }),
            all.end());
  double low = kInfinite, high = -kInfinite;
  for (const Tried& t : all)
    if (t.trial.ok) low = std::min(low, t.judged.cost), high = std::max(high, t.judged.cost);
  const double scale = high > low ? high - low : 1.0;
  const auto find_best = [&] {
    const Tried* best = nullptr;
    for (const Tried& t : all)
      if (t.trial.ok && (!best || better(t.judged, best->judged))) best = &t;
    return best;
  };

  if (!talk.stopped()) {
    const std::vector<std::size_t> starts = find_starts(all, along);
    std::vector<std::vector<Tried>> found(starts.size());
    tbb::parallel_for(std::size_t{0}, starts.size(), [&](std::size_t k) {
      Local local{searcher, scale, false, 0, {}, nullptr};
      search(local, shares_of(starts[k], s.vary.size(), along), 1.0 / (along - 1.0));
      found[k] = std::move(local.seen);
    });
    for (auto& seen : found) all.insert(all.end(), seen.begin(), seen.end());
  }
  const Tried* best = find_best();
  // A target met along a whole line, or a best that is flat: the smallest change as good to `within` is
  // wanted.
  const bool can_use = best && best->judged.violation <= 0;
  if (can_use && (s.aim != Aim::kReach || best->judged.cost <= s.within) && !talk.stopped()) {
    out.best_possible = best->trial.numbers[s.number];
    // A target is wanted as such, not the near edge of what counts as met.
    const double as_good_as = s.aim == Aim::kReach ? 0 : best->judged.cost;
    const double slack = s.aim == Aim::kReach ? std::max(0.1 * s.within, best->judged.cost) : s.within;
    const auto smallest_of = [&] {
      const Tried* smallest = nullptr;
      for (const Tried& t : all)
        if (t.trial.ok && t.judged.violation <= 0 && t.judged.cost <= as_good_as + slack &&
            (!smallest || size_of_change(searcher, t.amounts) < size_of_change(searcher, smallest->amounts)))
          smallest = &t;
      return smallest;
    };
    std::vector<double> shares;
    const std::vector<double> from = smallest_of()->amounts;
    for (std::size_t k = 0; k < s.vary.size(); ++k)
      shares.push_back((from[k] - s.vary[k].from) / (s.vary[k].to - s.vary[k].from));
    Local local{searcher, scale, true, as_good_as + slack, {}, nullptr};
    search(local, shares, 0.5 / (along - 1.0));
    all.insert(all.end(), local.seen.begin(), local.seen.end());
    best = smallest_of();
  } else if (best) {
    out.best_possible = best->trial.numbers[s.number];
  }
  count_excluded(out, all);
  out.whole = !talk.stopped();
  if (!best) return out;
  summarise(out, all, *best);
  if (out.whole) {
    const Trial again =
        try_set_up(solver, d, with_amounts(d, s, out.best.amounts), out.best.trial.regulated.screws);
    out.noise = std::abs(again.numbers[s.number] - out.best.trial.numbers[s.number]);
  }
  return out;
}

}  // namespace

SetUp with_amounts(const CaseDescription& d, const Seek& s, const std::vector<double>& amounts) {
  SetUp out = d.set_ups.at(s.set_up);
  for (std::size_t k = 0; k < s.vary.size(); ++k)
    out.changes.at(s.vary[k].change).quantities.at(s.vary[k].argument).value = amounts.at(k);
  return out;
}

Judged judge(const Seek& s, const TrialNumbers& numbers) {
  Judged j;
  const double value = numbers[s.number];
  if (!std::isfinite(value)) return {kInfinite, kInfinite};
  for (const Limit& limit : s.limits) {
    const double x = numbers[limit.number];
    if (!std::isfinite(x)) return {kInfinite, kInfinite};
    const double excess = std::max({0.0, x - limit.high, limit.low - x});
    j.violation += excess * kTrialNumbers[limit.number].display_factor *
                   std::pow(10.0, kTrialNumbers[limit.number].decimals);
  }
  if (j.violation < 1e-6) j.violation = 0;
  j.cost = s.aim == Aim::kLeast ? value : s.aim == Aim::kMost ? -value : std::abs(value - s.target);
  return j;
}

bool better(const Judged& one, const Judged& other) {
  if (one.violation != other.violation) return one.violation < other.violation;
  return one.cost < other.cost;
}

SeekResult seek(const CaseDescription& d, const Seek& s, const SeekOptions& options) {
  SeekResult out;
  in_arena(options.threads, [&] { out = seek_here(d, s, options); });
  return out;
}

AmountMap map_amounts(const CaseDescription& d, const Seek& s, const std::vector<int>& steps,
                      const SeekOptions& options) {
  AmountMap out;
  out.seek = s;
  std::size_t points = 1;
  for (std::size_t k = 0; k < s.vary.size(); ++k) {
    const int count = std::max(2, steps.at(k));
    out.axes.emplace_back();
    for (int i = 0; i < count; ++i)
      out.axes.back().push_back(s.vary[k].from + (s.vary[k].to - s.vary[k].from) * i / (count - 1.0));
    points *= static_cast<std::size_t>(count);
  }
  out.values.assign(kTrialNumberCount, std::vector<double>(points, std::numeric_limits<double>::quiet_NaN()));
  out.why.assign(points, "");
  for (const Vary& v : s.vary)
    out.as_written.push_back(d.set_ups.at(s.set_up).changes.at(v.change).quantities.at(v.argument).value);

  const study::SetUpSolver solver(d);
  const action::ScrewSettings start = find_trial_start(solver, d);
  Talk talk(options, static_cast<double>(points));
  const std::size_t n0 = out.axes.front().size();
  const auto amounts_at = [&](std::size_t k) {
    std::vector<double> amounts{out.axes[0][k % n0]};
    if (out.axes.size() > 1) amounts.push_back(out.axes[1][k / n0]);
    return amounts;
  };
  std::vector<char> done(points, 0), ok(points, 0);
  in_arena(options.threads, [&] {
    tbb::parallel_for(std::size_t{0}, points, [&](std::size_t k) {
      if (talk.stopped()) return;
      const Trial t = try_set_up(solver, d, with_amounts(d, s, amounts_at(k)), start);
      for (std::size_t i = 0; i < kTrialNumberCount; ++i) out.values[i][k] = t.numbers[i];
      out.why[k] = t.ok ? "" : t.why;
      done[k] = 1;
      ok[k] = t.ok;
      talk.step();
    });
  });
  Judged best{kInfinite, kInfinite};
  for (std::size_t k = 0; k < points; ++k) {
    out.done += done[k];
    out.excluded += done[k] && !ok[k];
    if (!ok[k]) continue;
    TrialNumbers numbers{};
    for (std::size_t i = 0; i < kTrialNumberCount; ++i) numbers[i] = out.values[i][k];
    const Judged judged = judge(s, numbers);
    if (judged.violation > 0 || !better(judged, best)) continue;
    best = judged;
    out.best = amounts_at(k);
  }
  out.whole = out.done == static_cast<int>(points);
  return out;
}

}  // namespace leverwright::search
