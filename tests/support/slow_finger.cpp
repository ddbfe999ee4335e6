#include "tests/support/slow_finger.h"

#include <memory>

#include "models/action/play.h"
#include "models/action/touch.h"
#include "sim/run/start_state.h"
#include "sim/run/stroke.h"

namespace leverwright::support {

using action::Action;
using action::Regulated;

namespace {

class GapWatcher : public run::Recorder {
 public:
  GapWatcher(const Action& a, const Regulated& r) : a_(a), r_(r) {}
  void on_start(const planar::Mechanism&) override {}
  void on_sample(double, const double*, const planar::Scratch&) override {}
  void on_event(const run::Event&, const double*, const planar::Scratch&) override {}
  void on_step(double t, const double*, const planar::Scratch& s) override {
    time = t;
    gap = a_.string_gap(s.q);
    dip = s.q[action::kKey];
    if (s.contact_points[static_cast<std::size_t>(a_.contact[action::kTenderButton])].depth > 0) met_ = true;
    if (met_ && gap < least) {
      least = gap;
      time_of_least = t;
    }
    fallen = met_ && gap > least + kFallen;
  }
  double time = 0, gap = 1, dip = 0, least = 1, time_of_least = 0;
  bool fallen = false;

 private:
  const Action& a_;
  const Regulated& r_;
  bool met_ = false;
};

}  // namespace

SlowFinger play_slow_finger(const Action& a, const Regulated& r, double speed) {
  SlowFinger out;
  std::vector<double> x = run::neutral_start_state(a.mechanism, r.rest.q);
  for (std::size_t i = 0; i < a.mechanism.contacts.size(); ++i)
    x[static_cast<std::size_t>(a.mechanism.at_d0(static_cast<int>(i)))] = 0;
  const action::Rest rest{x, r.travel_rest};
  // Led down until the hammer has fallen, then held there.
  const double down = r.dip + 1e-3;
  const auto led = [&](double until) {
    const double stop = std::min(until, down / speed);
    return action::key_motion_drive(
        a, rest,
        std::make_shared<run::LinearHistory>(std::vector<double>{0.0, stop},
                                             std::vector<double>{0.0, stop * speed}));
  };
  run::StrokeOptions options;
  options.output_interval = 0;
  GapWatcher first(a, r);
  {
    const run::Drive drive = led(1e9);
    run::Stroke stroke(a.mechanism, drive, options);
    stroke.start(0, x, &first);
    while (!first.fallen && first.time < down / speed) stroke.advance(first.time + 2e-3);
  }
  if (!first.fallen) return out;
  out.let_off_found = true;
  out.let_off = first.least;
  out.dip_let_off = first.time_of_least * speed;
  const double stop = first.time;
  GapWatcher second(a, r);
  const run::Drive drive = led(stop);
  run::Stroke stroke(a.mechanism, drive, options);
  stroke.start(0, x, &second);
  stroke.advance(stop + kHold);
  out.drop = second.gap - out.let_off;
  return out;
}

}  // namespace leverwright::support
