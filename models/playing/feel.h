// What the finger feels: reflected mass with its shares, the bump of let-off, the force that given key
// motions need, and where friction sits while the note is played, against the slow ledger.
//
//   reflected mass   m(y) = sum over bodies of m v_cm^2 + I_cm omega^2 for unit speed of the playing point,
//                    on the path without friction (models/action/weigh.h)
//   bump             of F_down: height above the force just before the tender meets the button; width: travel
//                    over which it exceeds half that height
//   key motion       playing point down by the dip in `down_time` along a quintic ramp; the force is the
//                    answer, held against F_down at the same dip. Without friction and play between the parts
//                    it would be F_down(y) + m(y) a + m'(y) v^2 / 2; what differs from that is the rest: the
//                    parts' own motion on cloth and springs, friction under other loads
//   played ledger    a touch pressed by a force (models/action/touch.h): energy lost at each place between
//                    1 mm of dip and the dip at which the tender meets the button, over that travel: a mean
//                    force [N], beside the mean of the slow ledger's down-going rows over the same travel
//   knuckle          its load, jack's and repetition lever's together: where it is off before let-off
#pragma once
#include <array>
#include <functional>
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::playing {

struct ReflectedMass {
  std::string where;                                // "near rest", "half stroke", "before let-off"
  double dip = 0;                                   // [m]
  std::array<double, action::kBodyCount> shares{};  // [kg]
  double sum() const;
};

struct KnuckleOff {
  double dip_from = 0, dip_to = 0;  // [m]
  double lasting = 0;               // [s]
};

struct KeyMotionForce {
  double down_time = 0;     // [s]
  double hammer_speed = 0;  // at the string [m/s]; 0: not reached
  // Until the front punching bears.
  std::vector<double> time, dip, force, slow;  // slow: F_down at that dip [s, m, N, N]
  double peak = 0, peak_dip = 0;               // of the force before let-off [N], [m]
  double early = 0, half = 0, late = 0;  // force at a quarter, half, three quarters of let-off's dip [N]
  double slow_early = 0, slow_half = 0, slow_late = 0;
  double mean = 0, slow_mean = 0;  // over the weighing window [N]
  double simple_rms = 0;           // of force less F_down + m a + m' v^2/2 over that window [N]
  std::vector<KnuckleOff> off;     // while the key goes down and the hammer has not met the string
};

struct LostWhilePlaying {
  std::string place;            // "repetition lever on knuckle: friction"
  double slow = 0, played = 0;  // mean force over the window [N]
};
struct PlayedFriction {
  std::string touch;
  double hammer_speed = 0;  // [m/s]
  bool found = false;
  std::vector<LostWhilePlaying> rows;  // the largest played first
  double slow_sum = 0, played_sum = 0;
  std::vector<KnuckleOff> off;          // before let-off
  double most_load = 0, slow_load = 0;  // of the knuckle: greatest before let-off; slow, at half stroke [N]
  double loaded_again = 0;              // after the string, until jack or lever bear again [s]; NaN: not
};

struct Feel {
  std::string set_up;
  std::vector<ReflectedMass> reflected;
  double bump_height = 0, bump_width = 0, bump_from = 0, bump_to = 0;  // [N], [m]
  double down_weight = 0, up_weight = 0, mean_down = 0, mean_up = 0;   // [N]
  std::vector<KeyMotionForce> motions;
  std::vector<PlayedFriction> played;
};

struct FeelOptions {
  std::vector<double> down_times = {0.25, 0.12, 0.07, 0.045, 0.03};  // [s]
  std::vector<std::string> touches = {"p", "mf", "f"};
  std::function<bool(double share_done)> progress;  // false: stop, find_feel then answers what it has
};

// A set-up as compare() left it; its weighing must be ok.
Feel find_feel(const case_file::CaseDescription& description, const study::SetUpResult& set_up,
               const FeelOptions& options = {});

// The force that one key motion needs.
KeyMotionForce find_key_motion_force(const study::SetUpResult& set_up, double down_time);

}  // namespace leverwright::playing
