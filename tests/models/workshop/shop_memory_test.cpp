#include "models/workshop/shop_memory.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::workshop {
namespace {

// Wilson's interval solves |k/n - p| = z sqrt(p (1 - p) / n): its ends do.
TEST(ShopMemory, TheIntervalsEndsAreJustBelieved) {
  for (const auto& [hits, of] : {std::pair{19, 20}, {3, 10}, {1, 7}, {42, 43}}) {
    const HitRate r = find_hit_rate(hits, of);
    const double share = static_cast<double>(hits) / of;
    for (const double p : {r.low, r.high})
      EXPECT_NEAR(std::abs(share - p), 1.96 * std::sqrt(p * (1 - p) / of), 1e-9) << hits << " of " << of;
    EXPECT_LT(r.low, share);
    EXPECT_GT(r.high, share);
  }
  EXPECT_NEAR(find_hit_rate(20, 20).high, 1, 1e-12);
  EXPECT_NEAR(find_hit_rate(0, 20).low, 0, 1e-12);
  EXPECT_EQ(find_hit_rate(0, 0).high, 1);
}

TEST(ShopMemory, AReadingHitsWithinItsOwnErrorAndThePredictions) {
  const JobReading near{"C4", "x", "down weight", "gf", 50, 1.2, 53.9, 1.6, "", -1};  // band 3.92
  EXPECT_TRUE(near.hit());
  JobReading far = near;
  far.measured = 54;
  EXPECT_FALSE(far.hit());
  const auto by = count_by_reading({{"a", "", "", {near, far}}, {"b", "", "", {near}}});
  ASSERT_EQ(by.size(), 1u);
  EXPECT_EQ(by[0].rate.hits, 2);
  EXPECT_EQ(by[0].rate.of, 3);
  EXPECT_NEAR(by[0].mean, (3.9 + 4 + 3.9) / 3, 1e-12);
}

}  // namespace
}  // namespace leverwright::workshop
