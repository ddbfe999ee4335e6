#include "models/keyboard/leads.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "sim/base/units.h"

namespace leverwright::keyboard {
namespace {

using case_file::PlacedMass;

constexpr double kFront = 0.246, kGf = base::kGramForce;

double weight_of(double gram_millimetres) { return base::kGravity * gram_millimetres * 1e-6 / kFront; }

LeadRules one_kind(double mass) {
  LeadRules r;
  r.stock = {mass};
  r.from = 40e-3;
  r.to = 200e-3;
  return r;
}

// pianotech list archive 2006-07 #192948: 12 g at 10 cm against 24 g at 5 cm, first moment 120 g cm, inertia
// 1200 and 600 g cm2.
TEST(Leads, FarOutOrNearTheBalanceRail) {
  const double wanted = weight_of(1200);
  LeadRules light = one_kind(12e-3), heavy = one_kind(24e-3);
  light.most = heavy.most = 1;
  const LeadPlan far = LeadTable(light, LeadWish::kFewest, 2e-3).choose(wanted, kFront);
  const LeadPlan near = LeadTable(heavy, LeadWish::kFewest, 2e-3).choose(wanted, kFront);
  ASSERT_EQ(far.leads.size(), 1u);
  ASSERT_EQ(near.leads.size(), 1u);
  EXPECT_NEAR(far.leads[0].distance, 0.100, 1e-9);
  EXPECT_NEAR(near.leads[0].distance, 0.050, 1e-9);
  EXPECT_NEAR(far.inertia, 1200e-7, 1e-12);
  EXPECT_NEAR(near.inertia, 600e-7, 1e-12);
  EXPECT_NEAR(far.front_weight, near.front_weight, 1e-12);
  EXPECT_NEAR(far.reflected, 12e-3 * std::pow(0.100 / kFront, 2), 1e-12);
}

struct Tried {
  double error = 0, inertia = 0, mass = 0;
  std::size_t count = 0;
};

// Every set of places and masses, one after another.
void enumerate(const LeadRules& r, double from, std::vector<PlacedMass>& so_far, double wanted,
               std::vector<Tried>& out) {
  if (!so_far.empty()) {
    double mass = 0;
    for (const auto& one : so_far) mass += one.mass;
    out.push_back(
        {case_file::first_moment_of(so_far) - wanted, case_file::inertia_of(so_far), mass, so_far.size()});
  }
  if (static_cast<int>(so_far.size()) == r.most) return;
  for (double d = from; d <= r.to + 1e-9; d += r.step)
    for (const double m : r.stock) {
      so_far.push_back({m, d});
      enumerate(r, d + r.spacing, so_far, wanted, out);
      so_far.pop_back();
    }
}

TEST(Leads, NoOtherChoiceIsBetter) {
  LeadRules r;
  r.stock = {14e-3, 9e-3};
  r.from = 40e-3;
  r.to = 120e-3;
  r.step = 4e-3;
  r.spacing = 16e-3;
  r.most = 3;
  r.tolerance = 0.2 * kGf;
  const LeadTable fewest(r, LeadWish::kFewest, 5e-3), quick(r, LeadWish::kLeastInertia, 5e-3),
      light(r, LeadWish::kLeastLead, 5e-3);
  std::mt19937 random(9);
  std::uniform_real_distribution<double> moment(0.4e-3, 4.2e-3);
  for (int k = 0; k < 25; ++k) {
    const double wanted = moment(random), tolerance = lead_moment_for(r.tolerance, kFront);
    std::vector<Tried> all;
    std::vector<PlacedMass> none;
    enumerate(r, r.from, none, wanted, all);
    const auto least = [&](double within, std::size_t most, double Tried::*what) {
      double best = 1e9;
      for (const Tried& t : all)
        if (std::abs(t.error) <= within && t.count <= most) best = std::min(best, t.*what);
      return best;
    };
    std::size_t fewest_count = 99;
    for (const Tried& t : all)
      if (std::abs(t.error) <= tolerance) fewest_count = std::min(fewest_count, t.count);
    const double asked = base::kGravity * wanted / kFront;
    const LeadPlan a = fewest.choose(asked, kFront), b = quick.choose(asked, kFront),
                   c = light.choose(asked, kFront);
    if (fewest_count == 99) {
      EXPECT_FALSE(a.found) << wanted;
      double nearest = std::abs(wanted);
      for (const Tried& t : all) nearest = std::min(nearest, std::abs(t.error));
      EXPECT_LE(std::abs(lead_moment_for(a.error, kFront)), 1.5 * nearest + 2e-6);
      continue;
    }
    EXPECT_TRUE(a.found && b.found && c.found) << wanted;
    EXPECT_EQ(a.leads.size(), fewest_count) << wanted;
    // Within a quarter of the tolerance first, else within all of it.
    const auto bound = [&](std::size_t most, double Tried::*what) {
      const double tight = least(0.25 * tolerance, most, what);
      return tight < 1e8 ? tight : least(tolerance, most, what);
    };
    EXPECT_NEAR(a.inertia, bound(fewest_count, &Tried::inertia), 1e-9) << wanted;
    EXPECT_NEAR(b.inertia, bound(3, &Tried::inertia), 1e-9) << wanted;
    EXPECT_NEAR(c.mass, bound(3, &Tried::mass), 1e-9) << wanted;
    for (const LeadPlan* plan : {&a, &b, &c}) {
      for (std::size_t i = 1; i < plan->leads.size(); ++i)
        EXPECT_GE(plan->leads[i].distance - plan->leads[i - 1].distance, r.spacing - 1e-9);
      EXPECT_NEAR(plan->front_weight - asked, plan->error, 1e-12);
      EXPECT_LE(std::abs(plan->error), r.tolerance * 1.001);
    }
  }
}

TEST(Leads, NothingWantedIsNoLead) {
  const LeadTable t(one_kind(14e-3), LeadWish::kFewest, 2e-3);
  const LeadPlan plan = t.choose(0.05 * kGf, kFront);
  EXPECT_TRUE(plan.found);
  EXPECT_TRUE(plan.leads.empty());
}

TEST(Leads, AKeyTooHeavyInFrontIsLeadedBehind) {
  LeadRules r = one_kind(14e-3);
  const LeadPlan none = LeadTable(r, LeadWish::kFewest, 2e-3).choose(-4 * kGf, kFront);
  EXPECT_FALSE(none.found);
  EXPECT_TRUE(none.leads.empty());
  EXPECT_NEAR(none.error, 4 * kGf, 1e-12);
  r.rear_from = 40e-3;
  r.rear_to = 120e-3;
  const LeadPlan plan = LeadTable(r, LeadWish::kFewest, 2e-3).choose(-4 * kGf, kFront);
  EXPECT_TRUE(plan.found);
  ASSERT_EQ(plan.leads.size(), 1u);
  EXPECT_NEAR(plan.leads[0].distance, -4 * 246 / 14.0 * 1e-3, 0.5e-3);
  EXPECT_GT(plan.inertia, 0);
}

TEST(Leads, OutOfReachGivesTheNearest) {
  LeadRules r = one_kind(10e-3);
  r.most = 2;
  const LeadPlan plan = LeadTable(r, LeadWish::kLeastInertia, 20e-3).choose(60 * kGf, kFront);
  EXPECT_FALSE(plan.found);
  ASSERT_EQ(plan.leads.size(), 2u);
  EXPECT_NEAR(plan.leads[1].distance, 0.200, 1.5e-3);
  EXPECT_LT(plan.error, 0);
}

}  // namespace
}  // namespace leverwright::keyboard
