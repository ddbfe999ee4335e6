// The remedies' side effects: masses moved, cloths stretched, centres shimmed; and that the order in which a
// case lists its changes does not matter.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

using base::kGravity;

double moment(const BodyMass& b) { return b.mass * b.p_cm.x(); }
double about_origin(const BodyMass& b) { return b.inertia_cm + b.mass * b.p_cm.squaredNorm(); }

TEST(Remedies, StripsMassIsWeighedWithTheWippen) {
  const ActionDesign base = design_with({});
  const ActionDesign built = design_with({make_change(
      "heel build-up",
      {{"height", 2e-3}, {"length", 6e-3}, {"centre", 64e-3}, {"density", 350}, {"width", 10e-3}})});
  const double mass = 350 * 10e-3 * 6e-3 * 2e-3;  // 0.042 g
  EXPECT_NEAR(built.masses[1].mass - base.masses[1].mass, mass, 1e-15);
  EXPECT_NEAR(moment(built.masses[1]) - moment(base.masses[1]), -mass * 64e-3, 1e-12);
  EXPECT_NEAR(built.wippen_weight - base.wippen_weight, kGravity * mass * 64e-3 / base.wippen_weight_arm,
              1e-12);
}

TEST(Remedies, ClothStretchedOverAStripIsThinnerAndStiffer) {
  const ActionDesign base = design_with({});
  const std::map<std::string, double> strip = {{"height", 2e-3}, {"length", 6e-3}, {"centre", 64e-3}};
  const ActionDesign fresh = design_with({make_change("heel build-up", strip, {{"cloth", "laid afresh"}})});
  const ActionDesign tight =
      design_with({make_change("heel build-up", strip, {{"cloth", "stretched over it"}})});
  const auto& law = [](const ActionDesign& d) { return d.laws[kCapstanHeel].cloth; };
  EXPECT_EQ(law(fresh).reference_compression(), law(base).reference_compression());
  // A raised-cosine flank of height H over a run of S is longer than S by about pi^2 H^2/(16 S): two of them.
  double path = 0;
  for (std::size_t k = 1; k < base.heel_x.size(); ++k)
    path += std::hypot(kHeelSpacing, base.heel_h[k] - base.heel_h[k - 1]);
  const double flank = std::pow(base::kPi * 2e-3, 2) / (16 * 2 * base.heel_cloth_thickness);
  const double lambda = base.heel_cloth_thickness / tight.heel_cloth_thickness;
  EXPECT_NEAR(lambda - 1, 2 * flank / path, 0.35 * 2 * flank / path) << "the heel itself is curved";
  EXPECT_NEAR(law(tight).reference_compression() * lambda, law(base).reference_compression(), 1e-12);
  const double lower = fresh.heel_h[fresh.heel_h.size() / 2] - tight.heel_h[tight.heel_h.size() / 2];
  EXPECT_NEAR(lower, base.heel_cloth_thickness * (1 - 1 / lambda), 1e-12);
}

TEST(Remedies, PlugsWoodGoesTheOtherWay) {
  const ActionDesign base = design_with({});
  const ActionDesign moved = design_with({make_change(
      "capstan moved", {{"distance", 3e-3}, {"plug_mass", 0.2e-3}, {"lean_drilled", 0.7 * base::kDegree}},
      {{"direction", "toward the strings"}})});
  EXPECT_NEAR(moment(moved.masses[0]) - moment(base.masses[0]), (base.capstan_mass - 0.2e-3) * 3e-3, 1e-12);
  EXPECT_NEAR(moved.cap_lean - base.cap_lean, 0.7 * base::kDegree, 1e-15);
}

TEST(Remedies, HeelCutOffTakesItsMassAlong) {
  const ActionDesign base = design_with({});
  const ActionDesign moved = design_with({make_change(
      "heel re-glued", {{"shift", 3e-3}, {"shim", 0}, {"heel_mass", 1.5e-3}, {"tilt", 1 * base::kDegree}},
      {{"direction", "toward the strings"}})});
  EXPECT_NEAR(moment(moved.masses[1]) - moment(base.masses[1]), 1.5e-3 * 3e-3, 1e-12);
  EXPECT_NEAR(moved.wippen_weight - base.wippen_weight, -kGravity * 1.5e-3 * 3e-3 / base.wippen_weight_arm,
              1e-12);
  const auto before = heel_profile(base), after = heel_profile(moved);
  EXPECT_NEAR(after.at(-0.061).slope - before.at(-0.064).slope, std::tan(1 * base::kDegree), 1e-9);
}

