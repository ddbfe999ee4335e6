// Regulation: what it promises is so on the path, whatever the screws stood at and whoever was regulated
// before.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

// The specification re-measured on the finished action by code of this test.
void expect_specification(const ActionDesign& d, const Regulated& r) {
  const Action a = assemble(d, r.screws);
  run::StaticSolver solver(a.mechanism, kKey, a.playing_point, false);
  run::StaticState state = solver.initial(a.q_drawn);
  ASSERT_TRUE(solver.settle_free(state));
  const double rest = solver.travel_of(state.q[kKey]);
  EXPECT_NEAR(a.string_gap(state.q), r.blow, 2e-6);
  EXPECT_NEAR(a.jack_clearance(state.q), d.jack_clearance, 2e-6);
  EXPECT_NEAR(a.jack_offset(state.q), 0, 2e-6);
  // Down the path in fine steps: the first minimum of the gap after the tender's contact, the first maximum
  // after that.
  const auto button = static_cast<std::size_t>(a.contact[kTenderButton]);
  const auto punching = static_cast<std::size_t>(a.contact[kKeyFrontPunching]);
  double last = 1, lowest = 1, dip_lowest = 0, drop = -1, dip_carried = 0;
  bool met = false, falling = false;
  for (double dip = 0; dip < r.dip + 0.05e-3 && dip_carried == 0; dip += 5e-6) {
    ASSERT_TRUE(solver.settle(solver.driven_for(rest + dip), state));
    const auto s = solver.sample(state, state);
    met = met || s.normal[button] > 0;
    const double gap = a.string_gap(state.q);
    if (met && !falling && gap < lowest) {
      lowest = gap;
      dip_lowest = dip;
    }
    if (met && !falling && gap > lowest + 0.05e-3) falling = true;
    if (falling && drop < 0 && gap < last - 1e-7) drop = last - lowest;
    last = gap;
    if (s.normal[punching] >= d.dip_force) dip_carried = dip;
  }
  if (drop < 0) drop = last - lowest;  // still falling at the bottom
  EXPECT_NEAR(lowest, d.let_off, 15e-6);
  EXPECT_NEAR(dip_lowest, r.dip_let_off, 25e-6);
  EXPECT_NEAR(drop, d.drop, 60e-6);
  EXPECT_NEAR(dip_carried, r.dip, 12e-6);
}

TEST(Regulation, MeetsItsSpecificationUnderEveryPolicy) {
  for (const std::string policy :
       {"keep dip and blow", "keep blow and aftertouch", "keep dip and aftertouch"}) {
    SCOPED_TRACE(policy);
    ActionDesign d = design_with({});
    const Regulated r = regulate(d, {}, policy);
    ASSERT_TRUE(r.ok) << (r.failures.empty() ? "" : r.failures[0].requirement);
    expect_specification(d, r);
    if (policy != "keep dip and aftertouch") {
      EXPECT_NEAR(r.blow, d.blow, 2e-6);
    }
    if (policy != "keep blow and aftertouch") {
      EXPECT_NEAR(r.dip, d.dip, 2e-6);
    }
    if (policy != "keep dip and blow") {
      EXPECT_NEAR(r.aftertouch, d.aftertouch, 3e-6);
    }
  }
}

TEST(Regulation, DoesNotDependOnWhereTheScrewsStood) {
  ActionDesign d = design_with({});
  const Prepared& base = as_found();
  std::mt19937 engine(5);
  std::uniform_real_distribution<double> turn(-0.8e-3, 0.8e-3);
  for (int k = 0; k < 6; ++k) {
    ScrewSettings start = {};
    for (const int s : {kCapstan, kLetOffButton, kDropScrew, kJackStop, kLeverStop})
      start[static_cast<std::size_t>(s)] = turn(engine);
    const Prepared p = prepare(d, true, start);
    ASSERT_TRUE(p.regulated.ok) << "start " << k << ": "
                                << (p.regulated.failures.empty() ? "" : p.regulated.failures[0].requirement);
    for (std::size_t s = 0; s < kScrewCount; ++s)
      EXPECT_NEAR(p.regulated.screws[s], base.regulated.screws[s], 1e-6) << kScrewNames[s];
    EXPECT_NEAR(p.down(), base.down(), 0.05);
    EXPECT_NEAR(p.up(), base.up(), 0.05);
  }
}

TEST(Regulation, DoesNotDependOnWhoWasRegulatedBefore) {
  const auto moved = [] {
    return prepare(
        {make_change("capstan moved", {{"distance", 3e-3}}, {{"direction", "toward the balance rail"}})});
  };
  const Prepared first = moved(), between = prepare(design_with({})), again = moved();
  EXPECT_EQ(first.regulated.screws, again.regulated.screws);
  EXPECT_EQ(first.weighing.down_weight, again.weighing.down_weight);
  EXPECT_EQ(between.weighing.down_weight, as_found().weighing.down_weight);
}

TEST(Regulation, SaysWhichRequirementFails) {
  ActionDesign d = design_with({});
  d.blow = 62e-3;  // the hammer cannot come near the string within the key's travel
  const Regulated r = regulate(d, {}, "keep dip and blow");
  EXPECT_FALSE(r.ok);
  ASSERT_FALSE(r.failures.empty());
  EXPECT_FALSE(r.failures.front().requirement.empty());
  EXPECT_FALSE(r.failures.front().advice.empty());
}

TEST(Regulation, MovedCapstanGivesDipBlowOrAftertouch) {
  const auto change =
      make_change("capstan moved", {{"distance", 3e-3}}, {{"direction", "toward the balance rail"}});
  const Prepared& base = as_found();
  ActionDesign d = design_with({change});
  const Regulated after = regulate(d, {}, "keep dip and blow"),
                  dip = regulate(d, {}, "keep blow and aftertouch"),
                  blow = regulate(d, {}, "keep dip and aftertouch");
  ActionDesign b = design_with({});
  const Regulated base_dip = regulate(b, {}, "keep blow and aftertouch"),
                  base_blow = regulate(b, {}, "keep dip and aftertouch");
  EXPECT_LT(after.aftertouch, base.regulated.aftertouch - 0.2e-3);
  EXPECT_GT(dip.dip, base_dip.dip + 0.2e-3);
  EXPECT_LT(blow.blow, base_blow.blow - 1e-3);
}

}  // namespace
}  // namespace leverwright::action
