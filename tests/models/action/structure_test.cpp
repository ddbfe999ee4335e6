// What is true of any correct model, on the demo's note.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>
#include <random>

#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

TEST(Structure, DemoNoteRegulatesAndWeighs) {
  const Prepared& p = as_found();
  EXPECT_TRUE(p.regulated.ok);
  ASSERT_TRUE(p.weighing.ok) << p.weighing.failure;
  EXPECT_FALSE(p.weighing.jam.jammed);
  EXPECT_GT(p.down(), p.up());
  EXPECT_NEAR(p.balance(), 0.5 * (p.down() + p.up()), 1e-9);
}

// Bench row E25 in its structural form: the spring is a torque on the key, so both weights fall by its
// strength.
TEST(Structure, AssistSpringLowersDownAndUpWeightAlike) {
  const Prepared& base = as_found();
  const Prepared sprung = prepare({make_change("assist spring", {{"strength", 10 * kGf}})});
  ASSERT_TRUE(sprung.weighing.ok) << sprung.weighing.failure;
  const double down = base.down() - sprung.down(), up = base.up() - sprung.up();
  std::cout << fmt::format("assist spring of 10 gf: D falls by {:.3f}, U by {:.3f} gf\n", down, up);
  EXPECT_NEAR(down, 10, 0.3);
  EXPECT_NEAR(up, 10, 0.3);
  // Not to the last percent: the finger presses less, so the balance pin rubs less.
  EXPECT_NEAR(down, up, 0.01 * down);
  EXPECT_LT(sprung.friction(), base.friction());
  EXPECT_NEAR(sprung.friction(), base.friction(), 0.2);
}

// Bench row E26: five more at the front are five less of balance weight, exactly while the key's centre of
// mass lies level with its pivot.
TEST(Structure, FrontWeightTakesItsOwnAmountOffTheBalanceWeight) {
  const auto with_front = [](double extra, double height) {
    ActionDesign d = design_with({});
    BodyMass& key = d.masses[0];
    key.p_cm.y() = height;
    d.front_weight += extra;
    key.p_cm.x() -= extra * d.key_front_arm / (base::kGravity * key.mass);
    return prepare(d);
  };
  const Prepared plain = with_front(0, 0), heavier = with_front(5 * kGf, 0);
  EXPECT_NEAR(plain.balance() - heavier.balance(), 5, 0.03);
  EXPECT_NEAR(heavier.weighing.weight_ratio, plain.weighing.weight_ratio, 0.004);
  EXPECT_NEAR(heavier.weighing.distance_ratio, plain.weighing.distance_ratio, 1e-3);
  EXPECT_NEAR(heavier.friction(), plain.friction(), 0.1);
  // A centre of mass above the pivot tips as the key goes down: the offset is the same, whatever the front
  // weight.
  const Prepared high = with_front(0, 0.02), high_heavier = with_front(5 * kGf, 0.02);
  EXPECT_NEAR(high.balance() - high_heavier.balance(), 5, 0.05);
  EXPECT_GT(std::abs(high.up() - plain.up()), 0.1);
}

// With the screw where it was drawn the surface is the same, so everything is. Regulated, the screw's own
// travel (0.28 mm) goes along the leant axis: 0.28 mm sin(3 deg) sideways.
TEST(Structure, LeanOfADomeAboutItsOwnCentreChangesNothing) {
  const Prepared& base = as_found();
  const auto lean =
      make_change("capstan lean", {{"angle", 3 * base::kDegree}}, {{"about", "centre of its dome"}});
  ScrewSettings screws = base.regulated.screws;
  screws[kCapstan] = 0;
  const Action upright = assemble(design_with({}), screws), leant = assemble(design_with({lean}), screws);
  run::StaticSolver one(upright.mechanism, kKey, upright.playing_point, false),
      two(leant.mechanism, kKey, leant.playing_point, false);
  run::StaticState a = one.initial(upright.q_drawn), b = two.initial(leant.q_drawn);
  ASSERT_TRUE(one.solve_equilibrium(a) && two.solve_equilibrium(b));
  for (const double travel : {0.5e-3, 2.5e-3, 4.5e-3, 6.5e-3}) {
    ASSERT_TRUE(one.settle(one.driven_for(travel), a) && two.settle(two.driven_for(travel), b));
    EXPECT_NEAR(one.sample(a, a).force, two.sample(b, b).force, 1e-8);
    EXPECT_LT((a.q - b.q).cwiseAbs().maxCoeff(), 1e-9);
  }
  const Prepared regulated = prepare({lean});
  EXPECT_NEAR(regulated.down(), base.down(), 0.05);
  EXPECT_NEAR(regulated.up(), base.up(), 0.05);
  EXPECT_NEAR(regulated.weighing.distance_ratio, base.weighing.distance_ratio, 2e-3);
}

