// Let-off and drop as a slow finger finds them: one quasi-static path going down, with friction in every
// contact and centre and cloth on its loading branch, from frictionless rest with all memories zero.
//
//   let-off   first minimum of the crown-string distance after the tender has met the button
//   drop      from there to the first maximum of that distance on the settled path: where the hammer lies
//   when the key
//             is stopped as soon as it has come off the jack. (A fast key shows more: the hammer bounces.)
// The path is the slow limit of a key led down evenly (sim/run/statics.h). Up to where the tender meets the
// button or the lever its drop screw it is the same for all settings of the two, and is gone once: Trip keeps
// it. From there it is followed in short steps; where the jack slips out from under the knuckle the path has
// no next point near by, and the step is halved to kSnap before the fall is followed.
#pragma once
#include <optional>
#include <vector>

#include "models/action/action.h"
#include "sim/run/statics.h"

namespace leverwright::action {

struct TripReading {
  bool tender_met = false, drop_screw_met = false;
  bool blocked = false;  // the hammer came to the string before it let off
  bool found = false, drop_found = false;
  bool lost = false;  // no equilibrium further on, before let-off
  double dip_button = 0, dip_drop_screw = 0, dip_let_off = 0, dip_drop = 0;  // [m] of dip; 0: not met
  double let_off = 0, drop = 0;                                              // [m]
};

class Trip {
 public:
  // `rest`: frictionless rest of this design with these screws; button, drop screw and front punching are
  // taken out of the way. Copies what it needs.
  Trip(const ActionDesign& design, const ScrewSettings& screws, const run::StaticState& rest,
       double dip_limit);

  TripReading read(double button, double drop_screw);
  // Height of the button at which the tender would touch it, of the drop screw at which the lever would,
  // where the hammer on its way up is `gap` from the string; nothing when it does not come there within the
  // dip's limit.
  std::optional<double> button_touching_at(double gap);
  std::optional<double> drop_screw_touching_at(double gap);
  double travel_rest() const { return travel_rest_; }
  // The nearest setting of the back check, at or behind `wanted`, at which the hammer's tail passes it on its
  // way up.
  double passing_check(double wanted) const;
  double nearest() const;  // least crown-string distance of the way with both out of the way [m]
  int evaluations() const { return evaluations_; }

  static constexpr double kStride = 0.5e-3, kFine = 0.1e-3, kSnap = 2e-8;  // [m] of dip

 private:
  struct Point {
    double dip;
    run::StaticState state;
    double gap;
  };
  const Point* first_at_gap(double gap);
  std::optional<double> touching_at(double gap, ContactId place, Screw screw);

  ActionDesign design_;
  ScrewSettings screws_;
  double dip_limit_, travel_rest_ = 0;
  Action free_;
  std::vector<Point> way_;  // both out of the way
  int evaluations_ = 0;
};

}  // namespace leverwright::action
