#include "models/action/touch.h"

#include <cmath>

#include "models/action/crown.h"
#include "models/action/solve_touch.h"
#include "sim/base/units.h"
#include "sim/planar/point_travel.h"

namespace leverwright::action {

namespace {

// The key's angle when the playing point follows a history of dip.
class KeyAngleHistory : public run::History {
 public:
  KeyAngleHistory(const Action& action, double travel_rest, std::shared_ptr<const run::History> dip)
      : action_(action), travel_rest_(travel_rest), dip_(std::move(dip)) {}

  run::Instant at(double t) const override {
    const run::Instant dip = dip_->at(t);
    const Vec2& r = action_.playing_point.r;
    const double theta = planar::angle_for_travel(r, travel_rest_ + dip.value);
    const double slope = planar::point_travel_slope(r, theta), rate = dip.rate / slope;
    return {theta, rate, (dip.second - planar::point_travel_curvature(r, theta) * rate * rate) / slope};
  }
  void add_breakpoints(std::vector<double>& times) const override { dip_->add_breakpoints(times); }

 private:
  const Action& action_;
  double travel_rest_;
  std::shared_ptr<const run::History> dip_;
};

// The playing point's travel, which counts from the key as drawn.
class TravelHistory : public run::History {
 public:
  TravelHistory(double travel_rest, std::shared_ptr<const run::History> dip)
      : travel_rest_(travel_rest), dip_(std::move(dip)) {}
  run::Instant at(double t) const override {
    run::Instant i = dip_->at(t);
    i.value += travel_rest_;
    return i;
  }
  void add_breakpoints(std::vector<double>& times) const override { dip_->add_breakpoints(times); }

 private:
  double travel_rest_;
  std::shared_ptr<const run::History> dip_;
};

}  // namespace

run::Drive pressed_drive(const Action& action, const PressedTouch& p) {
  run::Drive drive;
  drive.press(kKey, action.playing_point.r, Vec2(0, -1),
              std::make_shared<run::RampHistory>(
                  run::RampShape::kHalfCosine,
                  std::vector<double>{p.start, p.start + p.rise, p.release_at, p.release_at + p.fall},
                  std::vector<double>{0, p.plateau, p.plateau, 0}));
  return drive;
}

run::Drive key_motion_drive(const Action& action, const Rest& rest, std::shared_ptr<const run::History> dip) {
  run::Drive drive;
  if (action.lift_body >= 0) {
    drive.lead(kKey, action.lift_body, action.playing_point.r,
               std::make_shared<TravelHistory>(rest.travel, std::move(dip)));
    return drive;
  }
  drive.move(kKey, std::make_shared<KeyAngleHistory>(action, rest.travel, std::move(dip)));
  return drive;
}

run::Drive key_motion_drive(const Action& action, const Rest& rest, const KeyMotion& m) {
  return key_motion_drive(
      action, rest,
      std::make_shared<run::RampHistory>(
          run::RampShape::kQuintic,
          std::vector<double>{m.start, m.start + m.down_time, m.release_at, m.release_at + m.up_time},
          std::vector<double>{0, m.dip, m.dip, 0}));
}

run::Drive finger_drive(const Action& action, std::shared_ptr<const run::History> force) {
  run::Drive drive;
  if (!force) return drive;
  struct Borne : run::History {
    std::shared_ptr<const run::History> force;
    double weight = 0;
    run::Instant at(double t) const override {
      run::Instant i = force->at(t);
      i.value -= weight;
      return i;
    }
    void add_breakpoints(std::vector<double>& times) const override { force->add_breakpoints(times); }
  };
  auto borne = std::make_shared<Borne>();
  borne->force = std::move(force);
  borne->weight = action.mechanism.tree.body(action.finger_body).mass * base::kGravity;
  drive.press(action.finger_body, Vec2::Zero(), Vec2(0, -1), borne);
  return drive;
}

FoundTouch find_pressed_touch(const Action& action, const Rest& rest, double hammer_speed, PressedTouch touch,
                              const PlayOptions& options) {
  constexpr double kLeast = 0.2, kMost = 200;  // N
  PlayOptions quick = options;
  quick.stop_at_string = true;
  quick.stroke.output_interval = 0;
  quick.progress = nullptr;
  quick.duration = quick.release_at = touch.release_at;
  std::string stopped;  // why a trial ended early
  const auto speed_of = [&](double force) {
    PressedTouch trial = touch;
    trial.plateau = force;
    const StrokeResult r = play(action, rest, pressed_drive(action, trial), quick);
    if (!r.stopped.empty()) stopped = r.stopped;
    return r.happened(kStringContact) ? r.measures.hammer_speed : 0.0;
  };
  const SolvedTouch solved =
      solve_touch(speed_of, touch.plateau, kLeast, kMost, hammer_speed, options.progress);
  FoundTouch out;
  out.touch = touch;
  out.touch.plateau = solved.parameter;
  out.found = solved.found;
  out.hammer_speed = solved.speed;
  out.strokes = solved.strokes;
  if (!out.found)
    out.advice =
        !stopped.empty() ? stopped
        : out.hammer_speed == 0
            ? "the hammer does not reach the string however the key is pressed: regulate first"
            : "no pressed touch gives this hammer speed: ask for another, or for a shorter rise of the force";
  return out;
}

}  // namespace leverwright::action
