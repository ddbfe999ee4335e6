// Two wippens side by side: closed forms for what a weight does alone, and that the parts add up.
#include "models/search/parts.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::search {
namespace {

constexpr double kGf = base::kGramForce;

const case_file::CaseDescription& wippens() {
  static const auto d = remedies::read_case("cases/two_wippens/case.toml");
  return d;
}

const PartsComparison& compared() {
  static const PartsComparison c = compare_parts(
      wippens(), {"wippen", "wippen_twin_light", "wippen_twin_heavy", study::kBalanceWeight, {}});
  return c;
}

const PartDifference& row(const std::string& key) {
  const auto found = std::find_if(compared().differences.begin(), compared().differences.end(),
                                  [&](const PartDifference& d) { return d.key == key; });
  EXPECT_NE(found, compared().differences.end()) << key;
  return found == compared().differences.end() ? compared().differences.front() : *found;
}

TEST(Parts, FindEveryDimensionInWhichTheTwoFilesDiffer) {
  EXPECT_EQ(compared().differences.size(), 14u);  // ten keys of the body, weight and three centres
  EXPECT_GT(compared().alike, 20);
  EXPECT_TRUE(compared().whole);
  for (const auto& d : compared().differences) EXPECT_TRUE(d.counted) << d.key << ": " << d.why;
  EXPECT_EQ(row("wippen.jack_length").value_a, "59 mm");
  EXPECT_EQ(row("wippen.jack_length").value_b, "57.5 mm");
}

// The wippen weight acts at the capstan, so it is felt at the playing point times the ratio of the key's arms
// there.
TEST(Parts, WippenWeightAloneIsFeltTimesTheKeyRatio) {
  const double weight = 20.1 - 17.6;
  const auto& alone = row("measured.wippen_weight");
  EXPECT_NEAR(alone.effect[study::kBalanceWeight] / kGf, weight * 0.504, 0.06);
  EXPECT_NEAR(alone.effect[study::kFriction] / kGf, 0, 0.1) << "it presses a little harder on cloth and pins";
  EXPECT_NEAR(alone.effect[study::kWippenWeight] / kGf, weight, 1e-9);
}

// A centre's friction T adds |d(theta_rel)/ds| T to half the difference of down and up, at its own gearing;
// it leaves the balance weight nearly alone (question 5: down and up move apart).
TEST(Parts, CentreFrictionAloneMovesDownAndUpApart) {
  const auto& wippen = row("friction.wippen_centre");
  EXPECT_GT(wippen.effect[study::kDownWeight], 0);
  EXPECT_LT(wippen.effect[study::kUpWeight], 0);
  const double torque = 1.5 * kGf * 23e-3;
  // The wippen turns by about (B/A)/C per length at the playing point, B/C straight arms at half stroke.
  const double gearing = 0.504 / 61e-3;
  EXPECT_NEAR(wippen.effect[study::kFriction] / kGf, torque * gearing / kGf, 0.1);
}

TEST(Parts, SinglesAndInteractionAddUpToTheWhole) {
  const auto& c = compared();
  for (const std::size_t k :
       {std::size_t{study::kDownWeight}, std::size_t{study::kUpWeight}, std::size_t{study::kDistanceRatio}}) {
    double sum = 0;
    for (const auto& d : c.differences) sum += d.effect[k];
    EXPECT_NEAR(c.sum[k], sum, 1e-12);
    EXPECT_NEAR(c.sum[k] + c.interaction[k], c.together[k], 1e-12);
    EXPECT_NEAR(c.together[k], c.b.numbers[k] - c.a.numbers[k], 1e-12);
  }
  EXPECT_LT(std::abs(c.interaction[study::kBalanceWeight]), std::abs(c.together[study::kBalanceWeight]));
}

TEST(Parts, AreRankedByTheNumberAskedFor) {
  const auto& c = compared();
  for (std::size_t k = 1; k < c.differences.size(); ++k)
    EXPECT_GE(std::abs(c.differences[k - 1].effect[study::kBalanceWeight]),
              std::abs(c.differences[k].effect[study::kBalanceWeight]));
  EXPECT_NE(explain_parts(c).find(c.differences.front().name), std::string::npos);
}

TEST(Parts, SetUpsOfACaseAndFilesGiveTheSame) {
  const auto mixed = compare_parts(
      wippens(), {"wippen", "light one", "models/parts/wippen_twin_heavy.toml", study::kBalanceWeight, {}});
  EXPECT_EQ(mixed.together[study::kDownWeight], compared().together[study::kDownWeight]);
}

TEST(Parts, SayWhatIsWrongWithTheRequest) {
  const auto words = [&](const PartsRequest& r) {
    try {
      compare_parts(wippens(), r);
    } catch (const base::UserError& e) {
      return std::string(e.what());
    }
    return std::string("nothing wrong");
  };
  EXPECT_NE(words({"wippens", "a", "b", 0, {}}).find("no part slot"), std::string::npos);
  EXPECT_NE(words({"wippen", "wippen_twin_lite", "wippen_twin_heavy", 0, {}}).find("wippen_twin_light"),
            std::string::npos);
  EXPECT_NE(words({"wippen", "wippen_twin_light", "wippen_twin_light", 0, {}}).find("do not differ"),
            std::string::npos);
  EXPECT_NE(words({"hammer", "wippen_twin_light", "hammer_middle", 0, {}}).find("not a part for"),
            std::string::npos);
}

TEST(Parts, StopWhenAskedTo) {
  PartsRequest request{"wippen", "wippen_twin_light", "wippen_twin_heavy", study::kBalanceWeight,
                       [](double) { return false; }};
  EXPECT_FALSE(compare_parts(wippens(), request).whole);
}

}  // namespace
}  // namespace leverwright::search
