// The back check on its wire: stiffness against beam theory, free swing, the limit of a stiff wire, strokes.
#include <gtest/gtest.h>

#include "tests/models/action_options/optional.h"

using namespace leverwright;
using namespace leverwright::action;

namespace {

// Way and slope under a force at a point e beyond the free end of a cantilever L, by adding up curvature.
struct Bent {
  double way = 0, slope = 0;
};
Bent bend(double length, double reach, double stiffness) {
  Bent out;
  constexpr int kPieces = 20000;
  for (int k = 0; k < kPieces; ++k) {
    const double x = (k + 0.5) * length / kPieces, arm = length + reach - x;
    const double turn = arm / stiffness * length / kPieces;
    out.slope += turn;
    out.way += turn * arm;
  }
  return out;
}

TEST(CheckWire, hinge_and_spring_bend_as_the_cantilever_does) {
  CheckWire w;
  w.length = 47e-3;
  w.reach = 13e-3;
  w.bending_stiffness = 1.1;
  const Bent beam = bend(w.length, w.reach, w.bending_stiffness);
  const double rho = w.hinge_below(), k = w.hinge_stiffness();
  EXPECT_NEAR(rho * rho / k, beam.way, 1e-7 * beam.way);
  EXPECT_NEAR(rho / k, beam.slope, 1e-7 * beam.slope);
}

TEST(CheckWire, the_head_swings_at_its_own_period_on_a_key_held_still) {
  const Prepared p = prepare(design_of({kCheckWire}), false);
  const Action& a = p.action;
  const Rest rest = build_rest(a, p.regulated.rest.q);
  run::Drive still;
  still.move(kKey, std::make_shared<run::RampHistory>(run::RampShape::kQuintic, std::vector<double>{0, 1},
                                                      std::vector<double>(2, p.regulated.rest.q[kKey])));
  std::vector<double> x = rest.state;
  x[at(a.mechanism.at_v(a.check_body))] = 0.2;
  run::StrokeOptions options;
  options.output_interval = 0;
  run::Stroke stroke(a.mechanism, still, options);
  const int check = a.check_body;
  const double middle = x[at(check)];
  stroke.watch(
      {"through",
       [check, middle](double, const double* s, const planar::Scratch&) { return s[check] - middle; },
       run::Crossing::kRising, true, true});
  stroke.start(0, x);
  ASSERT_FALSE(stroke.advance(0.05));
  const planar::Body& head = a.mechanism.tree.body(check);
  const double inertia = head.inertia_cm + head.mass * head.p_cm.squaredNorm();
  const CheckWire& w = a.design.key_options.wire;
  const double omega = std::sqrt(w.hinge_stiffness() / inertia) * std::sqrt(1 - std::pow(w.damping_ratio, 2));
  EXPECT_NEAR(stroke.t(), 2 * base::kPi / omega,
              2e-3 * 2 * base::kPi / omega);  // gravity turns with the head
}

TEST(CheckWire, weighing_does_not_feel_it_and_the_key_keeps_mass_and_inertia) {
  const Prepared with = prepare(design_of({kCheckWire}), false);
  const Prepared without = prepare(design_of(std::initializer_list<Option>{}), false);
  EXPECT_NEAR(with.down(), without.down(), 1e-3);
  EXPECT_NEAR(with.up(), without.up(), 1e-3);
  planar::Scratch s(with.action.mechanism), t(without.action.mechanism);
  s.q = with.action.q_drawn;
  s.v.setZero();
  t.q = without.action.q_drawn;
  t.v.setZero();
  s.v[kKey] = s.v[with.action.check_body] = t.v[kKey] = 1.7;
  with.action.mechanism.tree.calc_poses(s.q, s.v, s.poses);
  without.action.mechanism.tree.calc_poses(t.q, t.v, t.poses);
  const double one = with.action.mechanism.tree.kinetic_energy(s.poses);
  EXPECT_NEAR(one, without.action.mechanism.tree.kinetic_energy(t.poses), 1e-12 * one);
}

TEST(CheckWire, tends_to_the_rigid_check_with_first_order_differences_and_keeps_energy) {
  const Prepared rigid = prepare(design_of(std::initializer_list<Option>{}), false);
  PressedTouch touch;
  touch.plateau = 30;
  PlayOptions options;
  options.duration = options.release_at;
  // The whole momentum the check takes: its peak force hangs on single bounces, the way it is bent does not.
  const auto bent = [&](double stiffer) {
    ActionDesign d = rigid.design;
    d.options.on[kCheckWire] = true;
    d.key_options.wire.bending_stiffness *= stiffer;
    const Action a = assemble(d, rigid.regulated.screws);
    const StrokeResult r =
        play(a, build_rest(a, FrictionlessPath(a).rest().q), pressed_drive(a, touch), options);
    EXPECT_EQ(r.stopped, "");
    EXPECT_LT(std::abs(r.audit.error()), 1e-4);
    double most = 0;
    for (std::size_t k = 0; k < r.series.time.size(); ++k)
      most =
          std::max(most, std::abs(r.series.position[at(a.check_body)][k] - r.series.position[at(kKey)][k]));
    EXPECT_NEAR(r.measures.hammer_speed,
                play(rigid.action, build_rest(rigid.action, rigid.regulated.rest.q),
                     pressed_drive(rigid.action, touch), options)
                    .measures.hammer_speed,
                2e-3);
    return most;
  };
  const double soft = bent(1), stiff = bent(16), stiffer = bent(32);
  EXPECT_GT(soft, 5e-3);
  EXPECT_NEAR(stiff / stiffer, 2, 0.4);
}

}  // namespace
