// Frictions and cloth constants from readings on sample notes, with covariance, and what the readings cannot
// tell.
//
// The unknowns (note_model.h) start from the case: what it measured keeps its error, an estimate with a range
// becomes a weak normal prior of the range's standard deviation. Every other uncertain input of the case
// takes part as one more unknown acting in proportion (least_squares.h), so that a wrong height cannot pass
// for friction unnoticed: its doubt is in the covariance.
//
// The frictions of one piano stand high or low together: damp swells every bushing at once, and a piano that is
// sluggish in one centre was kept like that in all. A usual range ("jack centre 1 to 2 gf") says what parts in order have,
// not that. So a friction that nobody measured has, besides its own range of standard deviation w_i about its middle m_i, a
// share of one more unknown c that all have in common,
//
//   p_i = m_i (1 + c) + w_i x_i,     c ~ N(0, kTogether^2),  x_i ~ N(0, 1),
//
// with the prior covariance L L^T, L = (diag(w), kTogether m). Neither weights nor gauges tell a jack's centre, but
// they tell c. kTogether is an estimate: the key's own friction is called low at 1 to 3 gf, medium at 3 to 6, high over 6,
// where the middle of its range is taken; bands of the ranges alone held the jack centre on 3 of 4 pianos with frictions 0.6
// to 1.6 times the usual (models/handbook/priors.md).
//
// No two knuckles or bushings rub alike. An unknown that all notes share is the piano's mean; on each note the drag
// stands at p (1 + kUsualScatter e), e ~ N(0, 1) of its own, jack and lever on the same leather together: one more input
// for each note and kind of drag, acting by the Jacobian at the prior means. The size: drag_scatter.h.
// What was read on a note itself is its own already.
//
// What cannot be identified. With C_y = diag(s^2) + G G^T the readings' own covariance, J the Jacobian and S
// the prior covariance's symmetric root, the eigenvectors v of S J^T C_y^-1 J S with eigenvalue lambda are
// combinations v^T S^-1 p of the unknowns whose prior variance the readings divide by 1 + lambda. Below kWeak they tell next to nothing
// of it. For each of these the measurement of a list is named that would narrow it most: a measurement with
// gradient g and error r takes (v^T C g)^2 / (r^2 + g^T C g) off the variance v^T C v.
#pragma once
#include <string>
#include <vector>

#include "models/calibrate/least_squares.h"
#include "models/calibrate/note_model.h"

namespace leverwright::calibrate {

inline constexpr double kWeak = 0.35;  // eigenvalue: less than a quarter of the variance is taken off
// Hardly told: the readings narrow its standard deviation by less than a fifth. Frictions share a lean, so a little is told
// of each by what is told of the others.
inline constexpr double kHardlyTold = 0.36;  // of an unknown's prior variance taken off
inline constexpr double kTrading = 0.4;      // correlation from which two unknowns trade against each other
inline constexpr double kOutlier = 3.0;      // standard deviations
inline constexpr double kTogether = 0.3;     // of the frictions nobody measured, all of a piano together

struct Weak {
  // An unknown the readings leave as it was; two that trade against each other; an eigenvector as above.
  enum class Kind { kUnknown, kPair, kDirection } kind = Kind::kDirection;
  std::string words;         // the combination, in words
  double variance_left = 1;  // of its prior variance; of a pair: the size of their correlation
  std::string remedy;        // the extra measurement that tells it best, in words
  double variance_then = 1;  // of what is left now, after that measurement
};

struct Calibration {
  std::vector<NoteRow> rows;
  std::vector<Unknown> unknowns;
  std::vector<Datum> data;
  Fit fit;
  Eigen::VectorXd fitted;    // by reading, SI: what the found values say it should read
  std::vector<double> told;  // by unknown: share of the prior variance the readings took off
  std::vector<Weak> weak;
  std::vector<std::string> outliers;     // in words
  std::size_t nuisance = 0;              // other inputs that took part
  double before_rms = 0, after_rms = 0;  // of the residuals in standard deviations, at the prior and found
  bool stopped = false;
};

struct Doing {
  std::string what;
  double share = 0;
};

// `columns`: what find_columns gives for these rows, when it is known already (it hangs on which readings
// there are and on their errors, not on what they say).
Calibration calibrate(const case_file::CaseDescription& description, std::vector<NoteRow> rows,
                      const std::function<bool(const Doing&)>& progress = {},
                      const std::vector<Column>* columns = nullptr);

// Combinations the readings do not tell: `j` readings x unknowns, `g` readings x other inputs, `root` symmetric
// root of the prior covariance. Eigenvalue and unit vector (root^-1 p) each, weakest first.
struct Direction {
  double eigenvalue = 0;
  Eigen::VectorXd v;
};
std::vector<Direction> find_weak_directions(const Eigen::MatrixXd& j, const Eigen::MatrixXd& g,
                                            const Eigen::VectorXd& s, const Eigen::MatrixXd& root);

}  // namespace leverwright::calibrate
