#include "models/action/weigh.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/action/path_facts.h"
#include "models/action/squeeze.h"
#include "models/case_file/static_balance.h"
#include "sim/base/units.h"

namespace leverwright::action {

namespace {

// From the edge of a branch to where something has fallen, a little way towards `dip`; `here` and `state` go
// there.
bool go_over(run::StaticSolver& solver, double travel_rest, double dip, double& here,
             run::StaticState& state) {
  for (double h = 4e-6; h < 2e-4; h *= 3.0) {
    const double next = std::abs(dip - here) <= h ? dip : here + (dip > here ? h : -h);
    run::StaticState trial = state;
    if (!solver.settle(solver.driven_for(travel_rest + next), trial)) {
      if (next == dip) return false;
      continue;
    }
    state = trial;
    here = next;
    return true;
  }
  return false;
}

// Leads the key through the dips given, in order; appends a sample for each when `out` is there. Above
// `smooth_to` the search for an equilibrium starts on the straight line through the two before it.
bool lead(run::StaticSolver& solver, double travel_rest, double smooth_to, const std::vector<double>& dips,
          run::StaticState& state, std::vector<run::StaticSample>* out, double& lost_at) {
  constexpr double kLeast = 2e-6;
  planar::VecQ slope = planar::VecQ::Zero(state.q.size());
  for (const double dip : dips) {
    double here = solver.travel_of(state.q) - travel_rest;
    run::StaticState previous = state;
    double stride = std::abs(dip - here);
    while (here != dip) {
      const double next = std::abs(dip - here) <= stride ? dip : here + (dip > here ? stride : -stride);
      run::StaticState trial = state;
      if (std::max(here, next) > smooth_to) slope.setZero();
      if (!solver.settle_from(state.q + (next - here) * slope, solver.driven_for(travel_rest + next),
                              trial)) {
        slope.setZero();
        stride = 0.5 * std::abs(next - here);
        if (stride >= kLeast) continue;
        // The edge of a branch: further on it is steeper, and the fall's start is clear.
        if (!go_over(solver, travel_rest, dip, here, state)) {
          lost_at = next;
          return false;
        }
        previous = solver.last_from();
        stride = std::abs(dip - here);
        continue;
      }
      previous = solver.last_from();
      slope = (trial.q - state.q) / (next - here);
      state = trial;
      here = next;
    }
    if (out) {
      run::StaticSample s = solver.sample(previous, state);
      s.travel = dip;
      out->push_back(std::move(s));
    }
  }
  return true;
}

}  // namespace

Weighing weigh(const Action& a, const Regulated& r, const WeighOptions& options) {
  if (a.damper_body >= 0 && !a.design.key_options.damper.weighed && !a.design.key_options.damper.lifted) {
    ActionDesign lifted = a.design;  // as technicians weigh: dampers lifted
    lifted.key_options.damper.lifted = true;
    return weigh(assemble(lifted, a.screws), r, options);
  }
  Weighing w;
  w.window_from = options.window_from;
  w.window_to = r.dip_free();
  if (w.window_to <= w.window_from) {
    w.failure =
        "the tender meets its button, or the lever its drop screw, before 1 mm of dip: there is no stroke to "
        "weigh";
    return w;
  }
  if (w.window_to > r.dip) {
    w.failure = fmt::format(
        "the key is down at {:.1f} mm of dip, before the tender meets its button or the lever its drop screw at {:.1f} mm: "
        "there is no let-off to weigh up to. Allow more dip or a shorter blow",
        r.dip * 1e3, w.window_to * 1e3);
    return w;
  }
  // Dips: an even grid plus both ends of the window and half stroke.
  const double end = r.dip;
  std::vector<double> dips;
  const int count = static_cast<int>(std::ceil(end / options.step));
  for (int k = 0; k <= count; ++k) dips.push_back(end * k / count);
  for (const double extra : {w.window_from, w.window_to, 0.5 * r.dip_let_off})
    if (std::none_of(dips.begin(), dips.end(), [&](double d) { return std::abs(d - extra) < 1e-9; }))
      dips.push_back(extra);
  std::sort(dips.begin(), dips.end());
  std::vector<double> back(dips.rbegin(), dips.rend());
  // The path turns a little beyond both ends so that the first sample of a stroke has a direction.
  constexpr double kTurn = 5e-6;
  run::StaticSolver solver(a.mechanism, kKey, a.playing_point, true);
  run::StaticState state = solver.initial(r.rest.q);
  double lost = 0;
  std::vector<run::StaticSample> up;
  const bool done = lead(solver, r.travel_rest, w.window_to, dips, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, back, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, {-kTurn}, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, dips, state, &w.down, lost) &&
                    lead(solver, r.travel_rest, w.window_to, {end + kTurn}, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, back, state, &up, lost);
  if (!done) {
    w.failure = fmt::format(
        "no equilibrium with friction was found at {:.2f} mm of dip: a part is blocked or jammed there",
        lost * 1e3);
    w.jam = find_jam(a, w.down, w.window_to);
    return w;
  }
  std::reverse(up.begin(), up.end());
  w.up = std::move(up);
  w.jam = find_jam(a, w.down, w.window_to);
  if (w.jam.jammed) {
    w.failure = fmt::format(
        "{} jams (self-locking) at {:.1f} mm of dip: with its friction the force there no longer turns the driven part, so "
        "the weights are meaningless. Ease that surface, or change its slope",
        w.jam.place, w.jam.dip * 1e3);
    return w;
  }
  w.failure = words_of(find_squeezed_through(a, w.down));
  if (w.failure.empty()) w.failure = words_of(find_squeezed_through(a, w.up));
  if (!w.failure.empty()) return w;

  double sum_down = 0, sum_up = 0, length = 0;
  w.down_weight = -1e9;
  w.up_weight = 1e9;
  for (std::size_t k = 0; k < w.down.size(); ++k) {
    const double dip = w.down[k].travel;
    if (dip < w.window_from - 1e-9 || dip > w.window_to + 1e-9) continue;
    if (w.down[k].force > w.down_weight) {
      w.down_weight = w.down[k].force;
      w.dip_of_down_weight = dip;
    }
    if (w.up[k].force < w.up_weight) {
      w.up_weight = w.up[k].force;
      w.dip_of_up_weight = dip;
    }
    if (k > 0 && w.down[k - 1].travel >= w.window_from - 1e-9) {
      const double h = dip - w.down[k - 1].travel;
      sum_down += 0.5 * h * (w.down[k].force + w.down[k - 1].force);
      sum_up += 0.5 * h * (w.up[k].force + w.up[k - 1].force);
      length += h;
    }
  }
  for (const auto* list : {&w.down, &w.up})
    for (const auto& s : *list) {
      double rows = 0;
      for (double x : s.ledger.friction) rows += x;
      for (double x : s.ledger.cloth) rows += x;
      for (double x : s.ledger.pivot) rows += x;
      w.worst_ledger = std::max(w.worst_ledger, std::abs(s.force - s.ledger.stored - s.direction * rows) /
                                                    std::max(0.05, std::abs(s.force)));
    }
  w.balance_weight = case_file::balance_weight_of(w.down_weight, w.up_weight);
  w.friction = case_file::friction_of(w.down_weight, w.up_weight);
  if (w.down_weight <= 0 || w.up_weight > w.down_weight) {
    w.failure = fmt::format(
        "the key goes down by itself (down weight {:.0f} gf): it is too heavy in front for what it lifts, so there is "
        "no down weight. Take lead out, or check front weight, strike weight and assist spring",
        w.down_weight / base::kGramForce);
    w.down_weight = w.up_weight = w.balance_weight = w.friction = 0;
    return w;
  }
  w.mean_down = sum_down / length;
  w.mean_up = sum_up / length;
  w.distance_ratio = case_file::distance_ratio_of(r.blow - r.let_off, r.dip_let_off);
  w.key_ratio = a.design.cap_apex.x() / a.design.key_front_arm;
  // A spring that helps the key down stands in the balance like weight at the key's front, one that lifts the
  // wippen like weight off it.
  const double helped = a.design.front_weight + a.design.assist_torque / a.design.key_front_arm;
  w.weight_ratio = case_file::weight_ratio_of(
      w.balance_weight,
      {helped, a.design.strike_weight, a.design.wippen_weight - a.design.wippen_assist, w.key_ratio});
  if (options.whole_stroke) {
    double before = 0,
           top = std::numeric_limits<double>::quiet_NaN();  // none: the key is down before let-off
    for (const auto& s : w.down) {
      if (s.travel <= w.window_to)
        before = s.force;
      else if (s.travel <= r.dip_let_off + 0.1e-3)
        top = std::fmax(top, s.force);
    }
    w.let_off_resistance = top - before;
    w.lever_product = find_lever_product(a, sample_near(w.down, 0.5 * r.dip_let_off));
    warn_of_heel(a, r.dip_let_off, w);
  }
  w.ok = true;
  return w;
}

}  // namespace leverwright::action
