// The bending shank: the two hinges against the beam, bench observations of its stiffness, its modes, and the
// stiff shank as a limit.
#include "models/action/shank.h"

#include <gtest/gtest.h>

#include <Eigen/Eigenvalues>
#include <cmath>
#include <numeric>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

using case_file::CaseDescription;

ActionDesign bending_design(double stiffness_factor = 1.0) {
  const CaseDescription d = with_option(demo_case(), kShankBending, true);
  ActionDesign out = design(d, d.set_ups.front());
  out.options.shank.bending *= stiffness_factor;
  out.back_rail_offset = design_with({}).back_rail_offset;
  return out;
}

// Deflection and turn at the head for a force and for a moment there.
struct Compliance {
  double force_deflection, force_turn, moment_turn;
};
Compliance of(const Hinges& h) {
  Compliance c{0, 0, 0};
  for (std::size_t i = 0; i < 2; ++i) {
    c.force_deflection += h.flexibility[i] * h.from_head[i] * h.from_head[i];
    c.force_turn += h.flexibility[i] * h.from_head[i];
    c.moment_turn += h.flexibility[i];
  }
  return c;
}

// Clamped beam: F l^3/3EI, F l^2/2EI, M l/EI (any textbook), and the nodes of the two-point Gauss rule.
TEST(Shank, HingesGiveTheCompliancesOfAClampedBeam) {
  const double l = 0.1302, bending = 2.47;
  const Hinges h = find_hinges(l, 0, bending);
  const Compliance c = of(h);
  EXPECT_NEAR(c.force_deflection, l * l * l / (3 * bending), 1e-12);
  EXPECT_NEAR(c.force_turn, l * l / (2 * bending), 1e-12);
  EXPECT_NEAR(c.moment_turn, l / bending, 1e-12);
  EXPECT_NEAR(h.from_head[0], 0.5 * l * (1 + 1 / std::sqrt(3.0)), 1e-12);
  EXPECT_NEAR(h.flexibility[0], 0.5 * l / bending, 1e-12);
  EXPECT_NEAR(h.flexibility[1], 0.5 * l / bending, 1e-12);
}

// Overhanging beam on two supports, loaded at its free end: F a^2 (a + b)/3EI (textbook).
TEST(Shank, HingesGiveTheDeflectionOfAnOverhangingBeam) {
  const double a = 0.106, b = 0.018, bending = 2.47;
  const Hinges h = find_hinges(a, b, bending);
  EXPECT_NEAR(of(h).force_deflection, a * a * (a + b) / (3 * bending), 1e-12);
  EXPECT_NEAR(of(h).force_turn, a * (3 * a + 2 * b) / (6 * bending), 1e-12);
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_GT(h.from_head[i], 0);
    EXPECT_LT(h.from_head[i], a);
    EXPECT_GT(h.flexibility[i], 0);
  }
}

// Bench check E19: 1 lb at 130.2 mm bent four shanks by 0.035 to 0.065 in (technicians' list archive 2003-11
// #010193): 2694 to 5003 N/m. The documented stiffness and its range, through the hinges that the action is
// built with.
TEST(Shank, StiffnessAsOnTheBench) {
  const auto& q = demo_case().quantity("shank.stiffness");
  for (const double k : {q.value, q.low, q.high}) {
    const double bending = k * std::pow(0.130, 3) / 3;
    const double found = 1 / of(find_hinges(0.1302, 0, bending)).force_deflection;
    EXPECT_GT(found, 0.99 * 2694);
    EXPECT_LT(found, 1.01 * 5003);
  }
}

TEST(Shank, CutHammerIsTheSameStiffBody) {
  const ActionDesign d = bending_design();
  const HammerPieces cut = cut_hammer(d);
  double mass = 0, inertia = 0;
  Vec2 moment = Vec2::Zero();
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec2 cm = cut.origin[i] + cut.mass[i].p_cm;
    mass += cut.mass[i].mass;
    moment += cut.mass[i].mass * cm;
    inertia += cut.mass[i].inertia_cm + cut.mass[i].mass * cm.squaredNorm();
  }
  const BodyMass& whole = d.masses[kHammer];
  EXPECT_NEAR(mass, whole.mass, 1e-15);
  EXPECT_LT((moment - whole.mass * whole.p_cm).norm(), 1e-15);
  EXPECT_NEAR(inertia, whole.inertia_cm + whole.mass * whole.p_cm.squaredNorm(), 1e-15);
  EXPECT_GT(cut.mass[2].inertia_cm, 0);
}

// Small motion of the three pieces with the root held, and with the root free to turn on the knuckle's
// leather.
struct Modes {
  std::vector<double> hertz;
};
Modes find_modes(const ActionDesign& d, double root_stiffness) {
  const Action a = assemble(d, {});
  const auto& m = a.mechanism;
  planar::Scratch s(m);
  s.q = a.q_drawn;
  m.tree.calc_poses(s.q, s.v, s.poses);
  m.tree.calc_mass(s.poses, s.mass);
  Eigen::Matrix3d mass, k = Eigen::Matrix3d::Zero();
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j <= i; ++j)
      mass(i, j) = mass(j, i) = s.mass(a.hammer_pieces[at(i)], a.hammer_pieces[at(j)]);
  const HammerPieces cut = cut_hammer(d);
  for (int i = 0; i < 2; ++i) {
    k(i, i) += cut.stiffness[at(i)];
    k(i + 1, i + 1) += cut.stiffness[at(i)];
    k(i, i + 1) -= cut.stiffness[at(i)];
    k(i + 1, i) -= cut.stiffness[at(i)];
  }
  k(0, 0) += root_stiffness;
  const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::Matrix3d> solver(k, mass);
  Modes out;
  for (int i = 0; i < 3; ++i) out.hertz.push_back(std::sqrt(solver.eigenvalues()[i]) / (2 * base::kPi));
  return out;
}

