// After the work: does what was measured agree with what was predicted, and if not, what is the likeliest
// cause.
//
// y readings, f what the model says, C = diag(s^2) + G G^T with one column of G for each uncertain input (and
// note, where notes have it separately, regulation to usual accuracy among them). Rows of a set-up measured
// before the work condition the prediction of those after it: errors both share cancel,
//
//   f_a|b = f_a + C_ab C_bb^-1 (y_b - f_b),   C_a|b = C_aa - C_ab C_bb^-1 C_ba   (reading errors of a apart)
//
// The model does not see all of a note, alike before and after the work. So a note that was weighed before shares, over
// all its readings, an unknown in balance weight (left_out.h), of kUnseenFriction in friction and kUnseenAftertouch in
// aftertouch; the readings before the work pin it, and what is predicted is what was measured plus the computed
// change. (Estimates: what options.balance_punching does to friction and aftertouch, models/handbook/options.md.)
//
// A reading agrees when |y - f| <= 1.96 sqrt(predicted^2 + measured^2); all together when r^T C^-1 r is
// inside the 95 % of chi squared.
//
// Causes: causes.h. Each note is looked at by itself first, then all together.
#pragma once
#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

#include "models/calibrate/calibrate.h"
#include "models/calibrate/causes.h"

namespace leverwright::calibrate {

inline constexpr double kUnseenFriction = 1 * 9.80665e-3;  // N
inline constexpr double kUnseenAftertouch = 0.3e-3;        // m

struct Checked {
  std::size_t row = 0;
  Reading reading;
  double predicted = 0, sigma = 0;  // of the prediction, SI
  bool agrees = true;
};

// What one note's own readings say: its friction and balance weight against the prediction, N.
struct NoteFinding {
  std::string note;
  double friction = 0, friction_sigma = 0, balance = 0, balance_sigma = 0;  // NaN when not weighed
  std::vector<Cause> causes;                                                // of this note alone
};

struct Afterwards {
  std::vector<NoteRow> rows;
  std::vector<Checked> checked;  // readings after the work
  Eigen::MatrixXd covariance;    // of their predictions, without the readings' own errors, in this order
  bool used_before = false;
  double chi_squared = 0, chance = 1;  // chance of a worse one when all is as said
  bool agrees = true;
  std::vector<NoteFinding> notes;
  std::vector<Cause> causes;  // likeliest first; empty when none can be named
  bool stopped = false;
};

// Rows of the base are before the work, those of other set-ups after it.
Afterwards check_afterwards(const case_file::CaseDescription& description, std::vector<NoteRow> rows,
                            const std::function<bool(const Doing&)>& progress = {});

// The same in two steps: what the model says of such rows, once, and the judgement of readings that may
// differ.
struct AfterModel {
  std::vector<NoteRow> rows;
  std::vector<Datum> data;
  Eigen::VectorXd predicted;   // as fitted
  Eigen::MatrixXd covariance;  // of the predictions
  std::vector<Column> columns;
  Directions directions;
};
AfterModel prepare_afterwards(const case_file::CaseDescription& description, std::vector<NoteRow> rows,
                              const std::function<bool(const Doing&)>& progress = {});
Afterwards judge_afterwards(const AfterModel& model, const std::vector<Datum>& data);

}  // namespace leverwright::calibrate
