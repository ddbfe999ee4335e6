#include "viz/table/bench_table.h"

#include <gtest/gtest.h>

#include <set>

#include "models/remedies/all.h"
#include "models/study/quantities.h"
#include "sim/base/units.h"
#include "tests/viz/table/invented_comparison.h"
#include "viz/table/cautions.h"

namespace leverwright::table {
namespace {

using table_test::invented_case;
using table_test::invented_comparison;

const ScrewAdvice& advice_for(const std::vector<ScrewAdvice>& all, action::Screw screw) {
  for (const auto& a : all)
    if (a.screw == action::kScrewNames[static_cast<std::size_t>(screw)]) return a;
  ADD_FAILURE() << "no such screw";
  return all.front();
}

TEST(Screws, SayDirectionTurnsAndThread) {
  study::SetUpResult s = std::move(invented_comparison(1, false).set_ups[1]);
  s.turns[action::kCapstan] = -0.85;
  s.turns[action::kLetOffButton] = 1.5;
  s.thread_left[action::kLetOffButton] = -0.4e-3;
  s.turns[action::kDropScrew] = 0.09;
  s.turns[action::kFrontPunching] = 0.8;
  s.design.screws[action::kFrontPunching].pitch = 0.1e-3;
  const auto all = find_screw_advice(s);
  ASSERT_EQ(all.size(), static_cast<std::size_t>(action::kScrewCount));
  const ScrewAdvice capstan = advice_for(all, action::kCapstan);
  EXPECT_EQ(capstan.direction, "down");
  EXPECT_EQ(capstan.amount, "0.85 turn (0.68 mm)");
  EXPECT_EQ(capstan.left, "3.1 mm of thread left");
  EXPECT_EQ(advice_for(all, action::kLetOffButton).amount, "1.50 turns (1.20 mm)");
  EXPECT_EQ(advice_for(all, action::kLetOffButton).left, "NO THREAD LEFT: 0.4 mm short");
  EXPECT_TRUE(advice_for(all, action::kDropScrew).leave) << "nothing under a tenth of a turn";
  EXPECT_EQ(advice_for(all, action::kFrontPunching).direction, "add paper");
  EXPECT_EQ(advice_for(all, action::kFrontPunching).amount, "0.08 mm");
  EXPECT_EQ(advice_for(all, action::kFrontPunching).left, "");
}

TEST(Leads, FrontWeightFollowsFromTheMoment) {
  study::SetUpResult s = std::move(invented_comparison(1, false).set_ups[1]);
  s.lead_mass = -3.2e-3;
  s.lead_distance = 0.148;
  EXPECT_EQ(lead_words(s), "take out 3 g at 148 mm");
  // 3.2 g at 148 mm weigh 3.2 * 148 / 246.1 gf at the playing point.
  EXPECT_NEAR((front_weight_with_lead(s) - s.design.front_weight) / base::kGramForce, -3.2 * 148 / 246.1,
              1e-9);
  s.lead_mass = 14e-3;
  EXPECT_EQ(lead_words(s), "add one 14 g lead at 148 mm");
  s.lead_mass = 24e-3;
  EXPECT_EQ(lead_words(s), "add two 12 g leads at 148 mm");
  s.lead_mass = 0.2e-3;
  EXPECT_EQ(lead_words(s), "none needed");
}

TEST(KeyHeight, IsUnchangedUnderTwoHundredths) {
  study::SetUpResult s;
  s.key_height_change = -0.019e-3;
  EXPECT_EQ(key_height_words(s), "unchanged");
  s.key_height_change = -0.021e-3;
  EXPECT_EQ(key_height_words(s), "0.02 mm lower");
  s.key_height_change = 0.31e-3;
  EXPECT_EQ(key_height_words(s), "0.31 mm higher");
}

TEST(Bench, MarksWhatCannotBeTakenBack) {
  const auto d = invented_case(3);
  const study::Comparison c = invented_comparison(3, true);
  const std::string text = write_bench(d, c, {});
  EXPECT_NE(text.find("capstan relocated  [NOT REVERSIBLE]"), std::string::npos) << text;
  EXPECT_NE(text.find("strip under the cloth  [undone in minutes]"), std::string::npos);
  EXPECT_NE(text.find("centres eased  [undone with work or parts]"), std::string::npos);
  EXPECT_NE(text.find("88 holes"), std::string::npos) << "the usual worry stands beside the move";
}

TEST(Bench, ASetUpIsAsReversibleAsItsWorstChange) {
  case_file::SetUp s;
  EXPECT_EQ(reversible(s), "yes");
  for (const char* kind : {"cap", "lead", "heel re-glued", "assist spring"}) {
    s.changes.emplace_back();
    s.changes.back().remedy = remedies::find(kind);
  }
  EXPECT_EQ(reversible(s), "no");
  s.changes.erase(s.changes.begin() + 2);
  EXPECT_EQ(reversible(s), "partly");
}

TEST(Bench, TellsWhenLeadsPassTheLimit) {
  auto d = invented_case(1);
  study::Comparison c = invented_comparison(1, true);
  c.set_ups[1].lead_mass = 5e-3;
  c.set_ups[1].lead_distance = 0.148;
  case_file::Quantity limit;
  limit.value = front_weight_with_lead(c.set_ups[1]) - 0.5 * base::kGramForce;
  d.quantities["targets.front_weight_limit"] = limit;
  EXPECT_NE(write_bench(d, c, {}).find("over the front weight limit"), std::string::npos);
  d.quantities["targets.front_weight_limit"].value += base::kGramForce;
  EXPECT_EQ(write_bench(d, c, {}).find("over the front weight limit"), std::string::npos);
}

TEST(Cautions, EveryKindOfChangeHasItsUsualWorry) {
  for (const auto* remedy : remedies::all()) EXPECT_FALSE(remedy->row.worry.empty()) << remedy->row.kind;
}

TEST(Cautions, AreThereForEveryHazardOfARemedy) {
  std::set<std::string> known;
  for (const auto& caution : all_cautions()) known.insert(caution.about);
  for (const auto* remedy : remedies::all())
    for (const auto& hazard : remedy->row.hazards) EXPECT_EQ(known.count(hazard), 1u) << hazard;
}

TEST(Cautions, EveryIrreversibleKindIsWarnedOf) {
  for (const auto* remedy : remedies::all()) {
    const case_file::RemedyRow& kind = remedy->row;
    bool warned = false;
    for (const auto& caution : find_cautions({remedy})) warned |= caution.about == "no way back";
    EXPECT_EQ(warned, kind.reversible == "no") << kind.kind;
  }
}

TEST(Cautions, FollowTheWorkAndKeepWhatIsAlwaysSaid) {
  const auto abouts = [](const case_file::RemedyList& list) {
    std::set<std::string> out;
    for (const auto& c : find_cautions(list)) out.insert(c.about);
    return out;
  };
  const auto none = abouts({}), drilling = abouts({&remedies::capstan_moved()}),
             leads = abouts({&remedies::lead()});
  for (const char* always : {"trial note first", "what the model cannot see", "lifting the action",
                             "old and valuable instruments"})
    EXPECT_EQ(none.count(always), 1u) << always;
  EXPECT_EQ(none.count("drilling") + none.count("key leads"), 0u);
  EXPECT_EQ(drilling.count("drilling"), 1u);
  EXPECT_EQ(leads.count("key leads"), 1u);
  EXPECT_EQ(leads.count("drilling"), 1u) << "a lead needs its hole";
  EXPECT_EQ(none.count("springs"), 1u) << "regulating unhooks them";
  const auto glued = abouts({&remedies::heel_re_glued()});
  EXPECT_EQ(glued.count("saw and knife") + glued.count("heat and steam"), 2u);
}

TEST(Cautions, AdvisedLeadsBringTheirCaution) {
  const auto d = invented_case(2);
  study::Comparison c = invented_comparison(2, false);
  const auto has_leads = [&] {
    const auto list = remedies_of(d, c);
    return std::find(list.begin(), list.end(), &remedies::lead()) != list.end();
  };
  EXPECT_FALSE(has_leads());
  c.set_ups[2].lead_mass = -4e-3;
  EXPECT_TRUE(has_leads());
}

}  // namespace
}  // namespace leverwright::table
