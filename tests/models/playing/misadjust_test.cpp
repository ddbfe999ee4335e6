// misadjustment: settings read as they stand, and settings that do what a technician knows they do.
#include "models/playing/misadjust.h"

#include <gtest/gtest.h>

#include <cmath>

#include "models/action/as_set.h"
#include "models/remedies/read_case.h"

namespace leverwright::playing {
namespace {

struct Demo {
  case_file::CaseDescription description = remedies::read_case("cases/missed_heel/case.toml");
  study::SetUpResult set_up;
  Misadjustment found;
  Demo() {
    description.set_ups.resize(1);
    study::CompareOptions options;
    options.uncertainty = false;
    set_up = std::move(study::compare(description, options).set_ups.front());
    MisadjustOptions o;
    o.amounts = {0.2e-3};
    o.repetition = false;
    o.threads = 2;
    found = find_misadjustment(description, set_up, o);
  }
  double change(int screw, double moved, MisadjustMeasure k) const {
    const MisadjustRow* r = found.find(screw, moved);
    return r ? r->values[k] - found.rows.front().values[k] : std::nan("");
  }
};
const Demo& demo() {
  static const Demo d;
  return d;
}

TEST(AsSet, ReadsBackWhatRegulationSolved) {
  const action::Regulated& r = demo().set_up.regulated;
  const action::Regulated a = action::read_as_set(demo().set_up.design, r.screws);
  ASSERT_TRUE(a.ok);
  EXPECT_NEAR(a.dip, r.dip, 1e-7);
  EXPECT_NEAR(a.blow, r.blow, 1e-7);
  EXPECT_NEAR(a.dip_let_off, r.dip_let_off, 2e-6);
  EXPECT_NEAR(a.let_off, r.let_off, 2e-6);
  EXPECT_NEAR(a.drop, r.drop, 5e-6);
  EXPECT_NEAR(a.aftertouch, r.aftertouch, 2e-6);
}

TEST(Misadjust, EachSettingDoesWhatATechnicianKnows) {
  const Demo& d = demo();
  ASSERT_TRUE(d.found.complete);
  ASSERT_EQ(d.found.rows.size(), 1u + 2u * action::kScrewCount);
  const double step = 0.2e-3;
  // The first row is what compare had: same weights (at a coarser step), same hammer.
  EXPECT_NEAR(d.found.rows.front().values[kMisDownWeight], d.set_up.measures[study::kDownWeight],
              0.3 * 9.80665e-3);
  EXPECT_NEAR(d.found.rows.front().values[kMisSpeedP], d.description.value("touches.p"), 2e-3);
  // Paper under the key's front takes dip and aftertouch alike, and nothing else.
  EXPECT_NEAR(d.change(action::kFrontPunching, step, kMisDip),
              d.change(action::kFrontPunching, step, kMisAftertouch), 1e-6);
  EXPECT_NEAR(d.change(action::kFrontPunching, step, kMisDip), -step, 0.1 * step);
  EXPECT_NEAR(d.change(action::kFrontPunching, step, kMisDownWeight), 0, 0.15 * 9.80665e-3);
  // A capstan up shortens the blow by the hammer's leverage over the capstan's, some ten times.
  EXPECT_LT(d.change(action::kCapstan, step, kMisBlow), -8 * step);
  EXPECT_GT(d.change(action::kCapstan, step, kMisAftertouch), 0);
  EXPECT_LT(d.change(action::kCapstan, step, kMisSpeedMf), 0) << "a shorter way for the hammer";
  // The button up lets off later and nearer to the string; what is gained in let-off is lost in drop.
  EXPECT_LT(d.change(action::kLetOffButton, step, kMisLetOff), -2 * step);
  EXPECT_LT(d.change(action::kLetOffButton, step, kMisAftertouch), 0);
  EXPECT_GT(d.change(action::kLetOffButton, -step, kMisLetOff), 2 * step);
  EXPECT_GT(d.change(action::kDropScrew, -step, kMisDrop), 2 * step) << "a lower drop screw: more drop";
  EXPECT_NEAR(d.change(action::kDropScrew, -step, kMisLetOff), 0, 1e-5);
  // The check nearer to the player catches higher.
  EXPECT_LT(d.change(action::kBackCheck, step, kMisCheckDistance), -0.5e-3);
  EXPECT_GT(d.change(action::kBackCheck, -step, kMisCheckDistance), 0.5e-3);
  EXPECT_NEAR(d.change(action::kBackCheck, step, kMisDownWeight), 0, 1e-6) << "it is not touched on the way";
  for (const auto& r : d.found.rows) EXPECT_TRUE(std::isnan(r.values[kMisRepetition]));
}

TEST(Misadjust, AButtonFarTooHighBlocksOrBobblesAndAStopKeepsWhatIsFinished) {
  const Demo& d = demo();
  MisadjustOptions o;
  o.amounts = {1e-3};  // half of it is still caught: a string throws the hammer back
  o.repetition = false;
  const Misadjustment far = find_misadjustment(d.description, d.set_up, o);
  ASSERT_TRUE(far.complete);
  EXPECT_TRUE(far.rows.front().faults.empty());
  EXPECT_FALSE(far.find(action::kLetOffButton, 1e-3)->faults.empty());
  EXPECT_TRUE(far.missing.empty());
  EXPECT_EQ(missing_words(far), "");
  // Stopped as the third row is finished; one after another, so that it is known which.
  int calls = 0;
  o.threads = 1;
  o.progress = [&](double) { return ++calls < 4; };
  const Misadjustment some = find_misadjustment(d.description, d.set_up, o);
  EXPECT_FALSE(some.complete);
  ASSERT_EQ(some.rows.size(), 3u);
  EXPECT_EQ(some.missing.size(), far.rows.size() - 3);
  EXPECT_EQ(some.rows.front().screw, -1);
  for (const MisadjustRow& r : some.rows) {
    const MisadjustRow* whole = far.find(r.screw, r.moved);
    ASSERT_NE(whole, nullptr);
    EXPECT_EQ(r.values[kMisBlow], whole->values[kMisBlow]) << r.words;
    EXPECT_EQ(r.values[kMisSpeedMf], whole->values[kMisSpeedMf]) << r.words;
  }
  EXPECT_NE(missing_words(some).find("repetition spring: every amount"), std::string::npos)
      << missing_words(some);
  calls = 3;
  const Misadjustment none = find_misadjustment(d.description, d.set_up, o);
  EXPECT_TRUE(none.rows.empty()) << "nothing to tell changes against";
  EXPECT_EQ(none.missing.size(), far.rows.size());
}

}  // namespace
}  // namespace leverwright::playing
