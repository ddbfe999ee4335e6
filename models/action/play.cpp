#include "models/action/play.h"

#include <algorithm>

#include "models/action/crown.h"
#include "models/action/stroke_watcher.h"
#include "sim/base/error.h"
#include "sim/run/start_state.h"

namespace leverwright::action {

const std::array<const char*, kStrokeEventCount> kStrokeEventNames = {"key start",
                                                                      "tender meets button",
                                                                      "lever meets drop screw",
                                                                      "jack trips",
                                                                      "jack clear",
                                                                      "string contact",
                                                                      "string left",
                                                                      "key bottom",
                                                                      "check",
                                                                      "jack reset",
                                                                      "key back"};

const char* name_of(Fault fault) {
  switch (fault) {
    case Fault::kNoLetOff:
      return "no let-off";
    case Fault::kNoString:
      return "hammer does not reach the string";
    case Fault::kDoubleHit:
      return "double hit";
    case Fault::kFailedCheck:
      return "failed check";
    case Fault::kBobbling:
      return "bobbling";
    case Fault::kBlockedHammer:
      return "blocked hammer";
    case Fault::kCheatingJack:
      return "cheating jack";
    case Fault::kNoReset:
      return "jack not reset";
    case Fault::kNoBottom:
      return "key does not reach its bottom";
  }
  return "";
}

Rest build_rest(const Action& action, const planar::VecQ& q) {
  planar::VecQ all = action.q_drawn;
  const auto bodies = action.finger_body >= 0 ? action.finger_body : action.mechanism.n();
  all.head(bodies) = q.head(bodies);
  const double travel = travel_at(action, q).travel;
  for (const int body : {action.finger_body, action.hand_body})
    if (body >= 0) all[body] = travel;
  return {run::neutral_start_state(action.mechanism, all), travel};
}

bool StrokeResult::has(Fault fault) const {
  return std::find(faults.begin(), faults.end(), fault) != faults.end();
}

namespace {

bool known(double x) { return x == x; }

void fill_measures(const StrokeWatcher& w, double release_at, StrokeResult& r) {
  const auto& t = r.event;
  StrokeMeasures& m = r.measures;
  m.hammer_speed = w.hammer_speed;
  m.rebound_speed = w.rebound_speed;
  m.travel_time = t[kStringContact] - t[kKeyStart];
  m.key_bottom_after_string = t[kKeyBottom] - t[kStringContact];
  m.free_flight = known(w.knuckle_left)   ? t[kStringContact] - w.knuckle_left
                  : known(w.hammer_speed) ? 0.0
                                          : w.hammer_speed;
  m.string_time = t[kStringLeft] - t[kStringContact];
  m.key_descent_time = t[kKeyBottom] - t[kKeyStart];
  m.peak_key_speed = w.peak_key_speed;
  m.peak_force = w.peak_force;
  if (w.caught_at_release) m.check_distance = w.facts.gap_at_release;
  m.check_time = t[kCheck] - t[kStringContact];
  m.jack_reset_time = t[kJackReset] - release_at;
}

void find_faults(const StrokeWatcher& w, double release_at, bool released, bool to_the_end, StrokeResult& r) {
  const auto add = [&r](Fault f) { r.faults.push_back(f); };
  if (w.cheating) add(Fault::kCheatingJack);
  if (!released) return;
  if (!r.happened(kJackClear)) add(Fault::kNoLetOff);
  if (!r.happened(kStringContact)) {
    add(Fault::kNoString);
    if (!(r.event[kKeyBottom] < release_at)) add(Fault::kNoBottom);
    return;
  }
  if (w.on_string_at_release) add(Fault::kBlockedHammer);
  if (w.facts.string_contacts > 1) add(Fault::kDoubleHit);
  if (!w.caught_at_release) {
    add(Fault::kFailedCheck);
    if (w.facts.farthest_after > 2e-3 && w.facts.nearest_after_turn < 0.5 * w.facts.farthest_after)
      add(Fault::kBobbling);
  }
  if (to_the_end && !r.happened(kJackReset)) add(Fault::kNoReset);
  if (!(r.event[kKeyBottom] < release_at)) add(Fault::kNoBottom);
}

}  // namespace

StrokeResult play(const Action& action, const Rest& rest, const run::Drive& drive,
                  const PlayOptions& options) {
  StrokeResult r;
  StrokeWatcher watcher(action, rest, drive, options);
  run::Stroke stroke(action.mechanism, drive, options.stroke, options.scales);
  watcher.watch(stroke);
  if (options.stop_at_string) {
    constexpr double kStringFelt = 0.01e-3;  // [m] of compression: contact is behind
    const auto string = static_cast<std::size_t>(action.contact[kHammerString]);
    stroke.watch({"string reached",
                  [string](double, const double*, const planar::Scratch& s) {
                    return s.contact_points[string].depth - kStringFelt;
                  },
                  run::Crossing::kRising, true, true});
  }
  constexpr double kReportEvery = 0.02;  // [s] of stroke time
  bool to_the_end = true;
  try {
    stroke.start(0, rest.state, &watcher);
    for (int k = 1; to_the_end && stroke.t() < options.duration; ++k) {
      to_the_end = stroke.advance(std::min(options.duration, kReportEvery * k));
      if (options.progress) options.progress(stroke.t() / options.duration);
    }
  } catch (const base::Unstable& problem) {
    r.stopped = problem.what();
    to_the_end = false;
  }
  r.event = watcher.time;
  fill_measures(watcher, options.release_at, r);
  const bool released = stroke.t() >= options.release_at;
  find_faults(watcher, options.release_at, released, to_the_end, r);
  r.facts = watcher.facts;
  r.peak_normal = watcher.peak_normal;
  r.series = std::move(watcher.series);
  r.audit = stroke.audit();
  r.statistics = stroke.statistics();
  r.end_state = stroke.state();
  return r;
}

}  // namespace leverwright::action
