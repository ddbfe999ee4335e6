// What can go wrong with a stroke is recognised and named; what cannot be regulated by playing is said, with
// what would have to give.
#include <gtest/gtest.h>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

using Faults = std::vector<Fault>;

// The note as found with some screws turned, pressed with a force; on a stiff stop or on a string that
// yields.
StrokeResult press(double force, const std::map<int, double>& turned = {}, double duration = 0.7,
                   bool string_yields = false) {
  const Played& base = played_as_found();
  Played p;
  p.design = base.design;
  p.design.options.on[kCompliantString] = string_yields;
  ScrewSettings screws = base.regulated.screws;
  for (const auto& [screw, by] : turned) screws[at(screw)] += by;
  p.action = assemble(p.design, screws);
  p.rest = find_rest(p.action);
  EXPECT_FALSE(p.rest.state.empty());
  PressedTouch touch;
  touch.plateau = force;
  PlayOptions o;
  o.duration = duration;
  StrokeResult r = play_touch(p, touch, o);
  EXPECT_EQ(r.stopped, "");
  return r;
}

TEST(Faults, ARegulatedActionHasNone) { EXPECT_EQ(press(3.8).faults, Faults{}); }

TEST(Faults, AStrokeThatGoesThroughTheClothIsStoppedAndNamed) {
  const Played& base = played_as_found();
  Played p;
  p.design = base.design;
  p.design.heel_cloth_thickness = 0.15e-3;  // 0.3 mm to squeeze with what lies under it
  p.action = assemble(p.design, base.regulated.screws);
  p.rest = find_rest(p.action);
  PressedTouch touch;
  touch.plateau = 3.8;
  const StrokeResult r = play_touch(p, touch);
  EXPECT_NE(r.stopped.find("squeezed by more than the 0.3 mm"), std::string::npos) << r.stopped;
  EXPECT_NE(r.stopped.find("capstan on heel cloth"), std::string::npos) << r.stopped;
  EXPECT_FALSE(r.happened(kStringContact));
  EXPECT_GT(r.series.time.size(), 3u) << "what was recorded before is kept";
}

TEST(Faults, AForceTooSmallToPlayTheNote) {
  const StrokeResult r = press(0.3);  // 31 gf, less than the down weight
  EXPECT_EQ(r.faults, (Faults{Fault::kNoLetOff, Fault::kNoString, Fault::kNoBottom}));
  EXPECT_NE(r.measures.hammer_speed, r.measures.hammer_speed) << "a number that is none";
  EXPECT_FALSE(r.happened(kStringContact));
  EXPECT_GT(r.measures.peak_force, 0.29);
}

TEST(Faults, ABlowTooSoftToBeCaughtBobbles) {
  // Below some 0.9 m/s the check may rightly not catch.
  const StrokeResult r = press(0.62);
  EXPECT_LT(r.measures.hammer_speed, 0.6);
  EXPECT_EQ(r.faults, (Faults{Fault::kFailedCheck, Fault::kBobbling}));
  EXPECT_NE(r.measures.check_distance, r.measures.check_distance);
}

TEST(Faults, WithoutACheckTheHammerComesBackUp) {
  // A stiff stop leaves a felt of three strings 0.4 of the speed, too little to come up again; a string 0.6.
  const StrokeResult r = press(3.8, {{kBackCheck, -6e-3}}, 0.7, true);
  EXPECT_TRUE(r.has(Fault::kFailedCheck));
  EXPECT_TRUE(r.has(Fault::kDoubleHit));
  EXPECT_TRUE(r.has(Fault::kBobbling));
  EXPECT_FALSE(r.has(Fault::kBlockedHammer));
  EXPECT_FALSE(r.happened(kCheck));
}

TEST(Faults, ALetOffButtonTooHighBlocksTheHammerOnTheString) {
  const StrokeResult r = press(3.8, {{kLetOffButton, 2e-3}});
  EXPECT_TRUE(r.has(Fault::kNoLetOff));
  EXPECT_TRUE(r.has(Fault::kBlockedHammer));
  EXPECT_FALSE(r.has(Fault::kCheatingJack));
}

TEST(Faults, AJackThatStandsTooFarOutCheats) {
  const StrokeResult partly = press(3.8, {{kJackStop, 0.85e-3}});
  EXPECT_TRUE(partly.has(Fault::kCheatingJack));
  EXPECT_LT(partly.measures.hammer_speed, 0.95 * press(3.8).measures.hammer_speed);
  const StrokeResult wholly = press(3.8, {{kJackStop, 2e-3}});
  EXPECT_TRUE(wholly.has(Fault::kCheatingJack));
  EXPECT_TRUE(wholly.has(Fault::kNoString));
  EXPECT_FALSE(press(3.8, {{kJackStop, 0.5e-3}}).has(Fault::kCheatingJack));
}

TEST(Faults, AStrokeThatEndsBeforeTheJackIsBack) {
  EXPECT_EQ(press(3.8, {}, 0.41).faults, Faults{Fault::kNoReset});
  EXPECT_EQ(press(3.8, {}, 0.39).faults, Faults{}) << "not released yet: nothing to reset";
}

TEST(Faults, EveryFaultHasANameOfItsOwn) {
  std::map<std::string, int> names;
  for (int f = 0; f < kFaultCount; ++f) ++names[name_of(static_cast<Fault>(f))];
  EXPECT_EQ(names.size(), static_cast<std::size_t>(kFaultCount));
  EXPECT_EQ(names.count(""), 0u);
}

PlayedRegulation regulate_with(const std::function<void(ActionDesign&)>& change) {
  ActionDesign d = played_as_found().design;
  change(d);
  Regulated r = played_as_found().regulated;
  return regulate_by_playing(d, r);
}

void expect_failure(const PlayedRegulation& r, const std::string& requirement, double wanted) {
  EXPECT_FALSE(r.ok);
  ASSERT_EQ(r.failures.size(), 1u);
  EXPECT_NE(r.failures[0].requirement.find(requirement), std::string::npos) << r.failures[0].requirement;
  EXPECT_NEAR(r.failures[0].wanted, wanted, 1e-9);
  EXPECT_NE(r.failures[0].best, r.failures[0].wanted);
  EXPECT_GT(r.failures[0].advice.size(), 20u);
}

TEST(RegulationByPlaying, SaysWhichRequirementFailsAndWhatWouldHaveToGive) {
  expect_failure(regulate_with([](ActionDesign& d) { d.check_blow = 60; }), "check blow", 60);
  expect_failure(regulate_with([](ActionDesign& d) { d.checking = 1e-3; }), "check height", 1e-3);
  expect_failure(regulate_with([](ActionDesign& d) {
                   d.spring_rise_low = 1.5;
                   d.spring_rise_high = 2;
                 }),
                 "repetition spring", std::sqrt(1.5 * 2));
  // A tail too smooth to be held.
  expect_failure(regulate_with([](ActionDesign& d) {
                   d.laws[kTailCheck].friction = planar::DryFriction(0.02, 0.5, 2.5, 5e-6, 1e-3);
                 }),
                 "check height", played_as_found().design.checking);
}

TEST(RegulationByPlaying, AHammerSpeedOutOfReachIsNotFound) {
  const Played& p = played_as_found();
  const FoundTouch f = find_pressed_touch(p.action, p.rest, 25);
  EXPECT_FALSE(f.found);
  EXPECT_LT(f.hammer_speed, 15);
  EXPECT_GT(f.advice.size(), 20u);
}

}  // namespace
}  // namespace leverwright::action
