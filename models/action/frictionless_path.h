// Frictionless quasi-static path of one assembled action: what the parts' geometry alone does. It has no
// memory, so a dip can be reached by continuation from any other; solved states are kept, so neighbouring
// dips are cheap.
#pragma once
#include <optional>
#include <utility>
#include <vector>

#include "models/action/action.h"

namespace leverwright::action {

class FrictionlessPath {
 public:
  explicit FrictionlessPath(const Action& action);
  bool rest_found() const { return rest_found_; }
  const run::StaticState& rest() const { return rest_; }
  double travel_rest() const { return travel_rest_; }
  // State at a dip (m below rest). Empty when no equilibrium was found.
  std::optional<run::StaticState> at(double dip);
  std::optional<run::StaticSample> sample_at(double dip);
  // Compression at one contact of a state on this path; negative: gap.
  double depth_of(ContactId place, const run::StaticState& state);
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

// Let-off and drop on the frictionless path, to be shown beside what a slow finger finds (slow_path.h): first
// minimum of the crown-string distance after the tender has met the button, and the first maximum after it.
struct QuietLetOff {
  bool tender_met = false, found = false, drop_found = false;
  double dip_button = 0, dip_let_off = 0, dip_drop = 0;
  double let_off = 0, drop = 0;
};
QuietLetOff find_quiet_let_off(const Action& action, FrictionlessPath& path, double dip_limit);

}  // namespace leverwright::action
