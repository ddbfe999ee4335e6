#include "models/action/frictionless_path.h"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <limits>

#include "models/action/rest_position.h"

namespace leverwright::action {

FrictionlessPath::FrictionlessPath(const Action& action)
    : action_(action),
      solver_(action.mechanism, kKey, action.playing_point, false),
      rest_(solver_.initial(action.q_drawn)),
      scratch_(action.mechanism) {
  if (const auto rest = find_rest_as_set(action)) {
    rest_found_ = true;
    rest_ = *rest;
    travel_rest_ = solver_.travel_of(rest_.q);
    known_.emplace_back(0.0, rest_);
  }
}

std::optional<run::StaticState> FrictionlessPath::at(double dip) {
  if (!rest_found_) return std::nullopt;
  // Continue from the nearest known state that lies before this dip (the action remembers which side it came
  // from).
  auto it = std::upper_bound(known_.begin(), known_.end(), dip,
                             [](double d, const auto& k) { return d < k.first; });
  if (it != known_.begin()) --it;
  double here = it->first;
  run::StaticState state = it->second;
  // The search starts on the straight line through this state and the one before it, unless they straddle a
  // snap.
  planar::VecQ slope = planar::VecQ::Zero(state.q.size());
  const auto line_through = [&](const planar::VecQ& q0, double d0, const planar::VecQ& q1, double d1) {
    constexpr double kShort = 1e-6;
    if (std::abs(d1 - d0) < kShort)
      slope.setZero();
    else
      slope = (q1 - q0) / (d1 - d0);
  };
  if (it != known_.begin()) line_through((it - 1)->second.q, (it - 1)->first, state.q, here);
  constexpr double kStride = 0.4e-3, kLeast = 1e-7;
  double stride = kStride;
  const double direction = dip > here ? 1.0 : -1.0;
  while (direction * (dip - here) > 0) {
    const double next = std::abs(dip - here) <= stride ? dip : here + (dip > here ? stride : -stride);
    run::StaticState trial = state;
    const double key = solver_.driven_for(travel_rest_ + next);
    const bool settled = solver_.settle_from(state.q + (next - here) * slope, key, trial);
    // A lever that moves far for so small a step has snapped over, or the search has left its branch: go
    // closer before believing it, so that the snap comes where the branch ends and not where a long step
    // jumps off it.
    const double moved = (trial.q - state.q).cwiseAbs().maxCoeff();
    const bool tame = settled && moved <= 30.0 * std::abs(key - state.q[kKey]) + 2e-5;
    if (!tame && std::abs(next - here) > kLeast) {
      stride = 0.5 * std::abs(next - here);
      slope.setZero();
      continue;
    }
    double reached = next;
    if (!settled) {
      // The fall from the edge of a branch did not end: try it from a little further on, where it is steeper.
      bool found = false;
      for (double further = 1e-6; !found && further < 1e-4; further *= 3.0) {
        reached = here + (dip > here ? further : -further);
        trial = state;
        found = solver_.settle(solver_.driven_for(travel_rest_ + reached), trial);
      }
      if (!found) return std::nullopt;
    }
    line_through(state.q, here, trial.q, reached);
    state = trial;
    here = reached;
    stride = std::min(kStride, 2.0 * stride);
    const auto place = std::lower_bound(known_.begin(), known_.end(), here,
                                        [](const auto& a, double x) { return a.first < x; });
    if (place == known_.end() || place->first != here) known_.insert(place, {here, state});
  }
  return state;
}

double FrictionlessPath::depth_of(ContactId place, const run::StaticState& state) {
  scratch_.q = state.q;
  action_.mechanism.tree.calc_poses(scratch_.q, scratch_.v, scratch_.poses);
  return action_.mechanism.contacts[action_.contact[place]]->locate(scratch_.poses).depth;
}

std::optional<run::StaticSample> FrictionlessPath::sample_at(double dip) {
  const auto state = at(dip);
  if (!state) return std::nullopt;
  auto s = solver_.sample(*state, *state);
  s.travel -= travel_rest_;
  return s;
}

double FrictionlessPath::gap_rate(const run::StaticSample& s) const {
  return action_.string_gap_rate(s.state.q, s.dq);
}

std::vector<std::pair<double, double>> FrictionlessPath::known_gaps(double after, double up_to) const {
  std::vector<std::pair<double, double>> out;
  for (const auto& [dip, state] : known_)
    if (dip > after && dip <= up_to) out.emplace_back(dip, action_.string_gap(state.q));
  return out;
}

namespace {

// Lowest (sign +1) or highest (sign -1) crown-string distance between two neighbouring dips of the path.
// Where the jack snaps out, path.at() has gone close on its own and the neighbours are a tenth of a
// micrometre apart.
std::optional<double> turning_point(const Action& action, FrictionlessPath& path, double lo, double hi,
                                    double sign) {
  bool lost = false;
  const auto f = [&](double dip) {
    const auto s = path.at(dip);
    if (!s) lost = true;
    return s ? sign * action.string_gap(s->q) : 1e3;
  };
  std::uintmax_t iterations = 60;
  const auto best =
      boost::math::tools::brent_find_minima(f, lo, hi, std::numeric_limits<double>::digits / 2, iterations);
  if (lost) return std::nullopt;
  return best.first;
}

}  // namespace

QuietLetOff find_quiet_let_off(const Action& action, FrictionlessPath& path, double dip_limit) {
  QuietLetOff out;
  constexpr double kCoarse = 0.4e-3, kFine = 0.1e-3;
  double dip = 0;
  // First where the tender meets the button.
  for (;;) {
    const double next = dip + kCoarse;
    if (next > dip_limit) return out;
    const auto s = path.at(next);
    if (!s) return out;
    if (path.depth_of(kTenderButton, *s) > 0) {
      const auto depth = [&](double d) {
        const auto p = path.at(d);
        return p ? path.depth_of(kTenderButton, *p) : 0.0;
      };
      std::uintmax_t iterations = 40;
      const double f_lo = depth(dip), f_hi = path.depth_of(kTenderButton, *s);
      if (f_lo >= 0) {
        out.dip_button = dip;
      } else {
        const auto b = boost::math::tools::toms748_solve(
            depth, dip, next, f_lo, f_hi, [](double a, double c) { return std::abs(c - a) < 1e-8; },
            iterations);
        out.dip_button = b.second;
      }
      out.tender_met = true;
      break;
    }
    dip = next;
  }
  // Then the first minimum of the gap, and the first maximum after it, over all states the path went through.
  std::vector<std::pair<double, double>> seen = {
      {out.dip_button, action.string_gap(path.at(out.dip_button)->q)}};
  std::size_t next = 1;
  constexpr double kSnap = 3e-7;  // neighbours closer than this straddle a snap
  for (double here = out.dip_button + kFine; here <= dip_limit; here += kFine) {
    if (!path.at(here)) return out;
    for (const auto& k : path.known_gaps(seen.back().first, here)) seen.push_back(k);
    for (; next < seen.size(); ++next) {
      const double sign = out.found ? -1.0 : 1.0;
      if (sign * (seen[next].second - seen[next - 1].second) <= 0) continue;
      double turn = seen[next - 1].first;
      const double from = next >= 2 ? seen[next - 2].first : turn;
      if (seen[next].first - turn > kSnap && turn - from > kSnap) {
        const auto smooth = turning_point(action, path, from, seen[next].first, sign);
        if (!smooth) return out;
        turn = *smooth;
      }
      const double gap = action.string_gap(path.at(turn)->q);
      if (!out.found) {
        out.found = true;
        out.dip_let_off = turn;
        out.let_off = gap;
      } else {
        out.drop_found = true;
        out.dip_drop = turn;
        out.drop = gap - out.let_off;
        return out;
      }
    }
  }
  if (out.found) {  // still falling at the end of the travel: the drop so far
    out.dip_drop = seen.back().first;
    out.drop = seen.back().second - out.let_off;
  }
  return out;
}

}  // namespace leverwright::action
