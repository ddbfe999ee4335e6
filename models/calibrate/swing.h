// Friction of a centre from a swing count: a part hung from its centre, let go at an angle, left to swing
// until it stands.
//
// Pendulum with a dry friction torque T about its pin, M = m g l the moment of its weight when level (a
// hammer: strike weight times hammer length; a wippen: wippen weight times heel arm), theta from hanging
// straight down:
//
//   J theta'' = -M sin(theta) - T sign(theta')
//
// Over one half swing, from standstill at theta_k on one side to standstill at theta_k+1 on the other, the
// work of T is all that is lost:
//
//   M (cos theta_k+1 - cos theta_k) = T (theta_k + theta_k+1)
//
// which holds for any angle and needs no J. It stands when M sin(theta_k) <= T. For small angles, with
// d = T / M, theta_k+1 = theta_k - 2 d: the amplitude falls by the same amount each time (not by the same
// ratio, as with viscous friction), and the number of full swings (over and back) is
//
//   N = (theta_0 / d - 1) / 4        so        T = M theta_0 / (4 N + 1)
//
// Counts between whole half swings are filled in by a straight line, so that N falls smoothly as T rises. Air
// and the load-dependent part of a pin's friction are left out: both make T from a count an upper bound.
#pragma once

namespace leverwright::calibrate {

// Full swings until it stands. M and T in N m, theta_0 in rad (below pi). Infinite for T = 0.
double swings_until_still(double torque, double moment, double theta_0);

// The torque that gives this count, N m; `swings` > 0.
double torque_of_swings(double swings, double moment, double theta_0);

inline constexpr double kUsualRelease = 1.5707963267948966;  // level, rad: hammer let go with its shank level

}  // namespace leverwright::calibrate
