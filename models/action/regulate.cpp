#include "models/action/regulate.h"

#include <Eigen/LU>
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <memory>

#include "sim/base/units.h"

namespace leverwright::action {

namespace {

constexpr double kTight = 1e-8;  // [m] to which a regulation is solved
constexpr double kLetOffTight = 5e-7,
                 kDropTight = 1e-6;  // [m]; a snap is located to a tenth of a micrometre of dip
constexpr double kFaithful = 2e-6;   // [m] to which a requirement counts as met

struct Rest {
  bool found = false;
  double blow = 0, clearance = 0, offset = 0;
};

// Rest with let-off button, drop screw and front punching out of the way: none of them may touch a regulated
// action at rest.
Rest find_rest(const ActionDesign& d, const ScrewSettings& s, int& evaluations) {
  ScrewSettings clear = s;
  clear[kLetOffButton] = 12e-3;
  clear[kDropScrew] = 8e-3;
  clear[kFrontPunching] = -8e-3;
  const Action a = assemble(d, clear);
  run::StaticSolver solver(a.mechanism, kKey, a.playing_point, false);
  run::StaticState state = solver.initial(a.q_drawn);
  Rest out;
  out.found = solver.settle_free(state);
  evaluations += solver.evaluations();
  if (!out.found) return out;
  out.blow = a.string_gap(state.q);
  out.clearance = a.jack_clearance(state.q);
  out.offset = a.jack_offset(state.q);
  return out;
}

// Brings the capstan to where it just meets the heel in the drawn position, so that the search for rest does
// not start with one inside the other (a shimmed heel, a taller part).
void meet_heel(const ActionDesign& d, ScrewSettings& s) {
  for (int it = 0; it < 8; ++it) {
    const Action a = assemble(d, s);
    planar::Scratch scratch(a.mechanism);
    scratch.q = a.q_drawn;
    a.mechanism.calc_geometry(scratch);
    const std::string heel = kPlaceNames[kCapstanHeel];
    double depth = -1e9, rise = 1;
    for (std::size_t i = 0; i < a.mechanism.contacts.size(); ++i)
      if (a.mechanism.contacts[i]->group == heel && scratch.touches[i].depth > depth) {
        depth = scratch.touches[i].depth;
        rise = std::max(0.3, scratch.touches[i].n.y());
      }
    if (std::abs(depth) < 0.3e-3) return;
    s[kCapstan] -= std::clamp(depth / rise, -3e-3, 3e-3);
  }
}

// Capstan, lever stop and jack stop from the rest position (blow, clearance, jack in line).
bool solve_rest_from(const ActionDesign& d, double blow, ScrewSettings& s, int& evaluations) {
  const Screw unknown[3] = {kCapstan, kLeverStop, kJackStop};
  const auto miss = [&](const ScrewSettings& x, Eigen::Vector3d& f) {
    const Rest r = find_rest(d, x, evaluations);
    if (!r.found) return false;
    f = Eigen::Vector3d(r.blow - blow, r.clearance - d.jack_clearance, r.offset);
    return true;
  };
  Eigen::Vector3d f;
  if (!miss(s, f)) return false;
  Eigen::Matrix3d j;
  bool have_jacobian = false;
  for (int it = 0; it < 30; ++it) {
    if (f.cwiseAbs().maxCoeff() < kTight) return true;
    if (!have_jacobian || it % 3 == 0) {
      for (int k = 0; k < 3; ++k) {
        ScrewSettings probe = s;
        const double h = 1e-6;
        probe[unknown[k]] += h;
        Eigen::Vector3d g;
        if (!miss(probe, g)) return false;
        j.col(k) = (g - f) / h;
      }
      have_jacobian = true;
    }
    Eigen::Vector3d step = -j.partialPivLu().solve(f);
    if (!step.allFinite()) return false;
    const double largest = step.cwiseAbs().maxCoeff();
    if (largest > 1.0e-3) step *= 1.0e-3 / largest;
    double share = 1;
    Eigen::Vector3d g;
    for (int halving = 0; halving < 5; ++halving, share *= 0.5) {
      ScrewSettings trial = s;
      for (int k = 0; k < 3; ++k) trial[unknown[k]] += share * step[k];
      if (miss(trial, g) && (g.norm() < f.norm() || halving == 4)) {
        s = trial;
        break;
      }
    }
    f = g;
  }
  return f.cwiseAbs().maxCoeff() < kFaithful;
}

// Far off, the hammer may lie on its rest cushion or the jack under the lever's load, and the three measures
// no longer answer to the three screws. Then once more from the drawing, with the capstan at several heights.
bool solve_rest(const ActionDesign& d, double blow, ScrewSettings& s, int& evaluations) {
  ScrewSettings first = s;
  if (solve_rest_from(d, blow, first, evaluations)) {
    s = first;
    return true;
  }
  for (const double capstan : {0.0, 1e-3, -1e-3, 2.5e-3, -2.5e-3}) {
    ScrewSettings trial = s;
    trial[kCapstan] = capstan;
    trial[kLeverStop] = trial[kJackStop] = 0;
    if (solve_rest_from(d, blow, trial, evaluations)) {
      s = trial;
      return true;
    }
  }
  s = first;
  return false;
}

// Finds let-off and drop for one setting of button and drop screw. The way there is the same for all of them
// until one is touched, so the path of the last setting is handed on.
class TripFinder {
 public:
  TripFinder(const ActionDesign& d, double dip_limit, int& evaluations)
      : d_(d), dip_limit_(dip_limit), evaluations_(evaluations) {}

