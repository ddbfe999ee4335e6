#include "models/action/regulate_dynamic.h"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "models/action/crown.h"
#include "sim/base/error.h"

namespace leverwright::action {

namespace {

constexpr double kCheckTolerance = 0.1e-3;  // [m]
constexpr double kSpeedLoss =
    0.01;  // share of the blow's speed lost by the time the tail counts as rubbing on its way up
constexpr double kRiseTolerance = 0.03;  // share

// Follows the hammer while the key is let up.
class RiseWatcher : public run::Recorder {
 public:
  explicit RiseWatcher(const Action& action)
      : action_(action),
        tail_(static_cast<std::size_t>(action.contact[kTailCheck])),
        lever_(static_cast<std::size_t>(action.contact[kLeverKnuckle])),
        jack_(static_cast<std::size_t>(action.contact[kJackKnuckle])) {}
  void on_start(const planar::Mechanism&) override {}
  void on_sample(double, const double*, const planar::Scratch&) override {}
  void on_event(const run::Event&, const double*, const planar::Scratch&) override {}
  void on_step(double, const double*, const planar::Scratch& s) override {
    if (s.contact_points[tail_].depth > 0) {
      rise = {};
      borne_ = true;
      return;
    }
    rise.freed = true;
    const double speed = crown_speed(action_, s.q, s.v);
    // Flying on by itself after the lever has stopped is no longer rising on it.
    borne_ = borne_ && (s.contact_points[lever_].depth > 0 || s.contact_points[jack_].depth > 0);
    if (speed <= rise.speed) return;
    rise.speed = speed;
    if (!borne_) rise.left_lever = true;
  }
  Rise rise;

 private:
  const Action& action_;
  std::size_t tail_, lever_, jack_;
  bool borne_ = true;
};

// Root of a falling or rising miss(x) in [low, high], found from outside in: x starts at `start` and walks
// with `stride` towards where the miss should change sign. Calls are dear: stops as soon as |miss| <
// tolerance.
template <class F>
bool solve_played(F miss, double start, double stride, double low, double high, double slope_sign,
                  double tolerance, double& x_best, double& best) {
  const auto try_at = [&](double x) {
    const double m = miss(x);
    if (std::abs(m) < std::abs(best)) {
      best = m;
      x_best = x;
    }
    return std::abs(m) < tolerance ? 0.0 : m;
  };
  best = 1e9;
  double a = std::clamp(start, low, high), fa = try_at(a);
  if (fa == 0) return true;
  const double direction = fa * slope_sign > 0 ? -1.0 : 1.0;
  double b = a, fb = fa;
  while (fa * fb > 0) {
    a = b;
    fa = fb;
    b = std::clamp(b + direction * stride, low, high);
    if (b == a) return false;
    fb = try_at(b);
  }
  if (fb == 0) return true;
  std::uintmax_t iterations = 14;
  const double f_low = a < b ? fa : fb, f_high = a < b ? fb : fa;
  boost::math::tools::toms748_solve(
      try_at, std::min(a, b), std::max(a, b), f_low, f_high,
      [&](double p, double q) { return std::abs(q - p) < 1e-6 * std::abs(stride); }, iterations);
  return std::abs(best) < tolerance;
}

class Player {
 public:
  Player(ActionDesign design, ScrewSettings screws, PlayedRegulation& out,
         const std::function<void(double)>& progress)
      : design_(std::move(design)), screws_(screws), out_(out), progress_(progress) {
    design_.patch_grade = false;
  }

  // Plateau of the blow, with the check out of the way.
  bool find_blow() {
    ScrewSettings s = screws_;
    s[kBackCheck] = -design_.screws[kBackCheck].down;
    const Action a = assemble(design_, s);
    const Rest rest = find_rest(a);
    if (rest.state.empty()) return false;
    PressedTouch touch = out_.blow;
    touch.release_at = 2 * kHoldBlow;
    const FoundTouch f = find_pressed_touch(a, rest, design_.check_blow, touch);
    out_.strokes += f.strokes;
    out_.blow = f.touch;
    report();
    if (!f.found) out_.failures.push_back({"check blow", design_.check_blow, f.hammer_speed, f.advice});
    return f.found;
  }

