// The tree against Lagrange's equations: kinetic and potential energy from positions written a second time,
// everything else by differences of those.
#include "sim/planar/body_tree.h"

#include <gtest/gtest.h>

#include "tests/sim/planar/random_tree.h"
#include "tests/support/jacobian.h"

namespace leverwright::planar {
namespace {

using support::difference_jacobian;

// Centres of mass (x, y) and angles, stacked per body.
Eigen::VectorXd placed(const BodyTree& tree, const Eigen::VectorXd& q) {
  const auto poses = complex_poses(tree, q);
  Eigen::VectorXd out(3 * tree.size());
  for (int i = 0; i < tree.size(); ++i) {
    const ComplexPose& p = poses[static_cast<std::size_t>(i)];
    const auto cm = p.origin + p.turn * as_complex(tree.body(i).p_cm);
    out.segment<3>(3 * i) << cm.real(), cm.imag(), p.angle;
  }
  return out;
}

Eigen::MatrixXd mass_by_differences(const BodyTree& tree, const Eigen::VectorXd& q) {
  const Eigen::MatrixXd j =
      difference_jacobian([&](const Eigen::VectorXd& x) { return placed(tree, x); }, q, 2e-3);
  Eigen::VectorXd weights(3 * tree.size());
  for (int i = 0; i < tree.size(); ++i)
    weights.segment<3>(3 * i) << tree.body(i).mass, tree.body(i).mass, tree.body(i).inertia_cm;
  return j.transpose() * weights.asDiagonal() * j;
}

double potential(const BodyTree& tree, const Vec2& gravity, const Eigen::VectorXd& q) {
  const Eigen::VectorXd at = placed(tree, q);
  double v = 0;
  for (int i = 0; i < tree.size(); ++i) v -= tree.body(i).mass * gravity.dot(at.segment<2>(3 * i));
  return v;
}

struct Case {
  BodyTree tree;
  VecQ q, v;
  std::vector<Pose> poses;
  Vec2 gravity;
};

Case random_case(unsigned seed) {
  Draw draw(seed);
  Case c;
  const int n = draw.whole(1, 8);
  c.tree = random_tree(draw, n);
  c.q = draw.coordinates(n, 1.2);
  c.v = draw.coordinates(n, 3);
  c.gravity = draw.vector(9);
  c.poses.resize(static_cast<std::size_t>(n) + 1);
  c.tree.calc_poses(c.q, c.v, c.poses);
  return c;
}

class RandomTree : public ::testing::TestWithParam<unsigned> {};
INSTANTIATE_TEST_SUITE_P(Seeds, RandomTree, ::testing::Range(1u, 25u));

TEST_P(RandomTree, MassMatrixComesFromKineticEnergy) {
  const Case c = random_case(GetParam());
  MatQ mass;
  VecQ rest;
  c.tree.calc_inertia(c.poses, c.gravity, mass, rest);
  const Eigen::MatrixXd expected = mass_by_differences(c.tree, c.q);
  EXPECT_LT((mass - expected).cwiseAbs().maxCoeff(), 1e-9 * expected.cwiseAbs().maxCoeff());
  EXPECT_NEAR(c.tree.kinetic_energy(c.poses), 0.5 * c.v.dot(expected * c.v),
              1e-9 * std::max(1.0, c.tree.kinetic_energy(c.poses)));
}

// d/dt dT/dv - dT/dq with M(q) differenced once more: c_k = sum (dM_kj/dq_i - dM_ij/dq_k / 2) v_i v_j.
TEST_P(RandomTree, BiasAndGravityAreLagranges) {
  const Case c = random_case(GetParam());
  const int n = c.tree.size();
  MatQ mass;
  VecQ claimed;
  c.tree.calc_inertia(c.poses, c.gravity, mass, claimed);

  const Eigen::VectorXd q = c.q, v = c.v;
  const Eigen::MatrixXd dm = difference_jacobian(
      [&](const Eigen::VectorXd& x) {
        const Eigen::MatrixXd m = mass_by_differences(c.tree, x);
        return Eigen::VectorXd(Eigen::Map<const Eigen::VectorXd>(m.data(), m.size()));
      },
      q, 2e-3);
  const Eigen::MatrixXd dv = difference_jacobian(
      [&](const Eigen::VectorXd& x) { return Eigen::VectorXd::Constant(1, potential(c.tree, c.gravity, x)); },
      q, 2e-3);
  Eigen::VectorXd expected(n);
  for (int k = 0; k < n; ++k) {
    double bias = 0;
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) bias += (dm(k + n * j, i) - 0.5 * dm(i + n * j, k)) * v[i] * v[j];
    expected[k] = -dv(0, k) - bias;
  }
  // Differences of differences keep about 1e-10 of M.
  const double scale = std::max(1.0, expected.cwiseAbs().maxCoeff());
  EXPECT_LT((claimed - expected).cwiseAbs().maxCoeff(), 2e-8 * scale);
  EXPECT_NEAR(c.tree.gravity_energy(c.poses, c.gravity), potential(c.tree, c.gravity, q),
              1e-12 * scale * 100);
}

// Along q + v t + a t^2/2 the second time derivative of the centre of mass is what cm_acceleration says.
TEST_P(RandomTree, AccelerationsAreSecondDerivativesOfPositions) {
  const Case c = random_case(GetParam());
  Draw draw(GetParam() + 1000);
  const VecQ a = draw.coordinates(c.tree.size(), 5);
  const auto at = [&](double t) { return placed(c.tree, Eigen::VectorXd(c.q + t * c.v + 0.5 * t * t * a)); };
  const double h = 1e-3;
  const Eigen::VectorXd second =
      (-at(-2 * h) + 16 * at(-h) - 30 * at(0) + 16 * at(h) - at(2 * h)) / (12 * h * h);
  for (int i = 0; i < c.tree.size(); ++i) {
    const Vec2 claimed = c.tree.cm_acceleration(c.poses, i, a);
    EXPECT_LT((claimed - second.segment<2>(3 * i)).norm(), 2e-7 * std::max(1.0, claimed.norm()))
        << c.tree.name(i);
  }
}

TEST_P(RandomTree, VelocityRowsAreSlopesOfPointPositions) {
  const Case c = random_case(GetParam());
  Draw draw(GetParam() + 2000);
  const int body = draw.whole(0, c.tree.size() - 1);
  const Vec2 r = draw.vector(0.5), direction = draw.vector(1);
  const Vec2 p_W = c.poses[static_cast<std::size_t>(body)].to_W(r);
  VecQ row = VecQ::Zero(c.tree.size());
  c.tree.add_velocity_row(c.poses, body, p_W, direction, 1.7, row);
  const auto along = [&](const Eigen::VectorXd& q) {
    const ComplexPose p = complex_poses(c.tree, q)[static_cast<std::size_t>(body)];
    const auto at = p.origin + p.turn * as_complex(r);
    return Eigen::VectorXd::Constant(1, 1.7 * (direction.x() * at.real() + direction.y() * at.imag()));
  };
  EXPECT_TRUE(support::jacobian_agrees(along, c.q, row.transpose(), 1e-3, 1e-10));
  EXPECT_NEAR(1.7 * direction.dot(c.tree.point_velocity(c.poses, body, p_W)), row.dot(c.v), 1e-12 * 10);
}

TEST(BodyTree, FindsBodiesByName) {
  Draw draw(7);
  const BodyTree tree = random_tree(draw, 4);
  EXPECT_EQ(tree.find("body 2"), 2);
  EXPECT_EQ(tree.find("body 9"), -1);
  EXPECT_EQ(tree.name(kGround), "ground");
}

// A slide on a slide on the ground turns with nothing; one on a revolute body turns with that.
TEST(BodyTree, KnowsWhoseAngleABodyHas) {
  BodyTree tree;
  Body b;
  b.joint = Joint::kSlide;
  tree.add(b);
  b.parent = 0;
  tree.add(b);
  b.joint = Joint::kRevolute;
  tree.add(b);
  b.joint = Joint::kSlide;
  b.parent = 2;
  tree.add(b);
  EXPECT_EQ(tree.angle_coordinate(1), -1);
  EXPECT_EQ(tree.angle_coordinate(2), 2);
  EXPECT_EQ(tree.angle_coordinate(3), 2);
  EXPECT_EQ(tree.angle_coordinate(kGround), -1);
}

// The order of the list is of no account: a body hung on a later one moves as if that one had come first.
TEST(BodyTree, a_body_may_hang_on_one_listed_later) {
  Body carrier, arm, tip;
  carrier.joint = Joint::kSlide;
  carrier.p_joint = Vec2(0.1, -0.2);
  carrier.slide_direction = Vec2(0.6, 0.8);
  carrier.mass = 0.03;
  arm.p_joint = Vec2(0.02, 0.01);
  arm.mass = 0.11;
  arm.p_cm = Vec2(0.05, -0.03);
  arm.inertia_cm = 2e-4;
  tip.p_joint = Vec2(0.2, 0.04);
  tip.mass = 0.02;
  tip.p_cm = Vec2(-0.01, 0.02);
  tip.inertia_cm = 3e-6;
  BodyTree ordered, hung;
  ordered.add(carrier);
  arm.parent = 0;
  ordered.add(arm);
  tip.parent = 1;
  ordered.add(tip);
  arm.parent = kGround;
  hung.add(arm);
  tip.parent = 0;
  hung.add(tip);
  hung.add(carrier);
  hung.reparent(0, 2, arm.p_joint);
  const int place[3] = {2, 0, 1};  // of the ordered tree's bodies in the other
  VecQ q(3), v(3), q2(3), v2(3);
  q << 0.03, 0.4, -0.7;
  v << 0.5, -2.1, 3.3;
  for (int i = 0; i < 3; ++i) {
    q2[place[i]] = q[i];
    v2[place[i]] = v[i];
  }
  std::vector<Pose> a(4), b(4);
  ordered.calc_poses(q, v, a);
  hung.calc_poses(q2, v2, b);
  MatQ m, m2;
  VecQ f, f2;
  const Vec2 gravity(0.3, -9.8);
  ordered.calc_inertia(a, gravity, m, f);
  hung.calc_inertia(b, gravity, m2, f2);
  for (int i = 0; i < 3; ++i) {
    EXPECT_NEAR(f[i], f2[place[i]], 1e-14);
    EXPECT_EQ(hung.angle_coordinate(place[i]), i == 0 ? -1 : place[i]);
    for (int k = 0; k < 3; ++k) EXPECT_NEAR(m(i, k), m2(place[i], place[k]), 1e-16);
  }
}

}  // namespace
}  // namespace leverwright::planar
