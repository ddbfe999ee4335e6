// The hammer's free flight from let-off to the string against its closed form.
#include <gtest/gtest.h>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

// A pendulum with dry friction at its pin, from theta_1 on:
//   I (omega^2 - omega_1^2) / 2 = -m g [y(theta) - y(theta_1)] - S (theta - theta_1) - c int omega dtheta
// y the height of its centre of mass, S = S_0 + (mu r_pin) R with R the pin's force in flight. The lag of R
// (0.5 ms) and the bristle have settled by the time compared from.
TEST(Flight, OfTheHammerAfterLetOff) {
  const Played& p = played_as_found();
  const FoundTouch soft = find_pressed_touch(p.action, p.rest, 0.45);  // slow: a long flight
  ASSERT_TRUE(soft.found) << soft.advice;
  PlayOptions o;
  o.stop_at_string = true;
  o.stroke.output_interval = 5e-5;
  const StrokeResult r = play_touch(p, soft.touch, o);
  ASSERT_TRUE(r.happened(kStringContact));
  EXPECT_GT(r.measures.free_flight, 2.5e-3);
  const double left = r.event[kStringContact] - r.measures.free_flight;
  EXPECT_GT(left, r.event[kTenderMeetsButton]);
  std::vector<std::size_t> flying;
  for (std::size_t k = 0; k < r.series.time.size(); ++k)
    if (r.series.time[k] > left + 1e-3 && r.series.time[k] < r.event[kStringContact]) flying.push_back(k);
  ASSERT_GE(flying.size(), 25u);
  const planar::Body& hammer = p.action.mechanism.tree.body(kHammer);
  const planar::PivotFriction& pin = p.action.mechanism.pivots[at(kHammerCentre)].friction;
  const double inertia = hammer.inertia_cm + hammer.mass * hammer.p_cm.squaredNorm();
  const double g = -p.action.mechanism.gravity.y();
  const auto& theta = r.series.position[kHammer];
  const auto& omega = r.series.speed[kHammer];
  const auto turned = [&](double a) {
    return Vec2(std::cos(a) * hammer.p_cm.x() - std::sin(a) * hammer.p_cm.y(),
                std::sin(a) * hammer.p_cm.x() + std::cos(a) * hammer.p_cm.y());
  };
  const std::size_t first = flying.front();
  double most_friction = 0;
  for (const std::size_t k : flying) {
    const double turn = theta[k] - theta[first], middle = 0.5 * (theta[k] + theta[first]);
    const double mean_speed = 0.5 * (omega[k] + omega[first]);
    // The pin's force: m (a - g) with the pendulum's own acceleration.
    const Vec2 arm = turned(middle);
    double level = pin.level(hammer.mass * g);
    Vec2 force;
    for (int i = 0; i < 3; ++i) {
      const double alpha = -(hammer.mass * g * arm.x() + level + pin.viscous() * mean_speed) / inertia;
      const Vec2 a = alpha * base::perp(arm) - mean_speed * mean_speed * arm;
      force = hammer.mass * (a + Vec2(0, g));
      level = pin.level(force.norm());
    }
    const double friction = (level + pin.viscous() * mean_speed) * turn;
    const double height = turned(theta[k]).y() - turned(theta[first]).y();
    const double left_over =
        omega[first] * omega[first] - 2 / inertia * (hammer.mass * g * height + friction);
    EXPECT_NEAR(omega[k] / std::sqrt(left_over), 1, 2e-5) << r.series.time[k] - r.series.time[first];
    most_friction = std::max(most_friction, friction / (0.5 * inertia * omega[first] * omega[first]));
    // Time: the same way at the mean speed (the speed falls almost evenly).
    EXPECT_NEAR(turn, mean_speed * (r.series.time[k] - r.series.time[first]), 1e-4 * std::abs(turn) + 1e-9);
  }
  EXPECT_GT(most_friction, 1e-3) << "friction has a say in what is compared";
}

}  // namespace
}  // namespace leverwright::action
