// After the work: does what was measured agree with what was predicted, and if not, what is the likeliest
// cause.
//
// y readings, f what the model says, C = diag(s^2) + G G^T with one column of G for each uncertain input (and
// note, where notes have it separately, regulation to usual accuracy among them). Rows of a set-up measured
// before the work condition the prediction of those after it: errors both share cancel,
//
//   f_a|b = f_a + C_ab C_bb^-1 (y_b - f_b),   C_a|b = C_aa - C_ab C_bb^-1 C_ba   (reading errors of a apart)
//
// A reading agrees when |y - f| <= 1.96 sqrt(predicted^2 + measured^2); all together when r^T C^-1 r is
// inside the 95 % of chi squared.
//
// Cause. Each hypothesis says: one thing is off by far more than was allowed for, by kGross of its standard
// deviations in the usual way (normal, mean 0), acting along its column h: the same on all notes, or on each
// note by itself (scattered). Readings then are N(f, C + kGross^2 H H^T), and how well that explains r is its
// density there; "nothing is off" is N(f, C). Plausibilities are these densities, each hypothesis given the
// same weight beforehand, made to add up to 1 (the marginal likelihood of each model: H. Jeffreys, Theory of
// probability, ch. 5): a cause that could explain anything is thereby trusted less than one that explains
// just this. Two whose densities differ by less than a factor kTie cannot be told apart.
#pragma once
#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

#include "models/calibrate/calibrate.h"

namespace leverwright::calibrate {

inline constexpr double kGross = 6, kTie = 3;

struct Cause {
  std::string words;
  double plausibility = 0;
  double shift = 0, sigma = 0;  // the likeliest amount, in `unit`; NaN for a scatter
  std::string unit;
  bool tied = false;  // with the first
};

struct Checked {
  std::size_t row = 0;
  Reading reading;
  double predicted = 0, sigma = 0;  // of the prediction, SI
  bool agrees = true;
};

struct Afterwards {
  std::vector<NoteRow> rows;
  std::vector<Checked> checked;  // readings after the work
  Eigen::MatrixXd covariance;    // of their predictions, without the readings' own errors, in this order
  bool used_before = false;
  double chi_squared = 0, chance = 1;  // chance of a worse one when all is as said
  bool agrees = true;
  std::vector<Cause> causes;  // likeliest first; empty when all agrees
  bool stopped = false;
};

// `first_after`: rows of this set-up and later ones in the case are after the work; the base's are before.
Afterwards check_afterwards(const case_file::CaseDescription& description, std::vector<NoteRow> rows,
                            const std::function<bool(const Doing&)>& progress = {});

// The arithmetic alone. A hypothesis holds one column for the whole (common) or one for each note
// (scattered).
struct Hypothesis {
  std::string words, unit;
  double unit_per_sigma = 1;  // amount of one standard deviation in `unit`
  Eigen::MatrixXd h;          // readings x columns
};
// `c`: covariance of the readings, `r` measured less predicted.
std::vector<Cause> rank_causes(const Eigen::MatrixXd& c, const Eigen::VectorXd& r,
                               const std::vector<Hypothesis>& hypotheses);

}  // namespace leverwright::calibrate
