// Lead is asked for where a target of the user's or the usual range is missed, and nowhere else.
#include "models/study/lead_advice.h"

#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "sim/base/units.h"

namespace leverwright::study {
namespace {

constexpr double kGf = base::kGramForce;

TEST(LeadAdvice, NobodyDrillsForLeadWithinTheUsualRange) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  ASSERT_TRUE(d.quantity("targets.balance_weight").from_default) << "the demo sets no target";
  for (const double now : {33.5, 35.0, 38.0, 41.5}) {
    EXPECT_DOUBLE_EQ(find_wanted_balance_weight(d, now * kGf), now * kGf)
        << "in range, or too little to notice";
    EXPECT_EQ(find_lead(now * kGf, find_wanted_balance_weight(d, now * kGf), 0.24).count, 0);
  }
  EXPECT_NEAR(find_wanted_balance_weight(d, 45 * kGf), 37.5 * kGf, 1e-9)
      << "outside: the middle of the range";
  EXPECT_FALSE(find_lead(45 * kGf, find_wanted_balance_weight(d, 45 * kGf), 0.24).take_out);
  EXPECT_TRUE(find_lead(30 * kGf, find_wanted_balance_weight(d, 30 * kGf), 0.24).take_out);
}

TEST(LeadAdvice, ATargetOfTheUsersIsMet) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  auto& q = d.quantities.at("targets.balance_weight");
  q.from_default = false;
  q.value = 39 * kGf;
  EXPECT_DOUBLE_EQ(find_wanted_balance_weight(d, 36 * kGf), 39 * kGf) << "though 36 is usual";
}

}  // namespace
}  // namespace leverwright::study
