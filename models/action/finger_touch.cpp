#include "models/action/finger_touch.h"

#include <algorithm>
#include <cmath>

#include "models/action/solve_touch.h"
#include "sim/base/units.h"

namespace leverwright::action {

namespace {

// The way left after the run-up is gone at v and then stopped in: v T / 2 of it in T.
double way_left(const FingerTouch& t) { return t.dip + t.over - (t.struck ? 0 : t.run_up); }
double stopping_time(const FingerTouch& t) { return std::min(t.stop, 2 * way_left(t) / t.speed); }

// Pieces of constant acceleration: down, held, up (a pressed touch ends its run-up above the key).
class HandHistory : public run::History {
 public:
  explicit HandHistory(const FingerTouch& t) {
    const double run = t.struck ? t.height : t.run_up, v = t.speed, stop = stopping_time(t);
    add(t.start, v * v / (2 * run));
    add(t.start + 2 * run / v, 0);
    add(t.stops_at() - stop, -v / stop);
    add(t.stops_at(), 0);
    const double up = t.dip + t.over + run;  // ends as far above the key as it came from
    const double a = 4 * up / (t.lift * t.lift), release = t.released_at();
    add(release, -a);
    add(release + t.lift / 2, a);
    add(release + t.lift, 0);
  }
  run::Instant at(double t) const override {
    if (t < pieces_.front().t) return {};
    auto it =
        std::upper_bound(pieces_.begin(), pieces_.end(), t, [](double x, const Piece& p) { return x < p.t; });
    const Piece& p = *(it - 1);
    const double h = t - p.t;
    return {p.y + h * (p.v + 0.5 * h * p.a), p.v + h * p.a, p.a};
  }
  void add_breakpoints(std::vector<double>& times) const override {
    for (const Piece& p : pieces_) times.push_back(p.t);
  }

 private:
  struct Piece {
    double t, y, v, a;
  };
  void add(double t, double a) {
    const run::Instant now = pieces_.empty() ? run::Instant{} : at(t);
    pieces_.push_back({t, now.value, now.rate, a});
  }
  std::vector<Piece> pieces_;
};

}  // namespace

planar::Cloth finger_flesh(double stiffness, double damping) {
  constexpr double kAt = 1.0;  // [N]
  return planar::Cloth(kAt, kFleshExponent * kAt / stiffness, kFleshExponent, kFleshHysteresis, 0.0,
                       damping / stiffness);
}

planar::Cloth FingerTouch::arm() const {
  return planar::Cloth(hold(), over, kArmExponent, 0.0, 0.0, arm_loss_time);
}

double FingerTouch::lands_at() const { return struck ? start + 2 * height / speed : start; }

double FingerTouch::stops_at() const {
  const double at_speed = start + 2 * (struck ? height : run_up) / speed, time = stopping_time(*this);
  return at_speed + way_left(*this) / speed + time / 2;
}

double FingerTouch::released_at() const {
  constexpr double kHeld = 50e-3;  // [s] at least
  return std::max(lands_at() + release_after, stops_at() + kHeld);
}

std::shared_ptr<const run::History> hand_history(const FingerTouch& touch) {
  return std::make_shared<HandHistory>(touch);
}

FingeredAction put_finger(const ActionDesign& design, const ScrewSettings& screws, const planar::VecQ& q,
                          const FingerTouch& touch) {
  Finger finger;
  finger.mass = touch.mass;
  finger.start_height = touch.struck ? touch.height : 0;
  finger.flesh = finger_flesh(touch.stiffness, touch.damping);
  finger.arm = touch.arm();
  FingeredAction out;
  out.action = assemble(design, screws, &finger);
  out.rest = build_rest(out.action, q);
  return out;
}

run::Drive finger_touch_drive(const FingeredAction& f, const FingerTouch& touch) {
  struct FromRest : run::History {  // the hand's coordinate counts from the key as drawn
    std::shared_ptr<const run::History> way;
    double rest = 0;
    run::Instant at(double t) const override {
      run::Instant i = way->at(t);
      i.value += rest;
      return i;
    }
    void add_breakpoints(std::vector<double>& times) const override { way->add_breakpoints(times); }
  };
  auto way = std::make_shared<FromRest>();
  way->way = hand_history(touch);
  way->rest = f.rest.travel;
  run::Drive drive;
  drive.move(f.action.hand_body, way);
  const double weight = f.action.mechanism.tree.body(f.action.finger_body).mass * base::kGravity;
  drive.press(f.action.finger_body, Vec2::Zero(), Vec2(0, 1),
              std::make_shared<run::LinearHistory>(std::vector<double>{0}, std::vector<double>{weight}));
  return drive;
}

PlayOptions finger_options(const FingerTouch& touch, PlayOptions options) {
  const double after = options.duration - options.release_at;
  options.release_at = touch.released_at();
  options.duration = options.release_at + after;
  return options;
}

FoundFingerTouch find_finger_touch(const ActionDesign& design, const ScrewSettings& screws,
                                   const planar::VecQ& q, double hammer_speed, FingerTouch touch,
                                   const PlayOptions& options) {
  constexpr double kLeast = 0.01, kMost = 20;  // [m/s]
  // Published reach: about 6.8 m/s ([@goebl2005], as quoted). Far beyond it parts rattle in
  // steps so small that a search would take minutes to say no.
  constexpr double kBeyondAnyPlayer = 12;  // [m/s]
  if (hammer_speed > kBeyondAnyPlayer) {
    FoundFingerTouch out;
    out.touch = touch;
    out.advice = "no player throws a hammer at more than 12 m/s: ask for less (ff is about 6)";
    return out;
  }
  PlayOptions quick = options;
  quick.stop_at_string = true;
  quick.stroke.output_interval = 0;
  quick.progress = nullptr;
  const auto speed_of = [&](double speed) {
    FingerTouch trial = touch;
    trial.speed = speed;
    const FingeredAction f = put_finger(design, screws, q, trial);
    quick.duration = quick.release_at = trial.released_at();
    const StrokeResult r = play(f.action, f.rest, finger_touch_drive(f, trial), quick);
    return r.happened(kStringContact) ? r.measures.hammer_speed : 0.0;
  };
  const SolvedTouch s = solve_touch(speed_of, touch.speed, kLeast, kMost, hammer_speed, options.progress);
  FoundFingerTouch out;
  out.touch = touch;
  out.touch.speed = s.parameter;
  out.found = s.found;
  out.hammer_speed = s.speed;
  out.strokes = s.strokes;
  if (!s.found)
    out.advice = s.speed == 0
                     ? "the hammer does not reach the string however the key is played: regulate first"
                     : "no speed of the hand gives this hammer speed: ask for another, or for another "
                       "finger in [touches]";
  return out;
}

}  // namespace leverwright::action