TEST(Remedies, MassOffTheHeadActsAtTheStrikeLine) {
  const ActionDesign base = design_with({});
  const ActionDesign light =
      design_with({make_change("hammer weight", {{"amount", -1 * kGf}}, {{"taken_from", "head"}})});
  EXPECT_NEAR(light.strike_weight - base.strike_weight, -1 * kGf, 1e-12);
  const auto& h = light.masses[4];
  EXPECT_NEAR(kGravity * h.mass * h.p_cm.x() / light.hammer_length, light.strike_weight, 1e-9);
  const double loss = about_origin(base.masses[4]) - about_origin(h);
  EXPECT_GT(loss, 1e-3 * std::pow(base.hammer_length, 2)) << "1 g at the strike line and above the shank";
  EXPECT_LT(loss, 1e-3 * (std::pow(base.hammer_length, 2) + std::pow(base.bore, 2)));
}

TEST(Remedies, ShimsMoveCentresAlongTheLineThatJoinsThem) {
  const ActionDesign base = design_with({});
  for (const char* rail : {"hammer rail", "wippen rail"})
    for (const double sign : {-1.0, 1.0}) {
      const ActionDesign d =
          design_with({make_change("spread shim", {{"thickness", 0.5e-3}},
                                   {{"rail", rail}, {"direction", sign > 0 ? "wider" : "closer"}})});
      EXPECT_NEAR((d.p_P - d.p_H).norm() - (base.p_P - base.p_H).norm(), sign * 0.5e-3, 1e-12);
      const bool hammer = std::string(rail) == "hammer rail";
      EXPECT_EQ(d.p_P == base.p_P, hammer);
      EXPECT_EQ(d.drop_screw == base.drop_screw, !hammer) << "it sits in the hammer's flange";
      EXPECT_EQ(d.button, base.button);
    }
}

TEST(Remedies, ShimUnderThePunchingRaisesTheKey) {
  const ActionDesign base = design_with({});
  const ActionDesign whole =
      design_with({make_change("balance punching shimmed", {{"thickness", 0.4e-3}, {"shift", 2.5e-3}},
                               {{"under", "the whole punching"}})});
  EXPECT_NEAR(whole.p_balance.y() - base.p_balance.y(), 0.4e-3, 1e-15);
  EXPECT_EQ(whole.key_front_arm, base.key_front_arm);
  const ActionDesign half =
      design_with({make_change("balance punching shimmed", {{"thickness", 0.4e-3}, {"shift", 2.5e-3}},
                               {{"under", "the player's half"}})});
  EXPECT_NEAR(half.key_front_arm, base.key_front_arm - 2.5e-3, 1e-15);
  EXPECT_NEAR(-kGravity * moment(half.masses[0]) / half.key_front_arm, half.front_weight, 1e-12);
}

TEST(Remedies, TallerCapStandsHigherAndHeavierCapIsWeighed) {
  const ActionDesign base = design_with({});
  const ActionDesign cap = design_with(
      {make_change("cap", {{"height", 1.5e-3}, {"mass", 7e-3}, {"dome_radius", base.cap_dome_radius}},
                   {{"shape", "domed"}})});
  EXPECT_NEAR((cap.cap_apex - base.cap_apex).norm(), 1.5e-3, 1e-12);
  EXPECT_NEAR(cap.masses[0].mass - base.masses[0].mass, 7e-3 - base.capstan_mass, 1e-15);
  EXPECT_NEAR(cap.front_weight - base.front_weight,
              -(7e-3 - base.capstan_mass) * kGravity * base.cap_apex.x() / base.key_front_arm, 1e-9);
}

