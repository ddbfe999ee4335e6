// One keystroke of a regulated action: from rest, press, hold, release; what happens when, and how it is
// called.
//
// Events (times in s, NaN when they did not happen):
//   key start     the playing point has gone down 0.05 mm
//   tender        the jack's tender meets the let-off button
//   drop screw    the repetition lever meets it
//   jack trips    after the tender met: the jack's force on the knuckle has fallen below 5 % of its peak, or
//                 the hammer stops rising, whichever comes first. (Let-off is what a slow finger reads,
//                 regulate.h.)
//   jack clear    the middle of the knuckle has passed the jack's string-side face
//   string        first felt contact; string left: first parting after it
//   key bottom    the front punching first carries 0.5 N
//   check         last time before the release that the tail's sliding speed on the check passes
//                 below 5 mm/s; a held tail that only shears the leather to and fro does not slide. A hammer
//                 held lower than it rests is not caught.
//   jack reset    after the release: the jack is on its stop with the knuckle above it
//   key back      after the release: the playing point is within 0.1 mm of rest again
#pragma once
#include <array>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "models/action/action.h"
#include "sim/run/stroke.h"

namespace leverwright::action {

// Rest from which a stroke starts: frictionless equilibrium, every memory half way (see
// run::neutral_start_state).
struct Rest {
  std::vector<double> state;
  double travel = 0;  // travel coordinate of the key at rest [m]
};
// q: coordinates at rest as regulation found them (key to hammer); a finger starts its start height above the
// key at rest.
Rest build_rest(const Action& action, const planar::VecQ& q);

enum StrokeEvent {
  kKeyStart,
  kTenderMeetsButton,
  kLeverMeetsDropScrew,
  kJackTrips,
  kJackClear,
  kStringContact,
  kStringLeft,
  kKeyBottom,
  kCheck,
  kJackReset,
  kKeyBack,
  kStrokeEventCount
};
extern const std::array<const char*, kStrokeEventCount> kStrokeEventNames;  // for people

enum class Fault {
  kNoLetOff,       // the jack never came clear of the knuckle
  kNoString,       // the hammer never reached the string
  kDoubleHit,      // it reached it again before the release
  kFailedCheck,    // not held by the check when the key is released
  kBobbling,       // after the blow, uncaught, it came up to the string again by more than half its fall
  kBlockedHammer,  // held against the string
  kCheatingJack,   // the jack slipped out before the tender met the button, or was out from the start
  kNoReset,        // the jack had not come back under the knuckle by the end
  kNoBottom,       // the key was let go before it had come to its bottom
};
inline constexpr int kFaultCount = static_cast<int>(Fault::kNoBottom) + 1;
const char* name_of(Fault fault);

struct StrokeMeasures {  // NaN where an event they need did not happen
  double hammer_speed =
      std::numeric_limits<double>::quiet_NaN();   // of the crown, normal to the string, at contact [m/s]
  double travel_time = hammer_speed;              // key start to string [s]
  double key_bottom_after_string = hammer_speed;  // [s]
  double free_flight = hammer_speed;              // jack and lever both off the knuckle, to the string [s]
  double string_time = hammer_speed;              // first contact to first parting [s]
  double key_descent_time = hammer_speed;         // key start to key bottom [s]
  double peak_key_speed = 0;                      // at the playing point, before key bottom [m/s]
  double peak_force = 0;                          // of the finger, downwards [N]
  double rebound_speed = hammer_speed;            // of the crown, away from the string, on parting [m/s]
  double check_distance = hammer_speed;           // crown to string when the key is released, if caught [m]
  double check_time = hammer_speed;               // string to check [s]
  double jack_reset_time = hammer_speed;          // release to jack reset [s]
};

// What explains a fault (fault_report.h). NaN where it did not happen.
struct StrokeFacts {
  int string_contacts = 0;             // before the release
  double second_contact = kNever;      // [s]
  double dip_at_second = kNever;       // of the key then [m]
  double farthest_after = 0;           // crown to string, largest between the blow and the release [m]
  double nearest_after_turn = kNever;  // and the least after that [m]
  double released_at = kNever;         // [s]
  double gap_at_release = kNever;      // crown to string [m]
  double dip_at_release = kNever;      // [m]
  double check_force_before = 0;       // of the check on the tail, before the string [N]
  double check_force = 0;              // greatest between the blow and the release [N]
  double gap_at_tender = kNever;       // crown to string when the tender meets the button [m]
  double dip_at_tender = kNever;       // [m]
  double gap_at_jack_clear = kNever;   // [m]
  double dip_at_jack_clear = kNever;   // [m]
  double least_gap = kNever;           // over the whole stroke; negative: felt pressed [m]
  static constexpr double kNever = std::numeric_limits<double>::quiet_NaN();
};

// What was recorded, one entry per sample in every list.
struct StrokeSeries {
  std::vector<double> time;                          // [s]
  std::vector<std::vector<double>> position, speed;  // per body [rad, rad/s; slides m, m/s]
  struct ContactSeries {
    std::string name;
    // Sums over the strips of a patch; depth: the deepest; slip and place: weighed by normal force.
    std::vector<double> normal, friction, depth, slip;  // [N, N, m, m/s]
    // Where it bears and which way the normal force on the driven body points (Action::shown_sign), angle
    // from x; the friction on that body is along perp of it. Not a number where it is open or acts at no
    // place (an angular stop).
    std::vector<double> x, y, direction;  // W [m, m, rad]
  };
  std::vector<ContactSeries> places;  // per contact group
  struct Centre {
    std::string name;
    int body = 0;
    std::vector<double> torque;  // of friction on the body, anticlockwise [N m]
  };
  std::vector<Centre> centres;      // per pivot
  std::vector<double> string_rise;  // at the struck point, upwards; empty where it does not yield [m]
  std::vector<double> kinetic, gravity, springs, cloth, bristles, pivots, strings;  // stored energies [J]
  std::vector<std::string> loss_names;
  std::vector<std::vector<double>> losses;       // per audit row, since the start [J]
  std::vector<double> work;                      // put in since the start [J]
  std::vector<double> finger_force;              // downwards at the playing point [N]
  std::vector<double> dip, key_speed;            // of the playing point, downwards from rest [m, m/s]
  std::vector<double> string_gap, hammer_speed;  // of the crown; speed towards the string [m, m/s]
};

struct StrokeResult {
  std::array<double, kStrokeEventCount> event;  // [s]
  StrokeMeasures measures;
  StrokeFacts facts;
  std::vector<Fault> faults;
  std::vector<double> peak_normal;  // per contact group, over all steps [N]
  StrokeSeries series;
  run::EnergyAudit audit;
  run::StrokeStatistics statistics;
  std::vector<double> end_state;
  std::string stopped;  // why it ended early ("" when it did not)

  bool happened(StrokeEvent e) const { return event[e] == event[e]; }
  bool has(Fault fault) const;
};

struct PlayOptions {
  double duration = 0.7;        // [s]
  double release_at = 0.4;      // when the finger begins to go [s]
  bool stop_at_string = false;  // enough to know the hammer's speed
  run::StrokeOptions stroke;
  run::ErrorScales scales;
  std::function<void(double share_done)> progress;  // called now and then; may be empty
};

StrokeResult play(const Action& action, const Rest& rest, const run::Drive& drive,
                  const PlayOptions& options = {});

}  // namespace leverwright::action
