// Changes do to the design's numbers what they say, side effects included.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

using base::kGravity;

double key_moment(const ActionDesign& d) { return d.masses[0].mass * d.masses[0].p_cm.x(); }
double key_inertia(const ActionDesign& d) {
  return d.masses[0].inertia_cm + d.masses[0].mass * d.masses[0].p_cm.squaredNorm();
}

// The weights a technician would read are those of the bodies.
void expect_weights_of_bodies(const ActionDesign& d) {
  EXPECT_NEAR(-kGravity * key_moment(d) / d.key_front_arm, d.front_weight, 1e-9);
  const auto& h = d.masses[4];
  EXPECT_NEAR(kGravity * h.mass * h.p_cm.x() / d.hammer_length, d.strike_weight, 1e-9);
  double moment = d.masses[1].mass * d.masses[1].p_cm.x();
  moment += d.masses[2].mass * (d.jack_centre.x() + d.masses[2].p_cm.x());
  moment += d.masses[3].mass * (d.lever_centre.x() + d.masses[3].p_cm.x());
  const double arm =
      d.p_P.x() - design_with({}).cap_apex.x();  // the wippen was weighed at the base's heel contact
  EXPECT_NEAR(-kGravity * moment / arm, d.wippen_weight, 1e-9);
}

TEST(Changes, NoChangeKeepsTheMeasuredWeights) {
  const ActionDesign d = design_with({});
  expect_weights_of_bodies(d);
  EXPECT_NEAR(d.front_weight / kGf, demo_case().value("measured.front_weight") / kGf, 1e-9);
}

TEST(Changes, LeadBringsItsMomentAndItsInertia) {
  const double mass = 13.7e-3, at = 0.171;
  const ActionDesign base = design_with({});
  const ActionDesign more =
      design_with({make_change("lead", {{"mass", mass}, {"distance", at}}, {{"action", "add"}})});
  expect_weights_of_bodies(more);
  EXPECT_NEAR(more.front_weight - base.front_weight, mass * kGravity * at / base.key_front_arm, 1e-9);
  EXPECT_NEAR(more.masses[0].mass - base.masses[0].mass, mass, 1e-12);
  EXPECT_NEAR(key_moment(more) - key_moment(base), -mass * at, 1e-12);
  EXPECT_NEAR(key_inertia(more) - key_inertia(base), mass * at * at, 1e-6 * key_inertia(base));
  // Taking out the case's own lead is the opposite.
  const auto& lead = demo_case().leads.front();
  const ActionDesign less = design_with(
      {make_change("lead", {{"mass", lead.mass}, {"distance", lead.distance}}, {{"action", "remove"}})});
  EXPECT_NEAR(base.front_weight - less.front_weight,
              lead.mass * kGravity * lead.distance / base.key_front_arm, 1e-9);
  EXPECT_NEAR(base.masses[0].mass - less.masses[0].mass, lead.mass, 1e-12);
}

TEST(Changes, CapstanTakesItsMassAlong) {
  const ActionDesign base = design_with({});
  const double shift = 3.4e-3;
  for (const double sign : {-1.0, 1.0}) {
    const ActionDesign moved = design_with(
        {make_change("capstan moved", {{"distance", shift}},
                     {{"direction", sign > 0 ? "toward the strings" : "toward the balance rail"}})});
    EXPECT_NEAR(moved.cap_apex.x() - base.cap_apex.x(), sign * shift, 1e-15);
    EXPECT_EQ(moved.cap_apex.y(), base.cap_apex.y());
    EXPECT_NEAR(moved.front_weight - base.front_weight,
                -sign * base.capstan_mass * kGravity * shift / base.key_front_arm, 1e-12);
    EXPECT_NEAR(key_moment(moved) - key_moment(base), sign * base.capstan_mass * shift, 1e-12);
    EXPECT_NEAR(key_inertia(moved) - key_inertia(base),
                base.capstan_mass * (moved.cap_apex.squaredNorm() - base.cap_apex.squaredNorm()), 1e-12);
    EXPECT_EQ(moved.masses[0].mass, base.masses[0].mass);
    expect_weights_of_bodies(moved);
  }
}

TEST(Changes, HalvedPunchingTurnsTheSameStickAboutAnotherPoint) {
  const ActionDesign base = design_with({});
  const ActionDesign cut = design_with(
      {make_change("balance punching halved", {{"shift", 4e-3}}, {{"direction", "toward the strings"}})});
  // Every place on the key stays where it was in the piano.
  for (const auto place : {&ActionDesign::playing_point, &ActionDesign::front_punching,
                           &ActionDesign::back_rail, &ActionDesign::check_centre, &ActionDesign::cap_apex})
    EXPECT_LT((cut.p_balance + cut.*place - base.p_balance - base.*place).norm(), 1e-15);
  EXPECT_LT((cut.p_balance + cut.masses[0].p_cm - base.p_balance - base.masses[0].p_cm).norm(), 1e-15);
  EXPECT_EQ(cut.masses[0].inertia_cm, base.masses[0].inertia_cm);
  EXPECT_NEAR(cut.key_front_arm, base.key_front_arm + 4e-3, 1e-15);
  EXPECT_NEAR(-kGravity * key_moment(cut) / cut.key_front_arm, cut.front_weight, 1e-9);
  EXPECT_LT(cut.cap_apex.x() / cut.key_front_arm, base.cap_apex.x() / base.key_front_arm);
}

