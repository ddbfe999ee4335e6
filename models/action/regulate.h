// Regulation: the screws are solved from the specification on the frictionless quasi-static path.
//
// Definitions (numbers: the case's [regulation]; common practice, no source):
//   rest        frictionless equilibrium with no finger on the key
//   blow        crown to string at rest
//   clearance   jack top to knuckle at rest (set by the lever height)
//   jack        string-side face in line with the string-side edge of the knuckle core, at rest
//   let-off     first minimum of the crown-string distance after the tender has met the button
//   drop        from there to the first maximum after it
//   dip         travel at the playing point from rest until the front punching carries dip_force
//   aftertouch  dip less the travel at let-off
// The frictionless path has no memory, so a dip can be reached by continuation from any other.
//   capstan, lever stop, jack stop   3 x 3 Newton on the rest position
//   let-off button, drop screw       in turn, each bracketed and solved (TOMS 748); drop has a cliff
//   front punching                   from the dip, or from let-off plus aftertouch, or (dip and aftertouch
//   kept) the
//                                    capstan so that let-off comes at dip less aftertouch
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "models/action/action.h"

namespace leverwright::action {

// One requirement that no setting satisfies, in a person's words.
struct Failure {
  std::string requirement;      // "let-off"
  double wanted = 0, best = 0;  // m (or N m for the spring)
  std::string advice;
};

struct Regulated {
  bool ok = false;
  std::vector<Failure> failures;
  ScrewSettings screws{};
  // What results, m.
  double blow = 0, dip = 0, let_off = 0, drop = 0, aftertouch = 0, jack_clearance = 0, jack_offset = 0;
  double travel_rest = 0;  // travel coordinate of the key at rest
  double dip_button = 0;   // dip at which the tender meets the button
  double dip_let_off = 0, dip_drop = 0;
  run::StaticState rest;  // frictionless rest
  int evaluations = 0;
};

// Quasi-static frictionless path of one built action, remembered states make neighbouring dips cheap.
class QuietPath {
 public:
  explicit QuietPath(const Action& action);
  // The same action with another setting of let-off button and drop screw: takes over the states before
  // either is touched and, as far as they are in equilibrium still, those after.
  QuietPath(const Action& action, const QuietPath& donor);
  bool rest_found() const { return rest_found_; }
  const run::StaticState& rest() const { return rest_; }
  double travel_rest() const { return travel_rest_; }
  // State at a dip (m below rest). Empty when no equilibrium was found.
  std::optional<run::StaticState> at(double dip);
  std::optional<run::StaticSample> sample_at(double dip);
  // Compression at one contact of a state on this path; negative: gap.
  double depth_of(Place place, const run::StaticState& state);
  // Crown-string distance of every state gone through with after < dip <= up_to, in order.
  std::vector<std::pair<double, double>> known_gaps(double after, double up_to) const;
  double gap_rate(const run::StaticSample& s) const;  // d(crown-string distance)/d(dip)
  run::StaticSolver& solver() { return solver_; }

 private:
  const Action& action_;
  run::StaticSolver solver_;
  run::StaticState rest_;
  bool rest_found_ = false;
  double travel_rest_ = 0;
  std::vector<std::pair<double, run::StaticState>> known_;
  planar::Scratch scratch_;
};

// Finds let-off and drop on the path; false when the hammer does not let off within `dip_limit`.
struct LetOff {
  bool tender_met = false, found = false, drop_found = false;
  double dip_button = 0, dip_let_off = 0, dip_drop = 0;
  double let_off = 0, drop = 0;
};
LetOff find_let_off(const Action& action, QuietPath& path, double dip_limit);

// Regulates from `start` (any settings within reach). Back check and repetition spring stay as in `start`.
Regulated regulate(ActionDesign& design, const ScrewSettings& start, const std::string& policy);

// Height of the back-rail cloth at which the key, regulated, rests as measured (key angle zero); with the
// balance punching in the model its height as well (lift zero).
void level_key(ActionDesign& design, const ScrewSettings& screws);
// What level_key found, for the other set-ups of the same piano.
struct KeyLevel {
  double back_rail = 0, balance_punching = 0;  // [m]
};
inline KeyLevel level_of(const ActionDesign& d) { return {d.back_rail_offset, d.balance_punching_offset}; }
inline void put_level(const KeyLevel& level, ActionDesign& d) {
  d.back_rail_offset = level.back_rail;
  d.balance_punching_offset = level.balance_punching;
}

}  // namespace leverwright::action
