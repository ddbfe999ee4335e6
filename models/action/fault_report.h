// What went wrong in a stroke, why, and which regulation screw or part to look at, in trade words and with
// the numbers measured in that stroke and on the action as its screws stand.
//
// A fault has one of many causes; the order in which causes are tried is stated per fault in the .cpp. What
// counts against a screw is what a technician would measure (let-off with the drop screw out of the way,
// drop, dip against let-off, jack against knuckle core, clearance, rise out of the check, tail against
// check), each against the note's own specification. Below kNeedsNoCheck the rebound may be too small for the
// check to hold: then nothing is blamed (see models/handbook/touches.md).
#pragma once
#include <string>
#include <vector>

#include "models/action/play.h"
#include "models/action/regulate.h"

namespace leverwright::action {

inline constexpr double kNeedsNoCheck = 0.9;  // [m/s] of the hammer at the string

// The action as its screws stand, without a finger. NaN: not found.
struct RegulationReading {
  double blow, jack_offset, jack_clearance;  // at rest [m]
  double dip_bottom;                         // key meets the front punching [m]
  double dip_button;                         // tender meets the let-off button [m]
  double let_off, dip_let_off;               // with drop screw and front punching out of the way [m]
  double drop;                               // as it stands [m]
};
// `plain`: assembled without a finger. Empty when it has no rest.
std::optional<RegulationReading> read_regulation(const Action& plain);

struct FaultReport {
  Fault fault{};
  bool expected = false;          // to be expected of this touch: nothing to put right
  Screw screw = kScrewCount;      // to look at; kScrewCount: none
  std::string part;               // to look at: the screw's name, or a part, or "touch"
  std::string what, why, advice;  // sentences
};
// One for each fault of the stroke, in their order.
std::vector<FaultReport> explain_faults(const Action& plain, const StrokeResult& stroke);

// One paragraph for each cause: the faults it made, what happened, why, what to look at.
std::vector<std::string> write_faults(const std::vector<FaultReport>& reports);

}  // namespace leverwright::action
