// As found comes first: the readings of the action as it was found, held against what the model computes for
// the same screws, and the doubt about frictions and constants narrowed by them, before any study begins.
//
//   as found   the base with its screws solved to the readings of dip, blow, let-off and drop; a reading that is
//              missing takes the specification and is named. With dip and blow both read the aftertouch
//              results and a reading of it is leaned on.
//   base       the same action at specification
//
// Inputs. Every uncertain value of the case in its own standard deviations, x ~ N(0, I) (an estimate with a
// range as a normal of the same standard deviation); G the change of the computed readings per standard
// deviation of each, by differences; s the readings' errors, R what the errors of the screws' readings do to
// them. With L L^T = diag(s^2) + R R^T, A = L^-1 G and r = L^-1 (read - computed),
//
//   x = A^T (A A^T + I)^-1 r,     covariance I - V (I - L^2) V^T,     A = U S V^T,  L_k = 1 / sqrt(1 + S_k^2)
//
// the posterior of a linear model with a unit prior; the prior regularises it however few readings there are.
// The computed readings bend with large x, so r is taken again at the last x with the same G (kRounds), and where they
// bend by more than kBends of a reading's error once more with G found there. Values with
// which the model jams are none that a played action has: the one that would have to move farthest then stays where
// it is, with its doubt, and the others give way. All
// values give way in proportion to their doubt: two weights tell how much rubs, hardly where, and a strike
// weight read to 0.1 gf stays where it is. The case handed on holds the moved values, and in `told` V and L,
// from which study/inputs makes independent inputs; so a study that knows nothing of readings keeps them.
//
// What the model leaves out of the key's balance (its punching, a lead elsewhere) is an unknown beside the case's own,
// key.left_out, where a weight is read: without it a scale would be held less true than the model.
//
// Leaned on: down and up weight; aftertouch beside dip and blow; key friction with the stack off; a swing count of hammer or wippen, as the torque
// that gives it; a lever, jack or capstan drawn along its surface under a known weight. Each with its own error.
//
// Prediction of a base or set-up: measured + (computed there - computed as found), both conditioned.
//
// Travel ratio, the first sum of the trade: (blow - let-off) / (dip - aftertouch), read against the
// geometry's.
#pragma once
#include <Eigen/Core>
#include <cmath>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "models/study/inputs.h"

namespace leverwright::calibrate {

inline constexpr int kRounds = 3;
inline constexpr double kBends = 0.5;  // of a reading's error: G is found again where the readings led
inline constexpr int kHeldBack =
    4;  // values in a row that may stay where they are, where the model would jam
inline constexpr double kAgrees = 1.96;    // standard deviations: beyond it a reading and the model disagree
inline constexpr double kDisbelieved = 5;  // beyond it nothing is conditioned on this reading

struct FoundRow {
  std::string name;  // "down weight"
  std::string unit;  // "gf"
  int decimals = 1;
  double factor = 1;               // shown = SI * factor
  double measured = 0, sigma = 0;  // SI; sigma of the reading
  bool set_to = false;             // a screw was solved to it: computed is measured
  double computed = 0, doubt = 0;  // as found, before conditioning; one standard deviation of it
  double conditioned = 0;          // as found, afterwards
  double base = 0;                 // predicted at specification: measured + computed change; NaN: not there
  double table = NAN;     // the conditioned base at specification, as every table has it; NaN: not there
  double off_by() const;  // (measured - computed) / hypot(sigma, doubt)
};

struct AsFound {
  bool any = false;          // the case holds a reading
  bool conditioned = false;  // its weights were leaned on
  std::vector<FoundRow> rows;
  std::vector<std::string> missing;  // screws that took the specification: "drop"
  double ratio_read = 0, ratio_sigma = 0, ratio_geometry = 0, ratio_doubt = 0;  // 0: not all four were read
  std::vector<std::string> moved;  // "lever knuckle: friction 0.11 to 0.17", largest first
  std::vector<std::string> kept;   // doubts of which the readings tell little, in words
  std::vector<std::string> warnings;
  std::string leans_on;  // one sentence
  // Everything above in sentences, for every output.
  std::vector<std::string> sentences() const;
};

struct ConditionOptions {
  bool prior_only = false;  // compare readings and model, but leave every value as the case has it
  int threads = 0;          // 0: as many as the machine has
};

// Whether the case has a reading of the action as found at all; without one condition_case leaves it as it is.
bool has_readings(const case_file::CaseDescription& description);

struct Conditioned {
  case_file::CaseDescription description;  // notes hold the sentences
  AsFound as_found;
};
// Never throws for what the readings say; a base that cannot be solved to them is a warning. Same bits for
// any number of threads.
Conditioned condition_case(const case_file::CaseDescription& description,
                           const ConditionOptions& options = {});

// The arithmetic alone. `g` readings x inputs, `c` the readings' covariance, `r` read less computed at 0.
struct LinearPosterior {
  Eigen::VectorXd x;     // means
  Eigen::MatrixXd v;     // inputs x directions told, orthonormal
  Eigen::VectorXd left;  // standard deviation left along each
};
LinearPosterior find_posterior(const Eigen::MatrixXd& g, const Eigen::MatrixXd& c, const Eigen::VectorXd& r);

// The case with every input at x, in its own standard deviations; `x` comes back as far as it could be gone:
// what is positive stays above a twentieth of itself. Its range moves along with a value.
case_file::CaseDescription moved_to(const case_file::CaseDescription& description,
                                    const std::vector<study::Input>& inputs, Eigen::VectorXd& x);

}  // namespace leverwright::calibrate
