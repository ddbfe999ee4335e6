// Redundant geometry measurements made to agree by weighted least squares.
//
// Frame W: origin at the balance hole at the key's bottom, key at rest, x towards the strings, y up. Unknowns
//
//   u = (x_P, y_P, x_H, y_H, x_C, y_C, h)
//
// P wippen centre, H hammer centre, C apex of the capstan's cap with the key at rest, h height of the origin
// above the keybed. Each measurement m_i with standard deviation s_i is a function of u:
//
//   spread                          |P - H|
//   balance_hole_height             h
//   wippen_centre_height            h + y_P
//   hammer_centre_height            h + y_H
//   capstan_top_height              h + y_C
//   balance_hole_to_wippen_centre   x_P
//   key_rear_length                 |C|                (the same at half stroke: the key turns about the origin)
//   heel_contact_arm                |P - R(theta) C|   R turns by the key's angle at half stroke,
//                                                      theta = half of the travel to let-off / key_front_length
//
// The travel to let-off is dip less aftertouch (dip alone when no aftertouch is given), as found when
// measured, else as specified. H stands on the player's side of P. Gauss-Newton on sum ((m_i - f_i(u)) /
// s_i)^2, steps halved until the sum falls; with J_ij = (df_i/du_j) / s_i the covariance of u is (J^T J)^-1.
//
// A measurement that was not made is left out; when the rest do not fix every unknown, this is a user's error
// that says what to measure. For the fit's verdict on one measurement: residual r_i = m_i - f_i, its own
// standard deviation s_i sqrt(q_i) with q_i = 1 - (J (J^T J)^-1 J^T)_ii. A single wrong measurement shows as
// |r_i| over three of those; r_i / q_i is by how much it would have to be wrong. With one redundant
// measurement all that take part show the same figure and the fit cannot tell which is wrong; all are named.
#pragma once
#include <Eigen/Core>
#include <array>
#include <string>
#include <vector>

#include "models/case_file/case_description.h"
#include "sim/base/vec2.h"

namespace leverwright::case_file {

struct Misfit {
  std::string key;                               // "measured.spread"
  double measured = 0, adjusted = 0, sigma = 0;  // m
  double in_sigmas = 0;                          // (measured - adjusted) / sigma
  double standardised = 0;       // over the residual's own standard deviation; 0 when nothing checks it
  double would_be_wrong_by = 0;  // m: measured less what the others say
};

struct ReconciledGeometry {
  base::Vec2 p_WP{0, 0}, p_WH{0, 0}, p_WC{0, 0};  // m, key at rest
  double balance_hole_height = 0;                 // m
  Eigen::Matrix<double, 7, 7> covariance;         // of (x_P, y_P, x_H, y_H, x_C, y_C, h), m2
  int redundancy = 0;                             // measurements less unknowns
  double chi_squared = 0;
  std::vector<Misfit> measurements;
  std::vector<std::string> warnings;  // misfits over three standard deviations
};

inline constexpr double kMisfitWarning = 3;  // standard deviations
inline constexpr double kMisfitError = 10;   // beyond this the numbers do not belong to one piano

// The measurements that check each other, in the order above.
inline constexpr std::array<const char*, 8> kReconciled = {"measured.spread",
                                                           "measured.balance_hole_height",
                                                           "measured.wippen_centre_height",
                                                           "measured.hammer_centre_height",
                                                           "measured.capstan_top_height",
                                                           "measured.balance_hole_to_wippen_centre",
                                                           "measured.key_rear_length",
                                                           "measured.heel_contact_arm"};
bool is_reconciled(const std::string& key);

// Throws base::UserError when the measurements cannot belong to one action or do not fix it.
ReconciledGeometry reconcile(const CaseDescription& description);

// The key's angle at half stroke, rad.
double half_stroke_key_angle(const CaseDescription& description);

}  // namespace leverwright::case_file
