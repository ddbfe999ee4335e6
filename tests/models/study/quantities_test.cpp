#include "models/study/quantities.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>
#include <string>

#include "models/remedies/read_case.h"
#include "models/study/set_up_solver.h"
#include "sim/base/units.h"
#include "tests/support/read_text.h"

namespace leverwright::study {
namespace {

const SetUpResult& steep() {  // the base of the second demo, weighed over the whole stroke
  static const SetUpResult once = [] {
    const auto d = remedies::read_case("cases/steep_heel/case.toml");
    return SetUpSolver(d).solve(d, d.set_ups[0], {});
  }();
  return once;
}

TEST(Quantities, EveryRowIsWholeAndFoundByItsWords) {
  std::set<std::string> keys, names;
  for (std::size_t k = 0; k < kQuantityCount; ++k) {
    const Quantity& q = kQuantities[k];
    ASSERT_NE(q.value, nullptr) << k;
    for (const char* words : {q.key, q.name, q.unit, q.display_unit, q.group, q.label, q.how_read, q.absent})
      EXPECT_TRUE(words != nullptr && *words != '\0') << k;
    EXPECT_LT(q.low, q.high) << q.key;
    EXPECT_TRUE(keys.insert(q.key).second) << q.key << " twice";
    EXPECT_TRUE(names.insert(q.name).second) << q.name << " twice";
    if (*q.also != '\0') {
      EXPECT_TRUE(keys.insert(q.also).second) << q.also << " twice";
      EXPECT_EQ(find_quantity(q.also), k);
    }
    EXPECT_EQ(find_quantity(q.key), k);
    EXPECT_EQ(find_quantity(q.name), k);
  }
  EXPECT_EQ(find_quantity("weigth"), kQuantityCount);
  for (std::size_t k = 0; k < kMeasureCount; ++k) EXPECT_STREQ(kMeasures[k].key, kQuantities[k].key);
}

// The rows stand where the code that names them looks for them.
TEST(Quantities, RowsStandInTheOrderOfTheirNames) {
  const std::pair<std::size_t, const char*> some[] = {{kDownWeight, "down_weight"},
                                                      {kForceFall, "force_fall"},
                                                      {kMeanFriction, "mean_friction"},
                                                      {kLetOffResistance, "let_off_resistance"},
                                                      {kCapstanSlide, "capstan_slide"},
                                                      {kLetOff, "let_off"},
                                                      {kDipAtButton, "dip_at_button"},
                                                      {kLeverProduct, "lever_product"},
                                                      {kCapstanSlideToDip, "capstan_slide_to_dip"},
                                                      {kJackDepth, "jack_clear_of_core_at_dip"},
                                                      {kLineDistance, "contact_above_line_of_centres"},
                                                      {kFaceMargin, "lifting_face_margin"},
                                                      {kFrontWeight, "front_weight"},
                                                      {kKeyHeight, "key_height"},
                                                      {kCapstanScrew, "capstan_setting"},
                                                      {kJackButton, "jack_stop_setting"},
                                                      {kScrewTurns, "capstan_turns"},
                                                      {kScrewLeft, "capstan_left"},
                                                      {kKeyHeightChange, "key_height_change"},
                                                      {kFrontWeightWithLead, "front_weight_with_lead"}};
  for (const auto& [at, key] : some) EXPECT_STREQ(kQuantities[at].key, key);
  for (std::size_t k = 0; k < action::kScrewCount; ++k)
    for (const std::size_t from : {kScrewSetting, kScrewTurns, kScrewLeft})
      EXPECT_EQ(std::string(kQuantities[from + k].key).rfind(action::kScrewKeys[k], 0), 0u) << from + k;
}

TEST(Quantities, TheListForOtherProgramsNamesThemAll) {
  const std::string text = support::read_text("viz/table/OUTPUT.md");
  for (const Quantity& q : kQuantities) {
    if (std::string(q.group) == "screw") continue;
    EXPECT_NE(text.find("`" + std::string(q.key) + "`"), std::string::npos) << q.key;
  }
}

TEST(Quantities, WeighedFrictionIsMeanFrictionAndTheFallOfTheForce) {
  const Measures& m = steep().measures;
  EXPECT_NEAR(m[kFriction], m[kMeanFriction] + m[kForceFall], 1e-12);
  EXPECT_NEAR(m[kMeanFriction], steep().facts.ledger.sum, 1e-6 * m[kFriction])
      << "what is rubbed off, place by place";
  EXPECT_GT(m[kForceFall], 1 * base::kGramForce) << "forces fall on this action";
}

// The slide is one number with two ranges, and both are those of the path.
TEST(Quantities, SlidesAreTheirPathsReadAtTwoDips) {
  const SetUpResult& s = steep();
  const auto& path = s.facts.slides[0];
  double to_let_off = 0;
  for (std::size_t k = 1; k < path.points.size() && path.points[k].travel <= s.regulated.dip_let_off; ++k)
    to_let_off += (path.points[k].travel - path.points[k - 1].travel) * 0.5 *
                  std::abs(path.points[k].slip_rate + path.points[k - 1].slip_rate);
  EXPECT_NEAR(s.measures[kCapstanSlide], to_let_off, 5e-6);
  EXPECT_GT(read_quantity(kQuantities[kCapstanSlideToDip], s).value, s.measures[kCapstanSlide]);
}

TEST(Quantities, WhatDoesNotExistSaysWhy) {
  const auto d = remedies::read_case("cases/steep_heel/case.toml");
  const SetUpSolver solver(d);
  // Without let-off and full dip: nothing that is read there.
  const SetUpResult quick = solver.solve(d, d.set_ups[0], quick_options());
  for (const std::size_t k :
       {std::size_t{kLetOffResistance}, std::size_t{kLeverProduct}, std::size_t{kFaceMargin}}) {
    const Reading r = read_quantity(kQuantities[k], quick);
    EXPECT_TRUE(std::isnan(r.value));
    EXPECT_EQ(r.why_absent, "this study weighs without let-off and full dip");
  }
  EXPECT_TRUE(std::isfinite(quick.measures[kDownWeight]));
  EXPECT_EQ(read_quantity(kQuantities[kScrewTurns], quick).why_absent, "there is no base to compare with");
  // Not regulated: not one number, and the requirement that fails.
  auto apart = remedies::read_case("cases/missed_heel/case.toml");
  const SetUpSolver demo(apart);
  apart.quantities.at("measured.spread").value *= 3;
  const SetUpResult failed = demo.try_solve(apart, apart.set_ups[0], {});
  ASSERT_LE(failed.regulated.dip_let_off, 0);
  for (const Quantity& q : kQuantities) {
    EXPECT_TRUE(std::isnan(read_quantity(q, failed).value)) << q.key;
    EXPECT_NE(read_quantity(q, failed).why_absent, "") << q.key;
  }
}

TEST(Quantities, TheKeyDownBeforeLetOffHasNoLetOffResistance) {
  const auto d = remedies::read_case("cases/steep_heel/case.toml");
  SetUpResult s = SetUpSolver(d).solve(d, d.set_ups[0], {});
  ASSERT_TRUE(std::isfinite(s.measures[kLetOffResistance]));
  const double found = s.weighing.let_off_resistance;
  s.weighing.let_off_resistance = -1e9;
  EXPECT_TRUE(std::isnan(read_quantity(kQuantities[kLetOffResistance], s).value)) << "outside of any action";
  s.weighing.let_off_resistance = found;
  s.weighing.down.resize(10);  // as far as the key goes
  const Reading r = read_quantity(kQuantities[kLetOffResistance], s);
  EXPECT_TRUE(std::isnan(r.value));
  EXPECT_EQ(r.why_absent, "the key is down before the hammer lets off");
  // And what no action can have is no answer.
  s.weighing.down_weight = 4348 * base::kGramForce;
  const Reading heavy = read_quantity(kQuantities[kDownWeight], s);
  EXPECT_TRUE(std::isnan(heavy.value));
  EXPECT_NE(heavy.why_absent.find("4348.0 gf"), std::string::npos) << heavy.why_absent;
}

}  // namespace
}  // namespace leverwright::study