TEST(Structure, LeanAboutTheApexMovesTheContact) {
  const Prepared& base = as_found();
  for (const double degrees : {-4.0, 4.0}) {
    const Prepared leant = prepare({make_change("capstan lean", {{"angle", degrees * base::kDegree}},
                                                {{"about", "middle of its cap (apex kept)"}})},
                                   true);
    ASSERT_TRUE(leant.weighing.ok) << leant.weighing.failure;
    // The dome's centre goes the other way than the top leans: R sin(lean) = 1.4 mm.
    const auto where = [](const Prepared& p) {
      return p.weighing.down[60].contact_points[static_cast<std::size_t>(p.action.contact[kCapstanHeel])].s_b;
    };
    const double moved = where(leant) - where(base);
    EXPECT_LT(moved * degrees, 0);
    EXPECT_GT(std::abs(moved), 0.2e-3);
    EXPECT_GT(std::abs(leant.weighing.distance_ratio - base.weighing.distance_ratio), 0.02);
  }
}

// A heavier hammer adds its weight times the ratio of strike-point to playing-point travel where each weight
// was found (the ratio falls over the stroke; D is found early, U late), and friction rises with the loads.
TEST(Structure, HammerWeightCountsTimesTheRatio) {
  const Prepared& base = as_found();
  const auto ratio_at = [&](double dip) {
    const auto& d = base.weighing.down;
    std::size_t k = 1;
    while (k + 2 < d.size() && d[k].travel < dip) ++k;
    return (base.action.string_gap(d[k - 1].state.q) - base.action.string_gap(d[k + 1].state.q)) /
           (d[k + 1].travel - d[k - 1].travel);
  };
  const double expected =
      0.5 * (ratio_at(base.weighing.dip_of_down_weight) + ratio_at(base.weighing.dip_of_up_weight - 0.1e-3));
  const Prepared heavy = prepare({make_change("hammer weight", {{"amount", 1 * kGf}})});
  EXPECT_NEAR(heavy.balance() - base.balance(), expected, 0.05 * expected);
  EXPECT_GT(heavy.friction(), base.friction());
}

// Friction moves down weight up and up weight down, the balance weight hardly; not by the same amount (loads
// differ).
TEST(Structure, FrictionSpreadsTheWeights) {
  const Prepared& base = as_found();
  const Prepared stiff =
      prepare({make_change("friction", {{"torque", 6 * kGf * 23e-3}}, {{"pivot", "hammer_centre"}})});
  EXPECT_GT(stiff.down(), base.down() + 1);
  EXPECT_LT(stiff.up(), base.up() - 1);
  EXPECT_LT(std::abs(stiff.balance() - base.balance()), 0.25 * (stiff.friction() - base.friction()));
}

