// Touches p, mf and f of the demo's note as found: solved to their hammer speed, let off, struck, checked and
// reset; energy; how sure the hammer's speed is.
#include <gtest/gtest.h>

#include <cstring>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

class Touched : public ::testing::TestWithParam<const char*> {
 protected:
  const FoundTouch& found() const { return touch_as_found(GetParam()); }
  double wanted() const { return demo_case().value(std::string("touches.") + GetParam()); }
};
INSTANTIATE_TEST_SUITE_P(Touches, Touched, ::testing::Values("p", "mf", "f"),
                         [](const auto& touch) { return std::string(touch.param); });

TEST(Regulation, ByPlayingSucceedsOnTheNoteAsFound) {
  const Played& p = played_as_found();
  for (const auto& f : p.by_playing.failures) ADD_FAILURE() << f.requirement << ": " << f.advice;
  EXPECT_TRUE(p.by_playing.ok);
  EXPECT_NEAR(p.by_playing.checking, p.design.checking, 0.15e-3);
  EXPECT_GE(p.by_playing.rise_speed, p.design.spring_rise_low);
  EXPECT_LE(p.by_playing.rise_speed, p.design.spring_rise_high);
  EXPECT_LT(p.by_playing.strokes, 60);
}

TEST(Regulation, TouchesAreThoseOfTheCase) {
  EXPECT_EQ(demo_case().value("touches.p"), 1.0);  // Askenfelt & Jansson, The Acoustics of the Piano, KTH
  EXPECT_EQ(demo_case().value("touches.mf"), 2.0);
  EXPECT_NEAR(demo_case().value("touches.f"), 4.5, 1e-12);
}

TEST_P(Touched, ReachesItsHammerSpeedAndRunsThroughTheWholeKeystroke) {
  ASSERT_TRUE(found().found) << found().advice;
  EXPECT_NEAR(found().hammer_speed / wanted(), 1, 1e-3);
  EXPECT_LE(found().strokes, 15);
  PlayOptions o;
  o.duration = 1.2;  // until all lies still again
  const StrokeResult r = play_touch(played_as_found(), found().touch, o);
  EXPECT_EQ(r.stopped, "");
  for (const Fault f : r.faults) ADD_FAILURE() << name_of(f);
  EXPECT_NEAR(r.measures.hammer_speed / found().hammer_speed, 1, 1e-4) << "sought and played alike";
  for (int e = 0; e < kStrokeEventCount; ++e)
    ASSERT_TRUE(r.happened(static_cast<StrokeEvent>(e))) << kStrokeEventNames[at(e)];
  // What must come before what.
  const auto before = [&](StrokeEvent a, StrokeEvent b) {
    EXPECT_LT(r.event[a], r.event[b]) << kStrokeEventNames[at(a)] << ", " << kStrokeEventNames[at(b)];
  };
  before(kKeyStart, kTenderMeetsButton);
  before(kTenderMeetsButton, kJackTrips);
  before(kTenderMeetsButton, kJackClear);
  before(kJackTrips, kStringContact);
  before(kStringContact, kStringLeft);
  before(kStringLeft, kCheck);
  before(kKeyStart, kKeyBottom);
  before(kKeyBottom, kCheck);
  before(kCheck, kJackReset);
  before(kJackReset, kKeyBack);
  EXPECT_LT(r.event[kCheck], 0.4) << "before the release";
  EXPECT_GT(r.event[kJackReset], 0.4) << "after it";
  // Caught near where the check was set (by a blow of its own).
  EXPECT_NEAR(r.measures.check_distance, played_as_found().design.checking, 3e-3);
  EXPECT_GT(r.measures.rebound_speed, 0.2 * wanted());
  EXPECT_LT(r.measures.rebound_speed, wanted());
  // At the end everything lies still, nearly as it lay: friction in the centres of lever and hammer may hold
  // the lever some tenths of a millimetre short of its stop, and the hammer by five times that.
  const Action& a = played_as_found().action;
  for (int i = 0; i < a.mechanism.n(); ++i)
    EXPECT_LT(std::abs(r.end_state[at(a.mechanism.at_v(i))]), 0.01) << "rad/s, " << kBodyNames[at(i)];
  EXPECT_NEAR(r.series.dip.back(), 0, 0.1e-3);
  EXPECT_NEAR(r.series.string_gap.back(), played_as_found().regulated.blow, 1.5e-3);
}

// Each loss from its own force and speed, each store by its own formula; nothing is a remainder.
TEST_P(Touched, EnergyAuditIsBelowATenThousandthOfTheWork) {
  const StrokeResult r = play_touch(played_as_found(), found().touch);
  const run::EnergyAudit& a = r.audit;
  RecordProperty("audit", std::to_string(a.error()));
  EXPECT_LT(std::abs(a.error()), 1e-4);
  EXPECT_GT(a.most_work, 0.5 * played_as_found().design.masses[kHammer].mass * wanted() * wanted())
      << "more than the hammer's share";
  EXPECT_GT(a.losses + r.series.strings.back(), 0.9 * a.work)
      << "all but what the lifted parts hold and the string still swings with is gone by the end";
  EXPECT_GE(a.least_loss_rate, -1e-9) << "no loss gives energy back";
  // The series tell the same: at every sample.
  const StrokeSeries& s = r.series;
  const auto stored = [&](std::size_t k) {
    return s.kinetic[k] + s.gravity[k] + s.springs[k] + s.cloth[k] + s.bristles[k] + s.pivots[k] +
           s.strings[k];
  };
  for (std::size_t k = 0; k < s.time.size(); ++k) {
    double losses = 0;
    for (const auto& row : s.losses) losses += row[k];
    ASSERT_NEAR(stored(k) - stored(0) + losses, s.work[k], 1e-4 * a.most_work) << s.time[k];
  }
  // And the work is the finger's force along the key's way.
  double work = 0;
  for (std::size_t k = 1; k < s.time.size(); ++k)
    work += 0.5 * (s.finger_force[k] + s.finger_force[k - 1]) * (s.dip[k] - s.dip[k - 1]);
  EXPECT_NEAR(work, s.work.back(), 2e-3 * a.most_work);
}

