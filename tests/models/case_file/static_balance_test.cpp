// Static, lever, knuckle, regulation and inertia rows of the bench checks: row id and source beside each.
#include "models/case_file/static_balance.h"

#include <gtest/gtest.h>

namespace leverwright::case_file {
namespace {

struct WeightRow {
  const char *id, *source;
  double down, up, balance, friction;  // gf
};

class Weights : public testing::TestWithParam<WeightRow> {};

TEST_P(Weights, balance_weight_and_friction_both_ways) {
  const WeightRow& row = GetParam();
  EXPECT_DOUBLE_EQ(balance_weight_of(row.down, row.up), row.balance) << row.id << " " << row.source;
  EXPECT_DOUBLE_EQ(friction_of(row.down, row.up), row.friction) << row.id << " " << row.source;
  EXPECT_DOUBLE_EQ(down_weight_of(row.balance, row.friction), row.down) << row.id << " " << row.source;
  EXPECT_DOUBLE_EQ(up_weight_of(row.balance, row.friction), row.up) << row.id << " " << row.source;
}

INSTANTIATE_TEST_SUITE_P(
    bench_checks, Weights,
    testing::Values(WeightRow{"E01", "college and university technicians list archive", 52, 28, 40, 12},
                    WeightRow{"E02a", "pianotech list archive 1998-10 #038299", 50, 20, 35, 15},
                    WeightRow{"E02b", "pianotech list archive 1998-10 #038299", 46, 24, 35, 11},
                    WeightRow{"E02c", "pianotech list archive 1998-10 #038299", 52, 18, 35, 17},
                    WeightRow{"E02d", "pianotech list archive 1998-10 #038299", 50, 26, 38, 12},
                    WeightRow{"E02e", "pianotech list archive 1998-10 #038299", 47, 23, 35, 12}),
    [](const auto& row) { return std::string(row.param.id); });

// E14, pianotech list archive 2003-05 #134232: printed to a tenth.
TEST(StaticBalance, E14_heavy_key) { EXPECT_NEAR(friction_of(81.1, 16), 32.5, 0.1); }

// E03a and E03b, college and university technicians list archive 2004-10 #012890.
TEST(StaticBalance, E03a_weight_ratio) {
  EXPECT_NEAR(weight_ratio_of(44, {28, 10.4, 18.5, 0.52}), 6.0, 0.01);
}
TEST(StaticBalance, E03b_balance_weight) {
  EXPECT_NEAR(balance_weight_at_ratio(5.5, {28, 10.4, 18.5, 0.52}), 39, 0.5);
}

TEST(StaticBalance, ratio_and_balance_weight_are_inverses) {
  const StaticBalance b{23.7, 9.85, 17.9, 0.517};
  EXPECT_NEAR(weight_ratio_of(balance_weight_at_ratio(5.83, b), b), 5.83, 1e-12);
}

// E26, pianotech list archive 2008-10 #228161: 5 more on the front is 5 less balance weight, same ratio.
TEST(StaticBalance, E26_front_weight_is_balance_weight) {
  const StaticBalance before{23.7, 9.85, 17.9, 0.517};
  StaticBalance after = before;
  after.front_weight += 5;
  const double ratio = weight_ratio_of(37.2, before);
  EXPECT_NEAR(balance_weight_at_ratio(ratio, after), 37.2 - 5, 1e-12);
  EXPECT_NEAR(weight_ratio_of(37.2 - 5, after), ratio, 1e-12);
}

struct LeverRow {
  const char *id, *source;
  LeverArms arms;  // mm
  double product;
};

class Levers : public testing::TestWithParam<LeverRow> {};

TEST_P(Levers, product_of_straight_arms) {
  EXPECT_NEAR(lever_product_of(GetParam().arms), GetParam().product, 0.01) << GetParam().source;
}

// E06a: an input is doubted, the arithmetic agrees.
INSTANTIATE_TEST_SUITE_P(
    bench_checks, Levers,
    testing::Values(
        LeverRow{"E06a", "pianotech list archive 2001-11 #097913", {217, 183, 67, 95, 20, 138}, 8.25},
        LeverRow{"E06b", "pianotech list archive 2001-11 #097913", {265, 145, 65, 92.5, 20.5, 138}, 5.24},
        LeverRow{"E06c1", "pianotech list archive 2001-11 #097944", {233, 125, 67, 93.5, 22, 138.2}, 4.70}),
    [](const auto& row) { return std::string(row.param.id); });

struct KnuckleRow {
  const char* id;
  double diameter, hanging_distance, arm;  // mm
};

class Knuckles : public testing::TestWithParam<KnuckleRow> {};

// E07, pianotech list archive 2001-12 #098012; the printed caption lacks the 3 mm of half a shank.
TEST_P(Knuckles, straight_arm) {
  const KnuckleRow& row = GetParam();
  EXPECT_NEAR(1e3 * knuckle_arm_of(1e-3 * row.hanging_distance, 1e-3 * row.diameter), row.arm, 0.01);
  EXPECT_GT(std::abs(1e3 * knuckle_arm_of(1e-3 * row.hanging_distance, 1e-3 * row.diameter, 0) - row.arm), 1);
}

INSTANTIATE_TEST_SUITE_P(bench_checks, Knuckles,
                         testing::Values(KnuckleRow{"E07a", 9, 17, 20.81}, KnuckleRow{"E07b", 9, 17.5, 21.22},
                                         KnuckleRow{"E07c", 9, 18, 21.63},
                                         KnuckleRow{"E07d", 9, 18.5, 22.05}),
                         [](const auto& row) { return std::string(row.param.id); });

// E08, pianotech list archive 2001-11 #097944.
TEST(Regulation, E08_dip_for_a_blow) { EXPECT_NEAR(dip_for_blow(45, 5.1, 1.5), 10.32, 0.01); }

// E10, college and university technicians list archive 2000-04 #002438, in inches.
TEST(Regulation, E10_half_stroke_spacer) { EXPECT_NEAR(half_stroke_spacer(0.390, 0.062), 0.226, 0.001); }

// E12a, pianotech list archive 2003-12 #146413: 10 g at 13 cm, ten times as fast, in g cm2.
TEST(Inertia, E12a_reflected) { EXPECT_DOUBLE_EQ(reflected_inertia(10, 13, 10), 169000); }

// E12b, pianotech list archive 2006-07 #192948: same first moment, half the inertia.
TEST(Inertia, E12b_two_ways_to_lead) {
  const std::vector<PlacedMass> far = {{12, 10}}, near = {{24, 5}};
  EXPECT_DOUBLE_EQ(first_moment_of(far), 120);
  EXPECT_DOUBLE_EQ(first_moment_of(near), 120);
  EXPECT_DOUBLE_EQ(inertia_of(far), 1200);
  EXPECT_DOUBLE_EQ(inertia_of(near), 600);
}

TEST(Inertia, leads_on_the_scale) {
  // Two leads, one behind the balance hole: moments 14.2*180 - 12.5*60 over 243 mm.
  EXPECT_NEAR(front_weight_of({{14.2, 180}, {12.5, -60}}, 243), 7.43209877, 1e-8);
}

}  // namespace
}  // namespace leverwright::case_file