// Tight knuckles and centres hold the jack under the knuckle until the key is nearly down; then it snaps out
// and the hammer falls on to the lever, rubbing the other way. The weighing follows it, and what is weighed
// before let-off goes on smoothly.
TEST(Structure, TightKnucklesAndCentresAreWeighedThroughALateSnap) {
  const auto torque = [](const char* pivot, double gf) {
    return make_change("friction", {{"torque", gf * kGf * 23e-3}}, {{"pivot", pivot}});
  };
  std::vector<double> down, up, resistance;
  for (const double mu : {0.28, 0.32, 0.36, 0.40}) {
    const Prepared p =
        prepare({torque("hammer_centre", 9), torque("wippen_centre", 3), torque("lever_centre", 5),
                 torque("jack_centre", 2),
                 make_change("friction", {{"coefficient", mu}}, {{"place", "jack_knuckle"}}),
                 make_change("friction", {{"coefficient", mu}}, {{"place", "lever_knuckle"}}),
                 make_change("friction", {{"coefficient", 0.3}}, {{"place", "capstan_heel"}})});
    ASSERT_TRUE(p.weighing.ok) << "mu " << mu << ": " << p.weighing.failure;
    EXPECT_LT(p.weighing.worst_ledger, 1e-6);
    // The hammer has fallen by the end of the dip.
    double nearest = 1;
    for (const auto& s : p.weighing.down) nearest = std::min(nearest, p.action.string_gap(s.state.q));
    EXPECT_GT(p.action.string_gap(p.weighing.down.back().state.q), nearest + 0.7e-3) << "mu " << mu;
    down.push_back(p.down());
    up.push_back(p.up());
    resistance.push_back(p.weighing.let_off_resistance);
  }
  for (std::size_t k = 1; k < down.size(); ++k) {
    EXPECT_GT(down[k], down[k - 1]);
    EXPECT_LT(up[k], up[k - 1]);
    EXPECT_GT(resistance[k], resistance[k - 1]);
  }
  // Second differences: no jump where the snap moves on.
  EXPECT_LT(std::abs(down[3] - 2 * down[2] + down[1]), 1);
  EXPECT_LT(std::abs(resistance[3] - 2 * resistance[2] + resistance[1]), 0.1);
}

// Centres from free to very tight, rubbing places from slick to rough: always weighed through let-off and
// back.
TEST(Structure, AnyFrictionWithinReachIsWeighed) {
  const Prepared& base = as_found();
  std::mt19937 engine(7);
  const auto draw = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine);
  };
  for (int k = 0; k < 10; ++k) {
    std::vector<case_file::Change> changes;
    for (const auto& [pivot, most] :
         Numbers{{"hammer_centre", 15}, {"wippen_centre", 6}, {"lever_centre", 10}, {"jack_centre", 4}})
      changes.push_back(
          make_change("friction", {{"torque", draw(0, most) * kGf * 23e-3}}, {{"pivot", pivot}}));
    for (const char* place : {"jack_knuckle", "lever_knuckle", "capstan_heel"})
      changes.push_back(make_change("friction", {{"coefficient", draw(0.02, 0.5)}}, {{"place", place}}));
    const Action a = assemble(design_with(changes), base.regulated.screws);  // regulation knows no friction
    WeighOptions coarse;
    coarse.step = 0.1e-3;
    const Weighing w = weigh(a, base.regulated, coarse);
    EXPECT_TRUE(w.ok) << "draw " << k << ": " << w.failure;
    EXPECT_GT(w.down_weight, w.up_weight);
    EXPECT_LT(w.worst_ledger, 1e-6);
  }
}

TEST(Structure, WeightsDoNotDependOnTheStepOfDip) {
  const Prepared& base = as_found();
  WeighOptions fine;
  fine.step = 0.005e-3;
  const Weighing w = weigh(base.action, base.regulated, fine);
  EXPECT_NEAR(w.down_weight / kGf, base.down(), 0.04);
  EXPECT_NEAR(w.up_weight / kGf, base.up(), 0.04);
  // Its peak is sharp, so a step of 0.05 mm may miss a hundredth of it.
  EXPECT_NEAR(w.let_off_resistance, base.weighing.let_off_resistance, 0.012);
}