  std::optional<LetOff> find(const ScrewSettings& s) {
    auto action = std::make_unique<Action>(assemble(d_, s));
    auto path = path_ ? std::make_unique<QuietPath>(*action, *path_) : std::make_unique<QuietPath>(*action);
    std::optional<LetOff> out;
    if (path->rest_found()) out = find_let_off(*action, *path, dip_limit_);
    evaluations_ += path->solver().evaluations();
    path_ = std::move(path);
    action_ = std::move(action);
    return out;
  }
  double dip_limit() const { return dip_limit_; }
  // The last path gone, for a person who wants to look at states on it.
  Action& action() { return *action_; }
  QuietPath& path() { return *path_; }

 private:
  const ActionDesign& d_;
  double dip_limit_;
  int& evaluations_;
  std::unique_ptr<Action> action_;
  std::unique_ptr<QuietPath> path_;
};

// Solves f(x) = 0 for one screw: secant steps inside a bracket that grows from `start`; f must rise with x.
// f returns nullopt where the measure does not exist; `when_missing` says on which side that lies.
template <class F>
bool solve_screw(F f, double start, double stride, double limit, double when_missing, double tolerance,
                 double& x_out, double& best_out) {
  const auto g = [&](double x) {
    const auto y = f(x);
    return y ? *y : when_missing;
  };
  double x = start, y = g(x);
  best_out = y;
  x_out = x;
  if (std::abs(y) < tolerance) return true;
  // Bracket.
  double x2 = x, y2 = y;
  const double direction = y > 0 ? -1.0 : 1.0;
  double step = stride;
  while (y2 * y > 0) {
    x = x2;
    y = y2;
    x2 += direction * step;
    if (std::abs(x2 - start) > limit) {
      x_out = x;
      best_out = y;
      return false;
    }
    y2 = g(x2);
    step *= 1.6;
  }
  if (y2 == 0) {
    x_out = x2;
    best_out = 0;
    return true;
  }
  double lo = std::min(x, x2), hi = std::max(x, x2);
  double f_lo = lo == x ? y : y2, f_hi = lo == x ? y2 : y;
  std::uintmax_t iterations = 50;
  double best_x = lo, best = f_lo;
  const auto watch = [&](double v) {
    const double w = g(v);
    if (std::abs(w) < std::abs(best)) {
      best = w;
      best_x = v;
    }
    // Close enough: tell the root finder it is exactly there.
    return std::abs(w) < tolerance ? 0.0 : w;
  };
  if (std::abs(f_hi) < std::abs(best)) {
    best = f_hi;
    best_x = hi;
  }
  boost::math::tools::toms748_solve(
      watch, lo, hi, f_lo, f_hi, [](double a, double b) { return std::abs(b - a) < 1e-9; }, iterations);
  x_out = best_x;
  best_out = best;
  return std::abs(best) < std::max(tolerance, kFaithful);
}

// Dip at which the crown is `gap` from the string; the path rises towards it. Nullopt when it never comes
// there.
std::optional<run::StaticState> first_at_gap(const Action& a, QuietPath& path, double gap, double dip_limit) {
  double lo = 0;
  for (double dip = 0.5e-3; dip <= dip_limit; dip += 0.5e-3) {
    const auto state = path.at(dip);
    if (!state) return std::nullopt;
    if (a.string_gap(state->q) <= gap) {
      double hi = dip;
      for (int k = 0; k < 30; ++k) {
        const double middle = 0.5 * (lo + hi);
        const auto m = path.at(middle);
        if (!m) return std::nullopt;
        (a.string_gap(m->q) <= gap ? hi : lo) = middle;
        if (hi - lo < 1e-6) break;
      }
      return path.at(hi);
    }
    lo = dip;
  }
  return std::nullopt;
}

// Starting point for let-off button and drop screw, whatever they stood at: first the drop screw where the
// lever, still carrying the hammer, would just touch it a little before the drop's resting place; then, with
// that screw in, the button where the jack's tender would just touch it a little before let-off. With too
// high a drop screw the lever goes on carrying the hammer after the jack has tripped: it is lowered until
// there is a drop to speak of.
bool guess_trip(const ActionDesign& d, ScrewSettings& s, TripFinder& finder, int& evaluations) {
  ScrewSettings out = s;
  out[kDropScrew] = 8e-3;
  out[kLetOffButton] = 12e-3;
  const auto way_left = [&](int place, double gap) -> std::optional<double> {
    const Action a = assemble(d, out);
    QuietPath path(a);
    const auto state = path.rest_found() ? first_at_gap(a, path, gap, finder.dip_limit()) : std::nullopt;
    evaluations += path.solver().evaluations();
    if (!state) return std::nullopt;
    planar::Scratch scratch(a.mechanism);
    scratch.q = state->q;
    a.mechanism.calc_geometry(scratch);
    const auto& touch = scratch.touches[static_cast<std::size_t>(a.contact[static_cast<std::size_t>(place)])];
    return touch.depth / std::abs(touch.n.y());  // negative: how far the screw may still come
  };
  const auto drop = way_left(kLeverDropScrew, d.let_off + d.drop + 1.5e-3);
  if (!drop) return false;
  out[kDropScrew] += *drop;
  for (int k = 0; k < 14; ++k) {
    out[kLetOffButton] = 12e-3;
    const auto button = way_left(kTenderButton, d.let_off + 2.5e-3);
    if (!button) return false;
    out[kLetOffButton] += *button;
    s[kDropScrew] = out[kDropScrew];
    s[kLetOffButton] = out[kLetOffButton];
    const auto t = finder.find(s);
    if (t && t->found && t->drop > 0.5 * d.drop) break;
    out[kDropScrew] -= 0.3e-3;
  }
  return true;
}

// Let-off button for a given drop screw, starting from where it stands. Raising the button makes the jack
// trip later and the let-off distance smaller. True when let-off is as specified; `at` is what results.
bool solve_button(const ActionDesign& d, ScrewSettings& s, TripFinder& finder, LetOff& at, double& miss) {
  double x = 0;
  const bool ok = solve_screw(
      [&](double minus) -> std::optional<double> {
        ScrewSettings trial = s;
        trial[kLetOffButton] = -minus;
        const auto t = finder.find(trial);
        if (!t || !t->found) return std::nullopt;
        at = *t;
        return t->let_off - d.let_off;
      },
      -s[kLetOffButton], 0.05e-3, 12e-3, -1.0, kLetOffTight, x, miss);
  s[kLetOffButton] = -x;
  const auto t = finder.find(s);
  if (t) at = *t;
  return ok;
}

// Button and drop screw together: the drop as a function of the drop screw, the button re-solved for let-off
// each time. The drop has a cliff: with the screw too high there is none, and the lever carries the hammer
// on. So the screw comes up from below, by damped secant steps, and goes back half way where the drop is
// lost.
bool solve_trip_from(const ActionDesign& d, bool near, ScrewSettings& s, TripFinder& finder, LetOff& at,
                     std::vector<Failure>& failures, int& evaluations) {
  if (!near && !guess_trip(d, s, finder, evaluations)) {
    failures.push_back({"let-off", d.let_off, 0,
                        "the hammer does not come near the string within the travel of the key: a shorter "
                        "blow or more dip would have to give"});
    return false;
  }
  double miss = 0;
  const auto fail_let_off = [&] {
    failures.push_back({"let-off", d.let_off, d.let_off + std::max(miss, -d.let_off),
                        miss <= -0.5 ? "the hammer never lets off within the dip: more dip, a shorter blow "
                                       "or a shorter jack would have to give"
                                     : "the let-off button cannot bring let-off there"});
    return false;
  };
  if (!solve_button(d, s, finder, at, miss)) return fail_let_off();
  double f = at.drop - d.drop;
  double slope = -5.0;  // d(drop)/d(screw) to start with: lever ratio of hammer to drop screw
  ScrewSettings good = s;
  LetOff good_at = at;
  double good_f = f;
  for (int it = 0; it < 25 && std::abs(good_f) > kDropTight; ++it) {
    double step = std::clamp(-good_f / slope, -0.6e-3, 0.6e-3);
    bool advanced = false;
    for (int halving = 0; halving < 6; ++halving, step *= 0.5) {
      s = good;
      s[kDropScrew] += step;
      if (!solve_button(d, s, finder, at, miss)) continue;
      f = at.drop - d.drop;
      if (std::abs(f) > std::abs(good_f) && halving < 5) continue;
      const double new_slope = (f - good_f) / step;
      if (new_slope < -0.3) slope = std::max(new_slope, -40.0);
      good = s;
      good_at = at;
      good_f = f;
      advanced = true;
      break;
    }
    if (!advanced) break;
  }
  s = good;
  at = good_at;
  if (std::abs(good_f) > kFaithful) {
    failures.push_back(
        {"drop", d.drop, at.drop,
         "the drop screw cannot bring the drop there; another let-off or aftertouch would have to give"});
    return false;
  }
  return true;
}

// From where the screws stand when that is near already, from a guess when it is not or leads nowhere.
bool solve_trip(const ActionDesign& d, ScrewSettings& s, TripFinder& finder, LetOff& at,
                std::vector<Failure>& failures, int& evaluations) {
  const auto as_set = finder.find(s);
  const bool near = as_set && as_set->found && as_set->drop > 0.5 * d.drop &&
                    std::abs(as_set->let_off - d.let_off) < 1.5e-3;
  if (near) {
    ScrewSettings trial = s;
    std::vector<Failure> unused;
    if (solve_trip_from(d, true, trial, finder, at, unused, evaluations)) {
      s = trial;
      return true;
    }
  }
  return solve_trip_from(d, false, s, finder, at, failures, evaluations);
}

// Dip at which the front punching carries dip_force: the punching's height follows in closed form from the
// key's angle.
void set_punching(const ActionDesign& d, double travel_rest, double dip, ScrewSettings& s) {
  const double compression = d.laws[kKeyFrontPunching].cloth.compression(d.dip_force);
  // Height of the key's bottom at the punching when the key is down.
  const double length = d.playing_point.norm(), b = std::atan2(d.playing_point.y(), d.playing_point.x());
  const double sine = (d.playing_point.y() - (travel_rest + dip)) / length;
  const double theta = std::remainder(base::kPi - std::asin(sine) - b, 2 * base::kPi);
  constexpr double kRound = 2e-3;
  const Vec2 tip = d.front_punching + Vec2(0, kRound);
  const double y = std::sin(theta) * tip.x() + std::cos(theta) * tip.y() - kRound;
  const double dip_drawn = d.dip > 0 ? d.dip : 10e-3;
  const double drawn = -dip_drawn * d.front_punching.x() / d.playing_point.x();
  s[kFrontPunching] = y + compression - drawn;
}

// The same for a key that can rise and sink on its balance punching: where the front punching carries
// dip_force the key's angle goes with its lift, so the height is corrected by what the punching misses.
void set_punching_under_lift(const ActionDesign& d, double dip, ScrewSettings& s) {
  const double wanted = d.laws[kKeyFrontPunching].cloth.compression(d.dip_force);
  for (int it = 0; it < 8; ++it) {
    const Action a = assemble(d, s);
    QuietPath path(a);
    const auto state = path.rest_found() ? path.at(dip) : std::nullopt;
    if (!state) return;
    const double miss = wanted - path.depth_of(kKeyFrontPunching, *state);
    s[kFrontPunching] += miss;
    if (std::abs(miss) < kTight) return;
  }
}

struct Outcome {
  bool ok = false;
  LetOff at;
};

Outcome regulate_for_blow(const ActionDesign& d, double blow, ScrewSettings& s,
                          std::vector<Failure>& failures, int& evaluations) {
  Outcome out;
  if (!solve_rest(d, blow, s, evaluations)) {
    const Rest r = find_rest(d, s, evaluations);
    if (!r.found)
      failures.push_back({"rest position", 0, 0,
                          "the action finds no rest: look for parts that do not meet or cross each other"});
    else
      failures.push_back({"blow, jack clearance and jack position together", blow, r.blow,
                          "the capstan, lever height and jack button cannot bring the rest position there"});
    return out;
  }
  // Keep the punching out of the way while let-off and drop are found.
  ScrewSettings free = s;
  free[kFrontPunching] = -8e-3;
  TripFinder finder(d, 14e-3, evaluations);
  out.ok = solve_trip(d, free, finder, out.at, failures, evaluations);
  s[kLetOffButton] = free[kLetOffButton];
  s[kDropScrew] = free[kDropScrew];
  return out;
}

// The blow at which let-off comes at dip less aftertouch, by secant steps: a longer blow lets off later.
Outcome regulate_for_aftertouch(const ActionDesign& d, ScrewSettings& s, Regulated& r) {
  const double aim = d.dip - d.aftertouch;
  double blow = d.blow > 0 ? d.blow : 46e-3, slope = 0.2;
  Outcome best;
  double best_miss = 1e9, last_blow = 0, last_miss = 0;
  for (int it = 0; it < 14; ++it) {
    std::vector<Failure> failures;
    const Outcome o = regulate_for_blow(d, blow, s, failures, r.evaluations);
    if (!o.ok) {
      if (best_miss > 1e8) {
        r.failures = failures;
        return o;
      }
      blow = 0.5 * (blow + last_blow);
      continue;
    }
    const double miss = o.at.dip_let_off - aim;
    if (std::abs(miss) < std::abs(best_miss)) {
      best = o;
      best_miss = miss;
    }
    if (std::abs(miss) < kDropTight) return o;
    if (it > 0 && std::abs(blow - last_blow) > 1e-9) {
      const double fresh = (miss - last_miss) / (blow - last_blow);
      if (fresh > 0.05 && fresh < 1.0) slope = fresh;
    }
    last_blow = blow;
    last_miss = miss;
    blow -= std::clamp(miss / slope, -4e-3, 4e-3);
    if (blow < 30e-3 || blow > 65e-3) break;
  }
  if (std::abs(best_miss) > 2 * kFaithful)
    r.failures.push_back(
        {"dip and aftertouch together", aim, aim + best_miss,
         "no blow between 30 and 65 mm lets off there: dip or aftertouch would have to give"});
  return best;
}

}  // namespace

Regulated regulate(ActionDesign& d, const ScrewSettings& start, const std::string& policy) {
  Regulated r;
  ScrewSettings s = start;
  {
    int probes = 0;
    if (!find_rest(d, s, probes).found ||
        std::abs(find_rest(d, s, probes).blow - (d.blow > 0 ? d.blow : 46e-3)) > 20e-3)
      meet_heel(d, s);
    r.evaluations += probes;
  }
  Outcome trip;
  const bool keep_blow = policy != "keep dip and aftertouch";
  if (keep_blow) {
    trip = regulate_for_blow(d, d.blow, s, r.failures, r.evaluations);
  } else {
    trip = regulate_for_aftertouch(d, s, r);
  }
  const double aim = policy == "keep blow and aftertouch" ? trip.at.dip_let_off + d.aftertouch : d.dip;
  // Rest again with the final screws, then the punching.
  Action a = assemble(d, s);
  QuietPath path(a);
  if (!path.rest_found()) return r;
  set_punching(d, path.travel_rest(), aim, s);
  if (a.lift_body >= 0) set_punching_under_lift(d, aim, s);
  r.screws = s;
  r.travel_rest = path.travel_rest();
  r.rest = path.rest();
  r.blow = a.string_gap(r.rest.q);
  r.jack_clearance = a.jack_clearance(r.rest.q);
  r.jack_offset = a.jack_offset(r.rest.q);
  r.dip = aim;
  r.let_off = trip.at.let_off;
  r.drop = trip.at.drop;
  r.dip_button = trip.at.dip_button;
  r.dip_let_off = trip.at.dip_let_off;
  r.dip_drop = trip.at.dip_drop;
  r.aftertouch = r.dip - r.dip_let_off;
  if (trip.ok && r.aftertouch < 0.05e-3)
    r.failures.push_back({"aftertouch", d.aftertouch, r.aftertouch,
                          "the key is at the end of its dip before the hammer lets off: more dip, a shorter "
                          "blow or a higher let-off distance would have to give"});
  for (int k = 0; k < kScrewCount; ++k) {
    if (k == kBackCheck || k == kRepetitionSpring) continue;
    const auto& range = d.screws[static_cast<std::size_t>(k)];
    const double x = s[static_cast<std::size_t>(k)];
    if (x > range.up || x < -range.down)
      r.failures.push_back({std::string(kScrewNames[static_cast<std::size_t>(k)]) + " range", x,
                            x > range.up ? range.up : -range.down,
                            "the screw would have to go further than its thread allows"});
  }
  r.ok = trip.ok && r.failures.empty();
  r.evaluations += path.solver().evaluations();
  return r;
}

namespace {

// Both heights at once, by Newton with a difference Jacobian: angle and lift of the key at rest fall with
// neither alone.
void level_on_punching(ActionDesign& d, const ScrewSettings& screws) {
  const auto rest = [&](double back_rail, double punching) -> std::optional<Vec2> {
    ActionDesign probe = d;
    probe.back_rail_offset = back_rail;
    probe.balance_punching_offset = punching;
    const Action a = assemble(probe, screws);
    run::StaticSolver solver(a.mechanism, kKey, a.playing_point, false);
    run::StaticState state = solver.initial(a.q_drawn);
    if (!solver.settle_free(state)) return std::nullopt;
    return Vec2(state.q[kKey], state.q[a.lift_body]);
  };
  constexpr double kStart = 3.0;  // [N] or so: key and action on the punching
  if (d.balance_punching_offset == 0)
    d.balance_punching_offset = d.key_options.punching.cloth.compression(kStart);
  for (int it = 0; it < 30; ++it) {
    const auto f = rest(d.back_rail_offset, d.balance_punching_offset);
    if (!f || (std::abs(f->x()) < 1e-9 && std::abs(f->y()) < 1e-10)) return;
    const double h = 1e-7;
    const auto by_rail = rest(d.back_rail_offset + h, d.balance_punching_offset);
    const auto by_punching = rest(d.back_rail_offset, d.balance_punching_offset + h);
    if (!by_rail || !by_punching) return;
    Eigen::Matrix2d j;
    j << (*by_rail - *f) / h, (*by_punching - *f) / h;
    Vec2 step = -j.partialPivLu().solve(*f);
    if (!step.allFinite()) return;
    const double largest = step.cwiseAbs().maxCoeff();
    if (largest > 0.2e-3) step *= 0.2e-3 / largest;
    d.back_rail_offset += step.x();
    d.balance_punching_offset += step.y();
  }
}

}  // namespace

void level_key(ActionDesign& d, const ScrewSettings& screws) {
  if (d.options.has(kBalancePunching)) {
    level_on_punching(d, screws);
    return;
  }
  for (int it = 0; it < 20; ++it) {
    const auto angle = [&](double offset) {
      ActionDesign probe = d;
      probe.back_rail_offset = offset;
      const Action a = assemble(probe, screws);
      run::StaticSolver solver(a.mechanism, kKey, a.playing_point, false);
      run::StaticState state = solver.initial(a.q_drawn);
      solver.settle_free(state);
      return state.q[kKey];
    };
    const double f = angle(d.back_rail_offset);
    if (std::abs(f) < 1e-9) return;
    const double h = 1e-6, slope = (angle(d.back_rail_offset + h) - f) / h;
    d.back_rail_offset -= std::clamp(f / slope, -0.5e-3, 0.5e-3);
  }
}

}  // namespace leverwright::action