TEST(Remedies, BolsterRaisesTheHeelAndSoftensIt) {
  const ActionDesign base = design_with({});
  const ActionDesign soft =
      design_with({make_change("heel bolstered", {{"thickness", 0.8e-3}, {"give", 1}})});
  EXPECT_NEAR(soft.heel_h[40] - base.heel_h[40], 0.8e-3, 1e-15);
  EXPECT_NEAR(soft.laws[kCapstanHeel].cloth.reference_compression() /
                  base.laws[kCapstanHeel].cloth.reference_compression(),
              1 + 0.8e-3 / base.heel_cloth_thickness, 1e-12);
}

TEST(Remedies, NewClothFillsWhatWasWornIntoTheOld) {
  case_file::SetUp grooved = demo_case().set_ups.front();
  case_file::Change groove;
  groove.remedy = &remedies::set_value();
  groove.point_lists["wippen.heel_profile"] = demo_case().point_list("wippen.heel_profile");
  auto& trace = groove.point_lists["wippen.heel_profile"];
  trace.y[trace.y.size() / 2] += 0.5e-3;  // y is up, the cloth faces down: worn away
  grooved.changes.push_back(groove);
  const ActionDesign worn = design(demo_case(), grooved);
  grooved.changes.push_back(make_change("heel re-covered", {{"thickness", worn.heel_cloth_thickness}},
                                        {{"id", "heel_cloth_firm"}, {"groove", "in the old cloth"}}));
  for (const auto& [path, q] : demo_case().quantities)
    if (path.rfind("contact.capstan_heel.", 0) == 0) grooved.changes.back().quantities[path] = q;
  const ActionDesign covered = design(demo_case(), grooved);
  double filled = 0, lowered = 0;
  for (std::size_t k = 0; k < worn.heel_h.size(); ++k) {
    filled = std::max(filled, covered.heel_h[k] - worn.heel_h[k]);
    lowered = std::max(lowered, worn.heel_h[k] - covered.heel_h[k]);
  }
  EXPECT_GT(filled, 0.3e-3);
  EXPECT_LT(lowered, 1e-12);
}

TEST(Remedies, MovedLeadKeepsItsMassAndFadingSpringItsHelpAtRest) {
  const ActionDesign base = design_with({});
  const auto& lead = demo_case().leads.front();
  const ActionDesign moved = design_with({make_change(
      "lead", {{"mass", lead.mass}, {"distance", lead.distance}, {"to", 0.1}}, {{"action", "move"}})});
  EXPECT_NEAR(moved.masses[0].mass, base.masses[0].mass, 1e-12);
  EXPECT_NEAR(moved.front_weight - base.front_weight,
              lead.mass * kGravity * (0.1 - lead.distance) / base.key_front_arm, 1e-9);
  const ActionDesign sprung =
      design_with({make_change("assist spring", {{"strength", 8 * kGf}, {"fade", 0.25}})});
  const double at_full_dip = sprung.assist_torque - sprung.assist_rate * base.dip / base.key_front_arm;
  EXPECT_NEAR(at_full_dip, 0.75 * sprung.assist_torque, 1e-9);
}

TEST(Remedies, OrderInTheCaseDoesNotMatter) {
  std::vector<case_file::Change> changes = {
      make_change("heel build-up", {{"height", 0.7e-3}, {"length", 5e-3}, {"centre", 61e-3}},
                  {{"cloth", "stretched over it"}}),
      make_change("heel re-glued", {{"shift", 2e-3}, {"shim", 0.5e-3}, {"heel_mass", 1.5e-3}},
                  {{"direction", "toward the strings"}}),
      make_change("capstan moved", {{"distance", 1e-3}}, {{"direction", "toward the strings"}}),
      make_change("balance punching halved", {{"shift", 2e-3}}, {{"direction", "toward the player"}}),
      make_change("heel bolstered", {{"thickness", 0.4e-3}})};
  const ActionDesign one = design_with(changes);
  std::reverse(changes.begin(), changes.end());
  const ActionDesign other = design_with(changes);
  EXPECT_EQ(one.heel_h, other.heel_h);
  EXPECT_EQ(one.front_weight, other.front_weight);
  EXPECT_EQ(one.wippen_weight, other.wippen_weight);
  EXPECT_EQ(one.masses[0].inertia_cm, other.masses[0].inertia_cm);
}

}  // namespace
}  // namespace leverwright::action