// A lever so rough that the knuckle's force at the edge of the friction cone passes the hammer's centre.
TEST(Structure, SelfLockingKnuckleIsReportedAsJammedAndNotWeighed) {
  const Prepared p = prepare({make_change("friction", {{"coefficient", 1.4}}, {{"place", "lever_knuckle"}})});
  EXPECT_TRUE(p.weighing.jam.jammed);
  EXPECT_EQ(p.weighing.jam.place, kContactNames[kLeverKnuckle]);
  EXPECT_FALSE(p.weighing.ok);
  EXPECT_NE(p.weighing.failure.find("jams (self-locking)"), std::string::npos) << p.weighing.failure;
  EXPECT_EQ(p.weighing.down_weight, 0);
  EXPECT_EQ(p.weighing.let_off_resistance, 0);
  // The edge: tan of the angle between the normal and the line to the hammer's centre. Just under it, no jam.
  const auto& s = as_found().weighing.down.front();
  const auto i = static_cast<std::size_t>(as_found().action.contact[kLeverKnuckle]);
  const Vec2 arm = s.contact_points[i].p - as_found().action.design.p_H;
  const double edge = std::abs(base::cross(arm, s.contact_points[i].n) / arm.dot(s.contact_points[i].n));
  const Prepared free =
      prepare({make_change("friction", {{"coefficient", 0.97 * edge}}, {{"place", "lever_knuckle"}})});
  EXPECT_FALSE(free.weighing.jam.jammed) << "edge " << edge;
  const Prepared locked =
      prepare({make_change("friction", {{"coefficient", 1.03 * edge}}, {{"place", "lever_knuckle"}})});
  EXPECT_TRUE(locked.weighing.jam.jammed) << "edge " << edge;
}

// Held at its front by the drop screw the lever turns against the wippen by w (1 + a/b) per key travel (w:
// turn of the wippen, a: wippen centre to lever centre, b: lever centre to drop screw): so much let-off
// resistance for each N mm of repetition spring (models/handbook/let_off_experiment.md).
TEST(Structure, LetOffWindsTheRepetitionSpring) {
  const auto with_spring = [](double torque) {
    ActionDesign d = design_with({});
    d.lever_spring.torque = torque;
    return prepare(d);
  };
  const double more = 9e-3;
  const Prepared weak = with_spring(36e-3), strong = with_spring(36e-3 + more);
  ASSERT_TRUE(weak.weighing.ok && strong.weighing.ok);
  const auto peak = std::max_element(
      weak.weighing.down.begin(), weak.weighing.down.end(), [&](const auto& x, const auto& y) {
        const double end = weak.regulated.dip_let_off;
        return (x.travel <= end ? x.force : 0) < (y.travel <= end ? y.force : 0);
      });
  const ActionDesign& d = weak.design;
  const double screw = d.drop_screw.x() - d.p_P.x() - d.lever_centre.x();
  const double turn = std::abs(peak->dq[kWippen]) * (1 + d.lever_centre.x() / screw);
  EXPECT_NEAR((strong.weighing.let_off_resistance - weak.weighing.let_off_resistance) / more, turn,
              0.15 * turn)
      << "a stronger spring also moves where the peak comes";
}

// On the line of centres the contact slides by a tenth of a millimetre, hardly more than the cloth shears
// before it slips: doubling the capstan's friction moves the weighed friction by a fraction of a gf (0.63).
TEST(Structure, DoubledCapstanFrictionOnTheLineHardlyMatters) {
  const auto on_line =
      make_change("heel re-glued", {{"shift", 3e-3}, {"shim", 0}}, {{"direction", "toward the strings"}});
  const Prepared line = prepare({on_line});
  const Prepared rough =
      prepare({on_line, make_change("friction", {{"coefficient", 0.5}}, {{"place", "capstan_heel"}})});
  EXPECT_LT(std::abs(rough.friction() - line.friction()), 0.8);
  EXPECT_NE(rough.friction(), line.friction());
}

}  // namespace
}  // namespace leverwright::action
