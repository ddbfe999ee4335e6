// The damper lifted part-way: where the key meets it, what it weighs on the key, its swing, strokes; and
// regulation with the key's options on.
#include <gtest/gtest.h>

#include "tests/models/action_options/optional.h"

using namespace leverwright;
using namespace leverwright::action;

namespace {

case_file::CaseDescription working() {
  case_file::CaseDescription d = demo_with({kDamperLever});
  d.choices.at("damper.when_weighed") = "working";
  return d;
}

TEST(Damper, is_met_at_its_share_of_the_dip_and_weighs_by_its_lever_arms) {
  const Prepared lifted = prepare(design_of({kDamperLever})), on = prepare(design_of(working()));
  const Prepared none = prepare(design_of(std::initializer_list<Option>{}));
  ASSERT_TRUE(lifted.weighing.ok && on.weighing.ok && none.weighing.ok);
  // Each is regulated by itself, to a micrometre.
  EXPECT_NEAR(lifted.down(), none.down(), 2e-5);
  EXPECT_NEAR(lifted.up(), none.up(), 2e-5);
  const ActionDesign& d = on.design;
  const DamperLever& damper = d.key_options.damper;
  const double met = damper.start * d.dip;
  // What the end of the key moves for each way of the playing point, at a dip.
  const auto arms = [&](double dip) {
    const double h = 1e-6;
    return (key_end_rise(d, dip + h) - key_end_rise(d, dip - h)) / (2 * h);
  };
  const int tip = on.action.mechanism.find_contact(kKeyDamperName);
  ASSERT_GE(tip, 0);
  const auto carried = [&](const run::StaticSample& s) { return s.normal[at(tip)] > 0; };
  double first = 1;
  for (std::size_t k = 0; k < on.weighing.down.size(); ++k) {
    const auto& s = on.weighing.down[k];
    const auto& u = on.weighing.up[k];
    if (carried(s)) first = std::min(first, s.travel);
    const double down = s.force - none.weighing.down[k].force, up = u.force - none.weighing.up[k].force;
    if (s.travel < met - 0.1e-3) {
      EXPECT_NEAR(down, 0, 1e-5);
    }
    // Past the felts' give and before let-off; the rubbing of the tip is a part of what is left over.
    if (s.travel > met + 1.0e-3 && s.travel < none.regulated.dip_button - 0.2e-3) {
      const double both = 0.5 * (down + up), half = 0.5 * (down - up);
      EXPECT_NEAR(both, damper.weight * arms(s.travel), 0.05 * damper.weight);
      EXPECT_NEAR(half, damper.friction * arms(s.travel), 0.06 * damper.weight);
      EXPECT_GT(half, 0.5 * damper.friction);
    }
  }
  EXPECT_NEAR(first, met, 0.12e-3);  // samples stand 0.05 mm apart
  EXPECT_LT(on.weighing.worst_ledger, 1e-6);
}

TEST(Damper, falls_as_a_weight_on_a_lever_does) {
  const ActionDesign d = design_of({kDamperLever});
  ActionDesign free = d;
  free.key_options.damper.friction = 0;
  free.key_options.damper.lifted = true;
  const Action a = assemble(free, {});
  const Rest rest = build_rest(a, FrictionlessPath(a).rest().q);
  std::vector<double> x = rest.state;
  const double up = 0.05;
  x[at(a.damper_body)] -= up;
  run::StrokeOptions options;
  options.output_interval = 0;
  const run::Drive none;
  run::Stroke stroke(a.mechanism, none, options);
  const int damper = a.damper_body;
  const double rest_angle = rest.state[at(damper)];
  stroke.watch({"half way",
                [damper, rest_angle, up](double, const double* s, const planar::Scratch&) {
                  return s[damper] - (rest_angle - 0.5 * up);
                },
                run::Crossing::kRising, true, true});
  stroke.start(0, x);
  ASSERT_FALSE(stroke.advance(0.2));
  // A point mass at s L: angular acceleration g / (s L), the lever nearly level.
  const double arm = free.key_options.damper.mass_arm;
  EXPECT_NEAR(stroke.t(), std::sqrt(up * arm / base::kGravity), 2e-3 * stroke.t());
}

TEST(Damper, strokes_keep_energy_and_stay_within_the_stops) {
  const Prepared p = prepare(design_of({kDamperLever}), false);
  const Rest rest = build_rest(p.action, p.regulated.rest.q);
  for (const double force : {4.0, 70.0}) {
    PressedTouch touch;
    touch.plateau = force;
    const StrokeResult r = play(p.action, rest, pressed_drive(p.action, touch));
    EXPECT_EQ(r.stopped, "");
    EXPECT_LT(std::abs(r.audit.error()), 1e-4) << force << " N";
    EXPECT_GT(r.audit.least_loss_rate, -1e-9);
    double highest = 0;
    for (const double q : r.series.position[at(p.action.damper_body)]) highest = std::max(highest, -q);
    EXPECT_GT(highest, 0.05);
    EXPECT_LT(highest, 0.2);
  }
}

TEST(KeyOptions, regulation_solves_with_all_of_them_by_every_policy) {
  for (const char* policy : {"keep dip and blow", "keep blow and aftertouch", "keep dip and aftertouch"}) {
    ActionDesign d = design_of({kBalancePunching, kCheckWire, kDamperLever});
    if (d.aftertouch == 0) d.aftertouch = 1.2e-3;
    const Regulated r = regulate(d, {}, policy);
    EXPECT_TRUE(r.ok) << policy << (r.failures.empty() ? "" : ": " + r.failures.front().requirement);
    // Dip: where the front punching carries dip_force.
    const Action a = assemble(d, r.screws);
    FrictionlessPath path(a);
    const auto at_dip = path.at(r.dip);
    ASSERT_TRUE(at_dip);
    const planar::Cloth& felt = d.laws[kKeyFrontPunching].cloth;  // going down: on its loading branch
    EXPECT_NEAR((1 + felt.hysteresis()) * felt.elastic_force(path.depth_of(kKeyFrontPunching, *at_dip)),
                d.dip_force, 1e-3);
  }
}

}  // namespace