// The first mode of a clamped light shank with the head's mass at its end, sqrt(3EI/(m l^3)), is an upper
// bound as the head's turning adds to it.
TEST(Shank, LowestModeOfAHeldHammerIsThatOfAHeavyCantilever) {
  const ActionDesign d = bending_design();
  const HammerPieces cut = cut_hammer(d);
  const auto held = find_modes(d, 1e9).hertz;
  const double k = 3 * d.options.shank.bending / std::pow(d.hammer_length, 3);
  const double simple = std::sqrt(k / cut.mass[2].mass) / (2 * base::kPi);
  EXPECT_LT(held[0], 1.3 * simple);
  EXPECT_GT(held[0], 0.7 * simple);
}

// [@askenfelt1991]: the two lowest modes of the hammer in its action near 50 and 250 Hz. With
// the root on the leather of the knuckle under the force of an mf blow. The lowest comes near; the second,
// the head turning against the shank, lies higher: with the stiffness of the four bench shanks both modes are
// high, with that of a maple rod of 6 mm (EI 0.8 N m2, from memory) they are at the source's. The two
// witnesses disagree over the stiffness by a factor of three, and the source does not say what the hammer
// rested on.
TEST(Shank, ModesInTheActionAgainstThePublishedOnes) {
  const ActionDesign d = bending_design();
  const double blow = 12;  // [N] on the knuckle at mf
  const auto& leather = d.laws[kJackKnuckle].cloth;
  const double depth = leather.compression(blow);
  const double root = leather.elastic_slope(depth) * d.hanging_distance * d.hanging_distance;
  const auto bench = find_modes(d, root).hertz;
  ActionDesign soft = d;
  soft.options.shank.bending = 0.8;
  const auto maple = find_modes(soft, root).hertz;
  RecordProperty("bench_first_hz", std::to_string(bench[0]));
  RecordProperty("bench_second_hz", std::to_string(bench[1]));
  RecordProperty("maple_first_hz", std::to_string(maple[0]));
  RecordProperty("maple_second_hz", std::to_string(maple[1]));
  std::printf(
      "modes on the knuckle: bench shanks %.0f and %.0f Hz, maple rod %.0f and %.0f Hz; held %.0f and %.0f\n",
      bench[0], bench[1], maple[0], maple[1], find_modes(d, 1e9).hertz[0], find_modes(d, 1e9).hertz[1]);
  EXPECT_GT(bench[0], 45);
  EXPECT_LT(bench[0], 85);
  EXPECT_GT(maple[0], 35);
  EXPECT_LT(maple[0], 65);
  EXPECT_GT(maple[1], 150);
  EXPECT_LT(maple[1], 350);
}

// At rest the head sags by what the beam gives under its weight; the regulation, which sets let-off and blow
// at the crown, takes it up.
TEST(Shank, SagsAtRestUnderTheHead) {
  const ActionDesign d = bending_design();
  const Action a = assemble(d, {});
  const Rest rest = find_rest(a);
  ASSERT_FALSE(rest.state.empty());
  const double bend = rest.state[at(a.hammer_pieces[2])] - rest.state[at(kHammer)];
  EXPECT_LT(bend, 0);
  const HammerPieces cut = cut_hammer(d);
  const double weight = cut.mass[2].mass * base::kGravity;
  const double arm = d.hammer_length - d.hanging_distance;
  const double most = weight * arm * arm / (2 * d.options.shank.bending) * 1.5;
  EXPECT_GT(bend, -most);
}

// A shank ten times as stiff is ten times nearer to the stiff one: differences vanish in the first order of
// the compliance.
TEST(Shank, TendsToTheStiffShank) {
  const auto crown_at_rest = [](const ActionDesign& d) {
    const Action a = assemble(d, {});
    const Rest rest = find_rest(a);
    planar::VecQ q = a.q_drawn;
    for (int i = 0; i < a.mechanism.n(); ++i) q[i] = rest.state[at(i)];
    return a.string_gap(q);
  };
  const double stiff = crown_at_rest(design_with({}));
  const double one = crown_at_rest(bending_design()) - stiff, ten = crown_at_rest(bending_design(10)) - stiff;
  EXPECT_GT(one, 1e-6) << "the head hangs lower";
  EXPECT_LT(one, 0.2e-3);
  EXPECT_NEAR(ten / one, 0.1, 0.01);
}

TEST(Shank, StrokeWithABendingShankKeepsItsEnergy) {
  const Played p = regulate_and_play(bending_design());
  ASSERT_TRUE(p.by_playing.ok);
  const FoundTouch f = find_pressed_touch(p.action, p.rest, 4.5);
  ASSERT_TRUE(f.found);
  const auto r = play_touch(p, f.touch);
  EXPECT_TRUE(r.happened(kCheck));
  EXPECT_LT(std::abs(r.audit.error()), 1e-4);
  EXPECT_GE(r.audit.least_loss_rate, -1e-9);
  // Key bottom against string: the shank that bends brings the key down earlier at loud touch.
  const auto stiff = play_touch(played_as_found(), touch_as_found("f").touch);
  EXPECT_LT(r.measures.key_bottom_after_string, stiff.measures.key_bottom_after_string);
}

}  // namespace
}  // namespace leverwright::action
