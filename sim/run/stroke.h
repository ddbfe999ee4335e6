// Integrates a mechanism's equations of motion through impacts, with located events.
//
// Method: the classical fourth-order Runge-Kutta step with a third-order companion, rk43.h, under
// Boost.Odeint's error control. Error control: max |error_i| / scale_i <= 1 over the mechanical part of the
// state, scales below times `tolerance`. The audit integrals ride along without a say. Steps end where the
// drive is not smooth and where a contact group that bore nothing closes faster than kSlowClosing: the time
// is located on the dense depth (TOMS 748), the step is done again to end there, and the integration starts
// afresh. Bristles of an open contact are straightened: their energy has vanished with the normal force, and
// u -> 0 is the law's own limit as N rises from zero. A contact seen closed inside a step but open at its end
// makes the step be done again at half its size, so no touch is missed by luck. Closings of one group that
// follow within kTinyBounce are integrated through: the law is smooth there and the error control carries it,
// and an endless series of smaller bounces ends. Event functions of the caller are located on the dense
// output and change nothing, nor does the output interval. A step that shrinks below the least step, a NaN,
// or a coordinate beyond its limit: base::Unstable with the culprit; what was recorded stays with the
// recorder. No heap allocation between start and end of `advance` apart from what the recorder and the
// callers do.
#pragma once
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "sim/run/drive.h"
#include "sim/run/energy.h"
#include "sim/run/recorder.h"

namespace leverwright::run {

// Where everything is nearly at rest the step settles where the fastest hardly damped motion (the repetition
// lever on knuckle leather, some 1.3 kHz) neither grows nor dies, near 3e-4 s. Its tremble is of no account
// in a stroke; a key that must be seen to stick for a minute wants a shorter longest step (see
// action::LaidOptions).
struct StrokeOptions {
  double tolerance = 1.0;         // factor on all scales
  double longest_step = 4e-4;     // [s]; see above
  double least_step = 1e-13;      // [s]
  double output_interval = 5e-4;  // [s]; 0: no samples
  double coordinate_limit = 1.5;  // largest |q| of a revolute coordinate [rad]
};

// What one step may get wrong at tolerance 1. Speeds and positions of a body count by its inertia I about its
// joint:
//   speed sqrt(2 energy / I),   position that speed times `time`
// (a hammer of 1.5e-4 kg m2: 6e-4 rad/s and 6e-8 rad). Memories count by the force they would misstate, see
// step_control.h. The figures follow from the convergence study in tests/models/action_play: hammer speed
// within 0.05 % of a hundred times finer, energy audit below 1e-4 of the work put in.
struct ErrorScales {
  double energy = 3e-11;   // [J]
  double time = 1e-4;      // [s]
  double force = 7e-3;     // of cloth and friction memories [N]
  double torque = 7e-6;    // of a pivot's [N m]
  double reaction = 0.35;  // lagged joint forces [N]
};

enum class Crossing { kRising, kFalling, kEither };

struct EventFunction {
  std::string name;
  // A crossing is a change between negative and not negative.
  std::function<double(double t, const double* x, const planar::Scratch& s)> value;
  Crossing crossing = Crossing::kEither;
  bool once = true;
  bool ends_run = false;
};

struct StrokeStatistics {
  long steps = 0, rejected = 0, rhs_calls = 0, look_calls = 0, restarts = 0, events = 0;
  double smallest_step = 1;  // [s]
};

class Stroke {
 public:
  // The model must outlive the stroke; the drive is copied (its histories are shared).
  Stroke(const planar::Mechanism& model, const Drive& drive, const StrokeOptions& options = {},
         const ErrorScales& scales = {});
  ~Stroke();
  Stroke(const Stroke&) = delete;
  Stroke& operator=(const Stroke&) = delete;

  void watch(EventFunction event);  // before start
  void start(double t, const std::vector<double>& x, Recorder* recorder = nullptr);
  // Integrates to t_end; false when an event that ends the run came first. May be called again to go on.
  bool advance(double t_end);

  double t() const;
  const std::vector<double>& state() const;
  const planar::Scratch& scratch() const;  // forces at t()
  const StrokeStatistics& statistics() const;
  EnergyAudit audit() const;  // since start
  std::string last_event() const;

  static constexpr double kSlowClosing = 1e-4;   // [m/s]
  static constexpr double kTinyBounce = 2e-5;    // [s]
  static constexpr double kAfterRestart = 5e-5;  // longest first step [s]

 private:
  class Engine;
  std::unique_ptr<Engine> engine_;
};

}  // namespace leverwright::run