  bool solve_check() {
    const auto& range = design_.screws[kBackCheck];
    double x = 0, best = 0;
    bool ever_caught = false, rubs = false;
    double nearest = 0;
    const auto miss = [&](double advance) {
      ScrewSettings s = screws_;
      s[kBackCheck] = advance;
      const Action a = assemble(design_, s);
      const Rest rest = find_rest(a);
      const CheckedBlow b = play_checked_blow(a, rest, out_.blow);
      ++out_.strokes;
      report();
      // Too near: the hammer is slowed or held on its way up. Too far: it falls past the check.
      if (!b.reached || b.hammer_speed < (1 - kSpeedLoss) * design_.check_blow) {
        rubs = true;
        return -1.0;
      }
      if (!b.caught) return 1.0;
      ever_caught = true;
      if (nearest == 0 ||
          std::abs(b.check_distance - design_.checking) < std::abs(nearest - design_.checking))
        nearest = b.check_distance;
      return b.check_distance - design_.checking;
    };
    const bool found = solve_played(miss, screws_[kBackCheck], 0.8e-3, -range.down, range.up, -1.0,
                                    kCheckTolerance, x, best);
    screws_[kBackCheck] = x;
    out_.checking = nearest;
    if (found) return true;
    const char* advice =
        !ever_caught
            ? "the tail is not held wherever the check stands: look at the tail's roughness, the check's "
              "lean and leather, and the rebound of the hammer"
        : rubs ? "any nearer and the tail rubs on the check on its way up: a longer checking distance, or "
                 "another lean of the check, would have to give"
               : "the check cannot be brought near enough or far enough within its range, or the height "
                 "jumps past the one wanted";
    out_.failures.push_back({"check height", design_.checking, nearest, advice});
    return false;
  }

  // The softest spring with which the lever still carries the hammer at rest and lies on its stop.
  double softest_spring() const {
    const Action a = assemble(design_, screws_);
    const Rest rest = find_rest(a);
    if (rest.state.empty()) return -design_.screws[kRepetitionSpring].down;
    planar::Scratch s(a.mechanism);
    std::vector<double> rates(rest.state.size());
    a.mechanism.calc_rates(rest.state.data(), rates.data(), {}, s);
    const double to_spare =
        s.normal[static_cast<std::size_t>(a.contact[kLeverStopFelt])] * design_.lever_stop_radius;
    return screws_[kRepetitionSpring] - to_spare + kLeastOnStop;
  }

  bool solve_spring() {
    const auto& thread = design_.screws[kRepetitionSpring];
    const double softest = std::max(-thread.down, softest_spring());
    const double stiffest = std::max(thread.up, softest);
    const double low = design_.spring_rise_low, high = design_.spring_rise_high, aim = std::sqrt(low * high);
    double x = 0, best = 0;
    Rise at_best;
    double least_miss = 1e9;
    bool caught = true;
    const auto miss = [&](double torque) {
      ScrewSettings s = screws_;
      s[kRepetitionSpring] = torque;
      const Action a = assemble(design_, s);
      const Rest rest = find_rest(a);
      const CheckedBlow b = play_checked_blow(a, rest, out_.blow);
      ++out_.strokes;
      report();
      caught = b.caught;
      if (!b.caught) return 1.0;  // a strong spring throws the hammer out of the check
      const Rise r = play_rise(a, rest, b);
      const double m = std::log(std::max(r.speed, 1e-3) / aim);
      if (std::abs(m) < least_miss) {
        least_miss = std::abs(m);
        at_best = r;
      }
      return m;
    };
    const bool found = solve_played(miss, screws_[kRepetitionSpring], 0.15 * std::max(thread.up, thread.down),
                                    softest, stiffest, 1.0, kRiseTolerance, x, best);
    screws_[kRepetitionSpring] = x;
    out_.rise_speed = at_best.speed;
    if (found && !at_best.left_lever) return true;
    if (at_best.speed >= low && at_best.speed <= high && !at_best.left_lever)
      return true;  // within the band all the same
    const char* advice =
        at_best.left_lever
            ? "the hammer jumps off the repetition lever as it rises: a softer spring, or less "
              "friction at the hammer centre, would have to give"
        : !caught ? "the hammer is not held by the check: set the check first"
        : at_best.speed < low
            ? "the spring is too weak at the end of its range: a stronger spring, or less friction "
              "at the repetition lever's and hammer's centres"
        : softest > -thread.down
            ? "any softer and the lever no longer carries the hammer at rest: a spring whose force grows "
              "less "
              "as it is bent, or more friction at the hammer centre, would have to give"
            : "the spring is too strong at the end of its range: bend it out or fit a weaker one";
    out_.failures.push_back({"repetition spring (rise of the hammer, m/s)", aim, at_best.speed, advice});
    return false;
  }

