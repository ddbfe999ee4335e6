// Rest of an action and the three screws that set it: capstan, lever stop (lever height), jack stop.
//
// Rest is the frictionless equilibrium with no finger on the key, as after a tap on it: with friction that
// sticks it would not be one position. Three requirements fix it:
//   blow         crown to string
//   clearance    jack top to knuckle (lever height)
//   in line      the jack's string-side face with the string-side edge of the knuckle's core
// The estimate follows the order of the parts, each step with one unknown (letters as in action.h):
//   hammer       theta_H from the blow
//   jack         theta_P and theta_J from clearance and line, two equations of geometry alone
//   lever        N of lever on knuckle from the hammer's moment, its compression from the cloth, theta_L from
//   that stops        what spring and gravity leave over on lever and jack is the stops' load; its
//   compression gives
//                both screws
//   capstan      N at the heel from the wippen's moment; capstan height and, unless the key is levelled,
//   theta_K
//                from the compressions at heel and back rail
// It is exact but for bodies beyond the five (a bent shank, a lifted key). From there Newton on the
// equilibrium itself, each rest searched from the last one, so the answer does not depend on where the screws
// stood. A repetition spring that leaves the lever's stop with less than kLeastOnStop cannot carry the
// hammer: it is raised first, as at the bench, and the amount said.
#pragma once
#include <optional>
#include <string>

#include "models/action/action.h"

namespace leverwright::action {

inline constexpr double kLeastOnStop =
    1e-3;  // [N m] with which the lever presses on its stop at rest; invented

// One requirement that no setting satisfies, in a person's words.
struct Failure {
  std::string requirement;      // "let-off"
  double wanted = 0, best = 0;  // m (or N m for the spring)
  std::string advice;
};

// Let-off button, drop screw, front punching and back check where nothing touches them at rest or on the way
// up.
ScrewSettings with_trip_away(ScrewSettings screws);
inline constexpr double kButtonAway = 12e-3, kDropScrewAway = 8e-3, kPunchingAway = -8e-3,
                        kCheckAway = -20e-3;  // [m]

struct RestPosition {
  bool found = false;
  Failure failure;           // when not found
  ScrewSettings screws{};    // capstan, lever stop, jack stop, spring as solved; the others as given
  run::StaticState state;    // rest
  double spring_raised = 0;  // by which the repetition spring had to be made stronger [N m]
  int evaluations = 0;
};

// Solves the three screws for this blow. With `level_key` the back-rail cloth (and the balance punching,
// where it is in the model) of `design` is set as well, so that the key rests as measured: angle and lift
// zero.
RestPosition solve_rest(ActionDesign& design, const ScrewSettings& screws, double blow, bool level_key);

// Rest with all screws as they stand; searched from the drawing with the capstan brought to the heel.
std::optional<run::StaticState> find_rest_as_set(const Action& action);

}  // namespace leverwright::action
