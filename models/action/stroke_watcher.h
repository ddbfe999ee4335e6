// Records one stroke: its series, the times of its events, its peaks. Used by play.
#pragma once
#include <vector>

#include "models/action/play.h"
#include "models/action/squeeze.h"

namespace leverwright::action {

class StrokeWatcher : public run::Recorder {
 public:
  StrokeWatcher(const Action& action, const Rest& rest, const run::Drive& drive, const PlayOptions& options);

  // The event functions of this stroke; the watcher must outlive the stroke.
  void watch(run::Stroke& stroke);

  void on_start(const planar::Mechanism& model) override;
  void on_sample(double t, const double* x, const planar::Scratch& s) override;
  void on_event(const run::Event& event, const double* x, const planar::Scratch& s) override;
  void on_step(double t, const double* x, const planar::Scratch& s) override;

  // What play makes its measures and faults from.
  std::array<double, kStrokeEventCount> time;
  StrokeSeries series;
  std::vector<double> peak_normal;
  double hammer_speed, rebound_speed, knuckle_left, peak_key_speed = 0, peak_force = 0;
  bool cheating = false, on_string_at_release = false, caught_at_release = false;
  StrokeFacts facts;

 private:
  // Contacts whose blows are kept step by step, for how long after each closing, and room for them.
  static constexpr std::array<ContactId, 6> kBlows = {kJackKnuckle,  kHammerString,  kLeverDropScrew,
                                                      kTenderButton, kJackOuterStop, kLeverOuterStop};
  static constexpr double kBlowLasts = 5e-3;  // [s]
  static constexpr std::size_t kRoomForBlows = 4000;
  void sample_short_contacts(double t, const double* x, const planar::Scratch& s);
  std::array<bool, kBlows.size()> blow_closed_{};
  std::array<double, kBlows.size()> blow_since_{};
  double finger_force(double t, const planar::Scratch& s) const;
  double dip(const planar::Scratch& s) const { return travel_at_key(s) - travel_rest_; }
  double travel_at_key(const planar::Scratch& s) const;
  double jack_force(const planar::Scratch& s) const;
  double sliding_on_check(const double* x,
                          const planar::Scratch& s) const;  // speed, without the leather's shear
  bool bears(int place) const { return bears_[static_cast<std::size_t>(place)]; }
  void note_contact(int place, bool closes, double t, const planar::Scratch& s);
  void note_release(const double* x, const planar::Scratch& s);

  const Action& action_;
  const run::Drive& drive_;
  const PlayOptions& options_;
  SqueezeGuard guard_;
  double travel_rest_, gap_at_rest_;
  std::vector<int> place_of_group_;  // -1: none of the action's own places
  std::array<bool, kPlaceCount> bears_{};
  double peak_jack_force_ = 0;  // since the start
  bool released_ = false;
};

}  // namespace leverwright::action
