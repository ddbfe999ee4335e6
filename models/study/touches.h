// Touches played on one regulated set-up: pressed so that the hammer meets the string at a stated speed
// (the case's [touches]), held, released. See models/action/touch.h for the finger's force.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/action/finger_touch.h"
#include "models/action/touch.h"

namespace leverwright::study {

struct PlayedTouch {
  std::string name;         // "mf"
  double wanted_speed = 0;  // of the hammer at the string, m/s
  action::FoundTouch found;
  action::StrokeResult stroke;
  // "pressed" (a bare force), "struck" or "finger" (finger_touch.h), "weight", "force record", "dip record".
  std::string kind = "pressed";
  action::FingerTouch finger;          // of "struck" and "finger"
  std::vector<std::string> explained;  // the faults, a paragraph for each cause
  std::vector<std::string> notes;      // what a reader of this touch should know
};

// "pp", "p", "mf", "f", "ff", soft to loud: those a case gives a hammer speed for.
const std::vector<std::string>& known_touches();

// Plays these touches one after the other; the force found for one is where the search for the next begins.
// `progress` is told which touch is at work and the share of all that is done.
std::vector<PlayedTouch> play_touches(
    const case_file::CaseDescription& description, const action::Action& action, const action::Rest& rest,
    const std::vector<std::string>& names,
    const std::function<void(const std::string& touch, double share)>& progress = {});

// From string contact until the hammer stays within kHeldWithin of where it is when the key is released; NaN
// when it is not caught. The event "check" comes later: it waits for the end of the tail's sliding on the
// check [s].
inline constexpr double kHeldWithin = 0.5e-3;  // [m]
double find_held_time(const PlayedTouch& touch);

// A touch at any hammer speed, for what the case names no touch for.
PlayedTouch play_at_speed(const std::string& name, double hammer_speed, const action::Action& action,
                          const action::Rest& rest);

}  // namespace leverwright::study
