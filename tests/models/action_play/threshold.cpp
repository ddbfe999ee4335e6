#include "tests/models/action_play/threshold.h"

#include <algorithm>
#include <cmath>

#include "models/action/crown.h"
#include "sim/run/start_state.h"

namespace leverwright::action {

namespace {

class WayWatcher : public run::Recorder {
 public:
  explicit WayWatcher(const Action& action) : action_(action) {}
  void on_start(const planar::Mechanism&) override {}
  void on_sample(double, const double*, const planar::Scratch&) override {}
  void on_event(const run::Event&, const double*, const planar::Scratch&) override {}
  void on_step(double t, const double* x, const planar::Scratch&) override {
    const double travel = travel_at(action_, x).travel;
    if (t < 1.0)
      at_1_s_ = travel;
    else
      moved_after_1_s = std::max(moved_after_1_s, std::abs(travel - at_1_s_));
  }
  double moved_after_1_s = 0;

 private:
  const Action& action_;
  double at_1_s_ = 0;
};

}  // namespace

LaidOutcome lay_weight(const Action& action, const run::StaticSample& held, double weight,
                       const LaidOptions& options) {
  run::Drive drive;
  drive.press(
      kKey, action.playing_point.r, Vec2(0, -1),
      std::make_shared<run::RampHistory>(run::RampShape::kQuintic, std::vector<double>{0, options.lay_time},
                                         std::vector<double>{held.force, weight}));
  run::StrokeOptions stroke_options = options.stroke;
  stroke_options.output_interval = 0;
  stroke_options.longest_step = options.longest_step;
  run::Stroke stroke(action.mechanism, drive, stroke_options);
  const double start = travel_at(action, held.state.q).travel;
  const double down = options.gone_down, up = options.gone_up;
  stroke.watch({"key gone",
                [&action, start, down, up](double, const double* x, const planar::Scratch&) {
                  const double moved = travel_at(action, x).travel - start;
                  return std::max(moved - down, -moved - up);
                },
                run::Crossing::kRising, true, true});
  WayWatcher watcher(action);
  stroke.start(0, run::start_state(action.mechanism, held.state), &watcher);
  const bool stayed = stroke.advance(options.watch_time);
  LaidOutcome out;
  out.moved = travel_at(action, stroke.state()).travel - start;
  out.moved_after_1_s = watcher.moved_after_1_s;
  out.time = stroke.t();
  out.statistics = stroke.statistics();
  if (!stayed) out.what = out.moved > 0 ? LaidWeight::kGoesDown : LaidWeight::kGoesUp;
  return out;
}

double find_threshold(const Action& action, const run::StaticSample& held, double stays, double goes,
                      double tolerance, const LaidOptions& options) {
  while (std::abs(goes - stays) > tolerance) {
    const double middle = 0.5 * (stays + goes);
    (lay_weight(action, held, middle, options).what == LaidWeight::kStays ? stays : goes) = middle;
  }
  return 0.5 * (stays + goes);
}

}  // namespace leverwright::action