TEST(Changes, BuildUpRaisesTheHeelWhereItIsPut) {
  const ActionDesign base = design_with({});
  const double height = 0.7e-3, length = 5e-3, centre = 61e-3;
  const ActionDesign built = design_with(
      {make_change("heel build-up", {{"height", height}, {"length", length}, {"centre", centre}})});
  ASSERT_EQ(built.heel_h.size(), base.heel_h.size());
  const double drape = 2 * base.heel_cloth_thickness;
  for (std::size_t k = 0; k < base.heel_h.size(); ++k) {
    const double rise = built.heel_h[k] - base.heel_h[k], from_centre = std::abs(base.heel_x[k] + centre);
    if (from_centre < 0.5 * length - 0.5 * drape) {
      EXPECT_NEAR(rise, height, 1e-15);
    }
    if (from_centre > 0.5 * length + 0.5 * drape) {
      EXPECT_NEAR(rise, 0, 1e-15);
    }
    EXPECT_GE(rise, 0);
    EXPECT_LE(rise, height + 1e-15);
  }
}

TEST(Changes, ReGluedHeelMovesAsAWhole) {
  const ActionDesign base = design_with({});
  const ActionDesign moved = design_with({make_change("heel re-glued", {{"shift", 2.6e-3}, {"shim", 0.9e-3}},
                                                      {{"direction", "toward the strings"}})});
  EXPECT_NEAR(moved.lifting_face_from - base.lifting_face_from, 2.6e-3, 1e-15);
  const auto before = heel_profile(base), after = heel_profile(moved);
  for (const double x : {-0.070, -0.0655, -0.0602}) {
    EXPECT_NEAR(after.at(x + 2.6e-3).h, before.at(x).h + 0.9e-3, 1e-12);
    EXPECT_NEAR(after.at(x + 2.6e-3).slope, before.at(x).slope, 1e-9);
  }
}

TEST(Changes, LeanKeepsThePointItIsSaidToKeep) {
  const ActionDesign base = design_with({});
  const double angle = 5 * base::kDegree;
  const ActionDesign apex = design_with(
      {make_change("capstan lean", {{"angle", angle}}, {{"about", "middle of its cap (apex kept)"}})});
  EXPECT_EQ(apex.cap_apex, base.cap_apex);
  EXPECT_EQ(apex.cap_lean, angle);
  const ActionDesign centre =
      design_with({make_change("capstan lean", {{"angle", angle}}, {{"about", "centre of its dome"}})});
  const auto middle = [](const ActionDesign& d) {
    const auto cap = capstan_cap(d, 0);
    return Vec2(cap.apex() - cap.dome_radius() * cap.axis());
  };
  EXPECT_LT((middle(centre) - middle(base)).norm(), 1e-15);
  EXPECT_GT(capstan_cap(centre, 0).axis().x(), 0);  // positive lean: the top goes towards the strings
}

TEST(Changes, WeightsAndFrictionGoWhereTheyAreSent) {
  const ActionDesign base = design_with({});
  const ActionDesign heavy = design_with({make_change("hammer weight", {{"amount", -1.3 * kGf}})});
  EXPECT_NEAR(heavy.strike_weight - base.strike_weight, -1.3 * kGf, 1e-12);
  expect_weights_of_bodies(heavy);
  const ActionDesign slick =
      design_with({make_change("friction", {{"coefficient", 0.11}}, {{"place", "jack_knuckle"}})});
  EXPECT_EQ(slick.laws[kJackKnuckle].friction.mu(), 0.11);
  EXPECT_EQ(slick.laws[kCapstanHeel].friction.mu(), base.laws[kCapstanHeel].friction.mu());
  const ActionDesign easy =
      design_with({make_change("friction", {{"weight", 1.5 * kGf}}, {{"bushing", "key_balance"}})});
  EXPECT_NEAR(easy.pivots[kBalancePin].coulomb(), 1.5 * kGf * base.key_front_arm, 1e-12);
  const ActionDesign sprung = design_with({make_change("assist spring", {{"strength", 8 * kGf}})});
  EXPECT_NEAR(sprung.assist_torque, 8 * kGf * base.key_front_arm, 1e-12);
  const ActionDesign hung =
      design_with({make_change("knuckle", {{"hanging_distance", 16.2e-3}, {"diameter", 9.4e-3}})});
  EXPECT_NEAR(hung.knuckle_centre.x(), 16.2e-3, 1e-15);
  EXPECT_NEAR(hung.knuckle_radius, 4.7e-3, 1e-15);
}

}  // namespace
}  // namespace leverwright::action