  const ScrewSettings& screws() const { return screws_; }
  void set_screws(const ScrewSettings& s) { screws_ = s; }
  void set_design(const ActionDesign& d) {
    design_ = d;
    design_.patch_grade = false;
  }

 private:
  void report() const {
    if (progress_) progress_(std::min(0.98, out_.strokes / 30.0));
  }

  ActionDesign design_;
  ScrewSettings screws_;
  PlayedRegulation& out_;
  const std::function<void(double)>& progress_;
};

}  // namespace

Rest find_rest(const Action& action) {
  const FrictionlessPath path(action);
  if (!path.rest_found()) return {};
  return build_rest(action, path.rest().q);
}

CheckedBlow play_checked_blow(const Action& action, const Rest& rest, const PressedTouch& touch) {
  if (rest.state.empty()) return {};
  PlayOptions options;
  options.duration = options.release_at = kHoldBlow;
  options.stroke.output_interval = 0;
  PressedTouch held = touch;
  held.release_at = 2 * kHoldBlow;
  const StrokeResult r = play(action, rest, pressed_drive(action, held), options);
  CheckedBlow out;
  out.reached = r.happened(kStringContact) && r.stopped.empty();
  out.hammer_speed = out.reached ? r.measures.hammer_speed : 0.0;
  out.caught = out.reached && r.measures.check_distance == r.measures.check_distance;
  if (out.caught) out.check_distance = r.measures.check_distance;
  out.state = r.end_state;
  return out;
}

Rise play_rise(const Action& action, const Rest& rest, const CheckedBlow& blow) {
  constexpr double kWatch = 0.35;  // [s]
  const double dip = travel_at(action, blow.state).travel - rest.travel;
  const run::Drive drive = key_motion_drive(
      action, rest,
      std::make_shared<run::RampHistory>(run::RampShape::kQuintic, std::vector<double>{0.0, kLetUpTime},
                                         std::vector<double>{dip, dip - kLetUp}));
  RiseWatcher watcher(action);
  run::StrokeOptions options;
  options.output_interval = 0;
  run::Stroke stroke(action.mechanism, drive, options);
  try {
    stroke.start(0, blow.state, &watcher);
    stroke.advance(kWatch);
  } catch (const base::Unstable&) {
    return {};
  }
  return watcher.rise;
}

PlayedRegulation regulate_by_playing(ActionDesign& design, Regulated& regulated,
                                     const std::function<void(double)>& progress) {
  PlayedRegulation out;
  Player player(design, regulated.screws, out, progress);
  constexpr int kRounds = 3;
  constexpr double kStill = 0.5e-3;  // [N m] of the spring: rest and let-off then move by some micrometres
  for (int round = 0; round < kRounds; ++round) {
    out.failures.clear();
    const double spring_before = player.screws()[kRepetitionSpring];
    const bool good = player.find_blow() && player.solve_check() && player.solve_spring();
    Regulated again = regulate(design, player.screws(), design.policy);
    regulated = again;
    player.set_design(design);
    player.set_screws(again.screws);
    if (!good || !again.ok) break;
    if (std::abs(again.screws[kRepetitionSpring] - spring_before) < kStill) {
      out.ok = true;
      break;
    }
  }
  if (!out.ok && out.failures.empty() && regulated.ok) out.ok = true;
  if (progress) progress(1.0);
  return out;
}

}  // namespace leverwright::action
