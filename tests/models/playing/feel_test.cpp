// feel: a slow key motion is the slow path, quick ones are governed by mass, and friction while playing is
// more than the weighing's.
#include "models/playing/feel.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "tests/models/study/demo_set_up.h"

namespace leverwright::playing {
namespace {

// Down in 1.2 s the greatest acceleration is 5.77 x 10 mm / (1.2 s)^2 = 0.04 m/s2: 0.3 kg of it are 0.012 N.
TEST(Feel, ASlowKeyNeedsTheSlowForce) {
  const KeyMotionForce m = find_key_motion_force(study::demo().set_up, 1.2);
  EXPECT_NEAR(m.mean / m.slow_mean, 1, 0.04);
  EXPECT_LT(m.simple_rms, 0.05);
  EXPECT_EQ(m.hammer_speed, 0) << "so slow a key does not sound";
  // Let-off comes on the slow path too: the bump is in the curve.
  EXPECT_NEAR(m.peak, m.slow_mean + study::demo().set_up.weighing.let_off_resistance, 0.35);
}

TEST(Feel, QuickKeysNeedForceByTheirReflectedMass) {
  const KeyMotionForce slow = find_key_motion_force(study::demo().set_up, 0.25),
                       quick = find_key_motion_force(study::demo().set_up, 0.125);
  // Before parts part, force beyond the slow one grows with acceleration: 4 times here, less what the cloths
  // give way (more on the quicker one).
  const double a = slow.early - slow.slow_early, b = quick.early - quick.slow_early;
  EXPECT_GT(b / std::max(a, 0.05), 3);
  EXPECT_FALSE(quick.off.empty()) << "the key slows down, the hammer flies on";
  EXPECT_GT(quick.off.front().dip_from, 0.4 * study::demo().set_up.regulated.dip);
  for (std::size_t k = 1; k < quick.dip.size(); ++k) ASSERT_GE(quick.dip[k], quick.dip[k - 1]);
}

TEST(Feel, MassSharesBumpAndFrictionWhilePlaying) {
  FeelOptions options;
  options.down_times = {};
  options.touches = {"p", "f"};
  const Feel f = find_feel(study::demo().description, study::demo().set_up, options);
  ASSERT_EQ(f.reflected.size(), 3u);
  const ReflectedMass& half = f.reflected[1];
  EXPECT_NEAR(half.sum(), study::demo().set_up.measures[study::kReflectedMass],
              1e-5);                                          // two ways along one path
  EXPECT_GT(half.shares[action::kHammer] / half.sum(), 0.7);  // bands.csv: 70 to 93 %
  EXPECT_LT(half.shares[action::kHammer] / half.sum(), 0.93);
  EXPECT_NEAR(f.bump_height, study::demo().set_up.weighing.let_off_resistance, 1e-12);
  EXPECT_GT(f.bump_from, study::demo().set_up.regulated.dip_button);
  EXPECT_GT(f.bump_width, 0.2e-3);
  EXPECT_LT(f.bump_width, 2e-3);
  ASSERT_EQ(f.played.size(), 2u);
  for (const PlayedFriction& p : f.played) {
    ASSERT_TRUE(p.found);
    double slow = 0, played = 0;
    for (const auto& r : p.rows) {
      EXPECT_GE(r.played, -1e-9) << r.place;
      slow += r.slow;
      played += r.played;
    }
    EXPECT_NEAR(slow, p.slow_sum, 1e-12);
    EXPECT_NEAR(played, p.played_sum, 1e-12);
    // The weighing's (D - U)/2 is not the ledger's mean going down, but near it.
    EXPECT_NEAR(p.slow_sum / study::demo().set_up.weighing.friction, 1, 0.3);
    EXPECT_TRUE(p.off.empty()) << "a finger that presses harder and harder keeps the knuckle loaded";
    EXPECT_GT(p.most_load, 2 * p.slow_load);
  }
  EXPECT_GT(f.played[0].played_sum, 1.2 * f.played[0].slow_sum);
  EXPECT_GT(f.played[1].played_sum, 2 * f.played[0].played_sum);
  EXPECT_EQ(f.played[1].rows.front().place.rfind("jack on knuckle", 0), 0u);
}

}  // namespace
}  // namespace leverwright::playing
