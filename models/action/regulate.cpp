#include "models/action/regulate.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "models/action/trip.h"
#include "sim/base/units.h"

namespace leverwright::action {

namespace {

constexpr double kBlowTight = 1e-6;  // [m] of dip at let-off, dip and aftertouch kept
constexpr double kLeastAftertouch = 0.05e-3;

// Dip at which the front punching carries dip_force, cloth on its loading branch: the punching's height
// follows in closed form from the key's angle.
void set_punching(const ActionDesign& d, double travel_rest, double dip, ScrewSettings& s) {
  const double compression = punching_compression(d);
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
  const double wanted = punching_compression(d);
  for (int it = 0; it < 8; ++it) {
    const Action a = assemble(d, s);
    FrictionlessPath path(a);
    const auto state = path.rest_found() ? path.at(dip) : std::nullopt;
    if (!state) return;
    const double miss = wanted - path.depth_of(kKeyFrontPunching, *state);
    s[kFrontPunching] += miss;
    if (std::abs(miss) < 1e-8) return;
  }
}

// How far a screw is past the end of its thread [m, N m]; 0 within it.
double past_thread(const ActionDesign& d, const ScrewSettings& s, Screw k) {
  const auto& range = d.screws[static_cast<std::size_t>(k)];
  const double x = s[static_cast<std::size_t>(k)];
  return std::max({0.0, x - range.up, -range.down - x});
}

Failure thread_failure(const ActionDesign& d, const ScrewSettings& s, Screw k) {
  const auto& range = d.screws[static_cast<std::size_t>(k)];
  const double x = s[static_cast<std::size_t>(k)], end = x > range.up ? range.up : -range.down;
  if (k == kRepetitionSpring)
    return {"repetition spring", x, end,
            "the repetition spring cannot be made strong enough to carry the hammer: fit a stronger spring "
            "or lighter "
            "hammers"};
  return {std::string(kScrewNames[static_cast<std::size_t>(k)]) + " range", x, end,
          "the screw has to go further than its thread allows"};
}

// Everything but the front punching, for one blow.
struct Outcome {
  bool ok = false, rest_found = false;
  RestPosition rest;
  TripReading trip;
  ScrewSettings screws{};
  std::vector<Failure> failures;
};

Outcome regulate_for_blow(ActionDesign& d, double blow, const ScrewSettings& start, bool level,
                          int& evaluations) {
  Outcome out;
  out.screws = start;
  out.rest = solve_rest(d, start, blow, level);
  evaluations += out.rest.evaluations;
  out.screws = out.rest.screws;
  if (!out.rest.found) {
    out.failures.push_back(out.rest.failure);
    return out;
  }
  out.rest_found = true;
  // With a screw well past its thread's end a hand goes no further.
  constexpr double kPast = 1e-3;  // [m]
  for (const Screw k : {kCapstan, kLeverStop, kJackStop})
    if (past_thread(d, out.screws, k) > kPast) {
      out.failures.push_back(thread_failure(d, out.screws, k));
      return out;
    }
  Trip trip(d, out.screws, out.rest.state, kDipLimit);
  out.screws[kBackCheck] = trip.passing_check(out.screws[kBackCheck]);
  TripSolution t = solve_trip(trip, d);
  evaluations += trip.evaluations();
  out.trip = t.reading;
  out.screws[kLetOffButton] = t.button;
  out.screws[kDropScrew] = t.drop_screw;
  out.failures = std::move(t.failures);
  out.ok = out.failures.empty();
  return out;
}

// The blow at which let-off comes at dip less aftertouch: a longer blow lets off later.
Outcome regulate_for_aftertouch(ActionDesign& d, const ScrewSettings& start, bool level, int& evaluations) {
  const double aim = d.dip - d.aftertouch;
  Outcome best;
  KeyLevel best_level = level_of(d);
  double best_miss = 1;
  std::vector<Failure> first_failure;
  // Where nothing lets off the blow counts as too long.
  // Another blow only while there is time: a dozen blows of an ordinary action take a tenth of this.
  constexpr int kMostEvaluations = 400'000;
  const int before = evaluations;
  const auto miss = [&](double blow) {
    if (evaluations - before > kMostEvaluations) return 0.0;  // ends the search with the best there is
    Outcome o = regulate_for_blow(d, blow, start, level, evaluations);
    if (!o.ok) {
      if (first_failure.empty()) first_failure = o.failures;
      if (best_miss >= 1 && !best.rest_found) best = std::move(o);
      return 5e-3;
    }
    const double m = o.trip.dip_let_off - aim;
    if (std::abs(m) < std::abs(best_miss)) {
      best = std::move(o);
      best_miss = m;
      best_level = level_of(d);
    }
    return std::abs(m) < kBlowTight ? 0.0 : m;
  };
  double x = std::clamp(d.blow > 0 ? d.blow : 46e-3, kLeastBlow, kMostBlow), f = miss(x);
  if (f != 0) {
    // Bracket, by the slope of ordinary actions.
    double x2 = x, f2 = f;
    for (int k = 0; k < 12 && f2 * f > 0; ++k) {
      constexpr double kSlope = 0.17;
      x = x2;
      f = f2;
      x2 = std::clamp(x - std::clamp(1.3 * f / kSlope, -8e-3, 8e-3), kLeastBlow, kMostBlow);
      if (x2 == x) break;
      f2 = miss(x2);
    }
    if (f2 != 0 && f * f2 < 0) {
      std::uintmax_t iterations = 30;
      const bool up = x < x2;
      boost::math::tools::toms748_solve(
          miss, up ? x : x2, up ? x2 : x, up ? f : f2, up ? f2 : f,
          [](double a, double b) { return std::abs(b - a) < 1e-8; }, iterations);
    }
  }
  if (best_miss >= 1) {
    best.failures = first_failure;
    best.ok = false;
    return best;
  }
  put_level(best_level, d);  // the last one solved need not be the best
  if (std::abs(best_miss) > 10 * kBlowTight) {
    best.ok = false;
    best.failures.push_back(
        {"dip and aftertouch together", aim, aim + best_miss,
         fmt::format("no blow between {:.0f} and {:.0f} mm lets off there: choose another dip or aftertouch",
                     kLeastBlow * 1e3, kMostBlow * 1e3)});
  }
  return best;
}

void check_threads(const ActionDesign& d, Regulated& r) {
  for (int k = 0; k < kScrewCount; ++k) {
    const Screw screw = static_cast<Screw>(k);
    if (screw == kBackCheck || (screw == kRepetitionSpring && r.spring_raised == 0)) continue;
    if (past_thread(d, r.screws, screw) > 0) r.failures.push_back(thread_failure(d, r.screws, screw));
  }
}

Regulated regulate_with(ActionDesign& d, const ScrewSettings& start, const std::string& policy, bool level) {
  Regulated r;
  Outcome o = policy == "keep dip and aftertouch"
                  ? regulate_for_aftertouch(d, start, level, r.evaluations)
                  : regulate_for_blow(d, d.blow > 0 ? d.blow : 46e-3, start, level, r.evaluations);
  r.screws = o.screws;
  r.failures = o.failures;
  r.spring_raised = o.rest.spring_raised;
  if (!o.rest_found) return r;
  const double aim = policy == "keep blow and aftertouch" ? o.trip.dip_let_off + d.aftertouch : d.dip;
  r.rest = o.rest.state;
  const Action a = assemble(d, r.screws);
  r.travel_rest = run::StaticSolver(a.mechanism, kKey, a.playing_point, false).travel_of(r.rest.q);
  set_punching(d, r.travel_rest, aim, r.screws);
  if (a.lift_body >= 0) set_punching_under_lift(d, aim, r.screws);
  r.blow = a.string_gap(r.rest.q);
  r.jack_clearance = a.jack_clearance(r.rest.q);
  r.jack_offset = a.jack_offset(r.rest.q);
  r.dip = aim;
  r.let_off = o.trip.let_off;
  r.drop = o.trip.drop;
  r.dip_button = o.trip.dip_button;
  r.dip_drop_screw = o.trip.dip_drop_screw;
  r.dip_let_off = o.trip.dip_let_off;
  r.dip_drop = o.trip.dip_drop;
  r.aftertouch = r.dip - r.dip_let_off;
  if (o.ok && r.aftertouch < kLeastAftertouch)
    r.failures.push_back(
        {"aftertouch", d.aftertouch, r.aftertouch,
         "the key is at the end of its dip before the hammer lets off: allow more dip, a shorter blow "
         "or a wider let-off"});
  if (o.trip.found) check_threads(d, r);
  r.ok = o.ok && r.failures.empty();
  return r;
}

}  // namespace

Regulated regulate(ActionDesign& d, const ScrewSettings& start, const std::string& policy) {
  return regulate_with(d, start, policy, false);
}

Regulated regulate_base(ActionDesign& d, const ScrewSettings& start, const std::string& policy) {
  return regulate_with(d, start, policy, true);
}

void level_key(ActionDesign& d, const ScrewSettings& start) { (void)regulate_base(d, start, d.policy); }

}  // namespace leverwright::action
