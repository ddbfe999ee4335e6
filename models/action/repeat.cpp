#include "models/action/repeat.h"

#include <algorithm>
#include <cmath>

#include "models/action/crown.h"
#include "models/action/squeeze.h"
#include "sim/base/error.h"

namespace leverwright::action {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

class TrainWatcher : public run::Recorder {
 public:
  TrainWatcher(const WithFinger& with, const FingerWay& way, Train& train, bool curves)
      : action_(with.action),
        guard_(with.action),
        rest_(with.rest.travel),
        train_(train),
        curves_(curves),
        string_group_(action_.mechanism.group_of(action_.contact[kHammerString])) {
    train.strokes.resize(way.start.size());
    for (std::size_t k = 0; k < way.start.size(); ++k) {
      train.strokes[k].start = way.start[k];
      train.strokes[k].key_height = k == 0 ? 0 : 1;
    }
    train.jack_reset_after = train.jack_reset_dip = kNone;
  }

  void on_start(const planar::Mechanism&) override {}
  void on_sample(double t, const double*, const planar::Scratch& s) override {
    if (!curves_) return;
    train_.time.push_back(t);
    train_.key_dip.push_back(dip(s));
    train_.finger_dip.push_back(s.q[action_.finger_body] - rest_);
    train_.string_gap.push_back(action_.string_gap(s.q));
  }
  void on_event(const run::Event& event, const double*, const planar::Scratch& s) override {
    if (event.kind != run::EventKind::kCloses || event.index != string_group_) return;
    advance(event.t, s);
    if (now_ == 0) return;
    RepeatedStroke& stroke = train_.strokes[now_ - 1];
    ++stroke.meetings;
    stroke.hammer_speed = std::max(stroke.hammer_speed, crown_speed(action_, s.q, s.v));
  }
  void on_step(double t, const double*, const planar::Scratch& s) override {
    guard_.hold(t, s);
    advance(t, s);
    const double d = dip(s);
    if (now_ > 0 && now_ < train_.strokes.size()) {  // the way up before the next one
      if (s.v[action_.finger_body] < 0) up_ = true;
      if (up_) train_.strokes[now_].key_height = std::min(train_.strokes[now_].key_height, d);
    }
    if (now_ == 1 && up_ && std::isnan(train_.jack_reset_after)) {
      if (up_since_ < 0) up_since_ = t;
      if (jack_set(s)) {
        train_.jack_reset_after = t - up_since_;
        train_.jack_reset_dip = d;
      }
    }
  }

 private:
  double dip(const planar::Scratch& s) const { return travel_at(action_, s.q).travel - rest_; }
  bool jack_set(const planar::Scratch& s) const {
    return s.contact_points[static_cast<std::size_t>(action_.contact[kJackStopFelt])].depth > 0 &&
           std::abs(knuckle_in_jack(action_, s).x()) < action_.design.jack_half_width;
  }
  void advance(double t, const planar::Scratch& s) {
    while (now_ < train_.strokes.size() && t >= train_.strokes[now_].start) {
      train_.strokes[now_].jack_was_set = jack_set(s);
      up_ = false;
      ++now_;
    }
  }

  const Action& action_;
  SqueezeGuard guard_;
  double rest_;
  Train& train_;
  bool curves_, up_ = false;
  int string_group_;
  std::size_t now_ = 0;  // strokes begun
  double up_since_ = -1;
};

}  // namespace

Train play_train(const WithFinger& with, const FingerMotion& motion, double output_interval) {
  Train train;
  const FingerWay way = find_finger_way(motion);
  const run::Drive drive = finger_motion_drive(with.action, with.rest, way.height);
  TrainWatcher watcher(with, way, train, output_interval > 0);
  run::StrokeOptions options;
  options.output_interval = output_interval;
  run::Stroke stroke(with.action.mechanism, drive, options);
  try {
    stroke.start(0, with.rest.state, &watcher);
    stroke.advance(way.end);
  } catch (const base::Unstable& problem) {
    train.stopped = problem.what();
  }
  train.statistics = stroke.statistics();
  return train;
}

}  // namespace leverwright::action
