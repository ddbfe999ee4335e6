// Down and up weight read on a few sample notes, and what they leave of the doubt about all 88.
//
//   y_j = f_j(x) + H_j o_j + e_j         j: a sample note with one or both weights read
//   x   ~ N(0, I)                        what all notes share: leather, cloth, centres, where the stack stands
//   o_j ~ N(0, A_j)                      what is the note's own, down and up weight
//   A_n = O_n + tau^2 S_n                O_n: what the samples leave open of the note's measured values
//                                        (carry.h); S_n: its drags, differing from note to note (effects.h)
//   e_j ~ N(0, s_j^2)                    the readings' own errors
//
// H_j picks the weights that were read. f is linear in x by G (effects.h), so with r = y - f(0) and
// C = diag(H A H^T + s^2), block by note, the shared values have the posterior of models/calibrate/as_found.h,
//   x^ = P G^T C^-1 r,      P = (I + G^T C^-1 G)^-1,
// r being taken again at the last x^ with the same G (kRounds), because f bends.
//
// tau is unknown: even over kLeastScatter to kMostScatter (calibrate/drag_scatter.h), weighed by the likelihood
//   r ~ N(0, G G^T + C(tau)),
// the root of the mean square is taken. Three notes hardly tell it and leave the range's own.
//
// Then, for a note without readings,        Cov = G_n P G_n^T + A_n;
// for one with readings, K = A H^T (H A H^T + s^2)^-1, its own deviation K (y - f(x^)) added, and
//                                           Cov = (G - K H G) P (G - K H G)^T + A - K H A.
#pragma once
#include <Eigen/Core>

#include "models/calibrate/drag_scatter.h"
#include "models/keyboard/effects.h"

namespace leverwright::keyboard {

// By note: down and up weight, or both.
struct OwnDeviation {
  Eigen::Vector2d shift = Eigen::Vector2d::Zero();    // N, to be added to down and up weight
  Eigen::Matrix2d follows = Eigen::Matrix2d::Zero();  // K H
};

struct Lean {
  bool leaned = false;
  case_file::CaseDescription values;          // the base with the shared values moved
  double scatter = calibrate::kUsualScatter;  // tau
  std::vector<double> x;                      // by input of the effects, in its standard deviations
  std::vector<std::vector<double>> v;         // directions told, by input; orthonormal
  std::vector<double> left;                   // standard deviation left along each
  std::vector<OwnDeviation> own;              // by note - 1
  int notes = 0, readings = 0;
  std::vector<std::string> sentences;
};

// `prior_only`: nothing is leaned on. Notes that cannot be weighed take no part.
Lean lean_on_samples(const case_file::CaseDescription& base, const Keyboard& keyboard, const Effects& effects,
                     bool prior_only, Work& work);

// O_n and tau^2 S_n of down and up weight.
Eigen::Matrix2d carried_covariance(const Effects& effects, int note);
Eigen::Matrix2d drag_covariance(const Effects& effects, int note);

}  // namespace leverwright::keyboard
