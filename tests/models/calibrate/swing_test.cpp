#include "models/calibrate/swing.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::calibrate {
namespace {

// The equation of motion stepped: J theta'' = -M sin(theta) - T sign(theta').
double swings_by_steps(double t, double m, double theta, double j) {
  double omega = 0, half = 0;
  const double h = 2e-5;
  while (m * std::abs(std::sin(theta)) > t) {
    const double from = theta, sign = theta > 0 ? -1.0 : 1.0;  // the way it sets off
    double before = omega;
    do {
      before = omega;
      omega += h * (-m * std::sin(theta) - t * sign) / j;
      theta += h * omega;
    } while (omega * sign > 0 || before == 0);
    omega = 0;
    if (std::abs(theta) < 1e-3 && std::abs(from) < 1e-2) break;
    half += 1;
  }
  return 0.5 * half;
}

TEST(Swing, SmallAnglesFollowTheClosedForm) {
  // T = M theta_0 / (4 N + 1) for small angles.
  const double m = 0.012, theta = 0.08;
  for (const double n : {2.0, 5.0, 9.0})
    EXPECT_NEAR(swings_until_still(m * theta / (4 * n + 1), m, theta), n, 0.02 * n);
}

TEST(Swing, LargeAnglesAgreeWithTheSteppedMotion) {
  const double m = 0.0122, j = 1.5e-4, theta = 1.5;
  for (const double t : {6e-4, 9e-4, 1.6e-3})
    EXPECT_NEAR(swings_until_still(t, m, theta), swings_by_steps(t, m, theta, j), 0.51) << t;
}

TEST(Swing, EnergyOfTheWholeWayIsWhatFrictionTook) {
  // Count times path: M (1 - cos theta_0) less what it stands with = T times the path; bounded by both ends.
  const double m = 0.0122, t = 7e-4;
  const double n = swings_until_still(t, m, kUsualRelease);
  EXPECT_GT(n, 0.5);
  const double path = m * (1 - std::cos(kUsualRelease)) / t;  // rad, were all of it taken
  EXPECT_LT(n, path / 2) << "no half swing is longer than it began";
}

TEST(Swing, TorqueAndCountUndoEachOther) {
  const double m = 0.0122;
  double last = 1e9;
  for (const double t : {3e-4, 6e-4, 9e-4, 1.5e-3, 3e-3}) {
    const double n = swings_until_still(t, m, kUsualRelease);
    EXPECT_LT(n, last) << "more friction, fewer swings";
    last = n;
    EXPECT_NEAR(torque_of_swings(n, m, kUsualRelease), t, 1e-6 * t);
  }
}

}  // namespace
}  // namespace leverwright::calibrate