TEST_P(Touched, HammerSpeedStandsAgainstAHundredTimesFiner) {
  PlayOptions o;
  o.stop_at_string = true;
  o.stroke.output_interval = 0;
  const double usual = play_touch(played_as_found(), found().touch, o).measures.hammer_speed;
  o.stroke.tolerance = 0.01;
  const double fine = play_touch(played_as_found(), found().touch, o).measures.hammer_speed;
  RecordProperty("difference", std::to_string(usual / fine - 1));
  EXPECT_NEAR(usual / fine, 1, 5e-4);
  EXPECT_NE(usual, fine);
}

// Up to the string no impact magnifies what a step got wrong: a finer tolerance brings every event nearer.
TEST_P(Touched, TimesOfTheEventsConverge) {
  const auto events = [&](double tolerance) {
    PlayOptions o;
    o.stop_at_string = true;
    o.stroke.output_interval = 0;
    o.stroke.tolerance = tolerance;
    return play_touch(played_as_found(), found().touch, o).event;
  };
  const auto fine = events(1e-3);
  const auto error = [&](double tolerance) {
    const auto e = events(tolerance);
    double worst = 0;
    for (int k = kKeyStart; k <= kStringContact; ++k)
      worst = std::max(worst, std::abs(e[at(k)] - fine[at(k)]));
    return worst;
  };
  const double coarse = error(100), usual = error(1), finer = error(0.01);
  EXPECT_LT(coarse, 100e-6);
  EXPECT_LT(usual, 3e-6);
  EXPECT_LT(finer, 0.3e-6);
  EXPECT_LT(usual, 0.3 * coarse);
  EXPECT_LT(finer, 0.3 * usual);
}

bool same_bits(const double* a, const double* b, std::size_t n) {
  return std::memcmp(a, b, n * sizeof(double)) == 0;
}

TEST_P(Touched, OutputIntervalChangesNotABit) {
  PlayOptions o;
  const StrokeResult base = play_touch(played_as_found(), found().touch, o);
  for (const double interval : {0.0, 1.3e-3, 1e-4}) {
    o.stroke.output_interval = interval;
    const StrokeResult r = play_touch(played_as_found(), found().touch, o);
    EXPECT_TRUE(same_bits(r.event.data(), base.event.data(), r.event.size())) << interval;
    ASSERT_EQ(r.end_state.size(), base.end_state.size());
    EXPECT_TRUE(same_bits(r.end_state.data(), base.end_state.data(), r.end_state.size())) << interval;
    EXPECT_EQ(r.measures.hammer_speed, base.measures.hammer_speed);
    EXPECT_EQ(r.measures.peak_force, base.measures.peak_force);
    EXPECT_EQ(r.peak_normal, base.peak_normal);
    EXPECT_EQ(r.audit.losses, base.audit.losses);
  }
}

// Regulation, by measure and by playing, is one answer, not a place where the search happened to stop. (The
// check may end up some hundredths of a millimetre apart, its tolerance; that does not reach the hammer.)
TEST(Start, OtherScrewSettingsEndInTheSameAction) {
  const Played& base = played_as_found();
  const Weighing weighed = weigh(base.action, base.regulated);
  PlayOptions o;
  o.stop_at_string = true;
  o.stroke.output_interval = 0;
  const ScrewSettings starts[] = {{0.4e-3, 0.3e-3, -0.5e-3, 0.4e-3, -0.2e-3, 0.3e-3, 0.5e-3, 4e-3},
                                  {-0.5e-3, -0.4e-3, 0.4e-3, -0.3e-3, 0.25e-3, -0.2e-3, -0.6e-3, -3e-3}};
  for (const ScrewSettings& start : starts) {
    const Played other = regulate_and_play(design_with({}), start);
    ASSERT_TRUE(other.by_playing.ok);
    const Weighing w = weigh(other.action, other.regulated);
    EXPECT_NEAR(w.down_weight / kGf, weighed.down_weight / kGf, 0.05);
    EXPECT_NEAR(w.up_weight / kGf, weighed.up_weight / kGf, 0.05);
    for (int screw : {kCapstan, kFrontPunching, kLetOffButton, kDropScrew, kJackStop, kLeverStop})
      EXPECT_NEAR(other.regulated.screws[at(screw)], base.regulated.screws[at(screw)], 2e-6)
          << kScrewNames[at(screw)];
    for (const char* name : {"p", "mf", "f"}) {
      const PressedTouch& touch = touch_as_found(name).touch;
      const double speed = play_touch(other, touch, o).measures.hammer_speed;
      EXPECT_NEAR(speed / play_touch(base, touch, o).measures.hammer_speed, 1, 5e-4) << name;
    }
  }
}

// D and U: the dip's step and the solver's tolerance are all there is to refine.
TEST(Start, WeightsStandAgainstAFinerPath) {
  const Played& p = played_as_found();
  const Weighing usual = weigh(p.action, p.regulated);
  WeighOptions o;
  o.step /= 16;
  const Weighing fine = weigh(p.action, p.regulated, o);
  EXPECT_NEAR(usual.down_weight / kGf, fine.down_weight / kGf, 0.05);
  EXPECT_NEAR(usual.up_weight / kGf, fine.up_weight / kGf, 0.05);
}

}  // namespace
}  // namespace leverwright::action
