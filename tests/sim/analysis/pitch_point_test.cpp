// Aronhold-Kennedy: sliding speed is the relative turning speed times the distance from contact to pitch
// point.
#include "sim/analysis/pitch_point.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/planar/mechanism.h"
#include "tests/sim/analysis/lever_train.h"

namespace leverwright::analysis {
namespace {

using planar::Scratch;

// Rigid kinematics (depth rate zero) of both contacts of the train over the whole
// stroke.
TEST(PitchPoint, SlidingSpeedIsRelativeSpeedTimesDistanceToThePitchPoint) {
  TrainOptions o;
  o.friction = o.hysteresis = o.pivot = 0;
  const Train train = make_train(o);
  const Strokes path = lead_train(train, false, 0.5e-3, 9.5e-3, 0.1e-3);
  ASSERT_TRUE(path.ok);
  const auto& m = train.mechanism;
  const int pairs[2][2] = {{0, 1}, {1, 2}};
  int above = 0, below = 0;
  for (const auto& s : path.down)
    for (std::size_t c = 0; c < 2; ++c) {
      Scratch w(m);
      w.q = s.state.q;
      m.calc_geometry(w);
      const int a = pairs[c][0], b = pairs[c][1];
      w.v.setZero();
      w.v[a] = 1.3;
      w.v[b] = -w.J_d[c][a] * w.v[a] / w.J_d[c][b];
      const double slip = w.J_t[c].dot(w.v), relative = w.v[b] - w.v[a];
      const auto& t = w.contact_points[c];
      const base::Vec2 c_a = w.poses[static_cast<std::size_t>(a)].o,
                       c_b = w.poses[static_cast<std::size_t>(b)].o;
      const PitchPoint i = find_pitch_point(c_a, c_b, t.p, t.n);
      ASSERT_TRUE(i.exists);
      const double scale = std::abs(relative) * std::min((t.p - c_a).norm(), (t.p - c_b).norm());
      EXPECT_NEAR(std::abs(slip), std::abs(relative) * (i.p - t.p).norm(), 1e-12 * scale);
      EXPECT_NEAR(slip, slip_velocity(i, relative), 1e-12 * scale);
      EXPECT_NEAR(w.v[b] / w.v[a], i.speed_ratio, 1e-12 * std::abs(i.speed_ratio));
      EXPECT_NEAR(line_distance(c_a, c_b, i.p), 0, 1e-15);
      (i.line_distance > 0 ? above : below)++;
    }
  EXPECT_GT(above, 10);
  EXPECT_GT(below, 10);
}

// Slow motion on compressed cloth: the surfaces approach at the depth rate besides. The bodies turn about a
// point I of the line of centres with omega_a (I - c_a) = omega_b (I - c_b), so slip and approach are the
// relative turning speed times the distance of I from the contact across and along the normal; the pitch
// point is where the normal meets the line of centres, and I lies off it by (depth rate) / (omega_rel sin),
// sin between the two lines.
TEST(PitchPoint, CompressedContactsKeepToIt) {
  TrainOptions o;
  const Train train = make_train(o);
  const Strokes path = lead_train(train, true, 1e-3, 9e-3, 0.1e-3);
  ASSERT_TRUE(path.ok);
  double most_approach = 0, most_slip = 0;
  for (const auto* list : {&path.down, &path.up})
    for (const auto& s : *list) {
      Scratch w(train.mechanism);
      w.q = s.state.q;
      train.mechanism.tree.calc_poses(w.q, w.v, w.poses);
      const auto& t = s.contact_points[0];
      const base::Vec2 c_a = w.poses[0].o, c_b = w.poses[1].o;
      const double relative = s.dq[1] - s.dq[0];
      const double scale = std::abs(relative) * (t.p - c_b).norm();
      const base::Vec2 centre = (s.dq[1] * c_b - s.dq[0] * c_a) / relative;
      EXPECT_NEAR(line_distance(c_a, c_b, centre), 0, 1e-12);
      EXPECT_NEAR(std::abs(s.slip_rate[0]), std::abs(relative * (centre - t.p).dot(t.n)), 1e-9 * scale);
      EXPECT_NEAR(std::abs(s.depth_rate[0]), std::abs(relative * base::cross(t.n, centre - t.p)),
                  1e-9 * scale);
      const PitchPoint i = find_pitch_point(c_a, c_b, t.p, t.n);
      const double sine = std::abs(base::cross((c_b - c_a).normalized(), t.n));
      const double off = std::abs(s.depth_rate[0] / (relative * sine));
      EXPECT_NEAR((centre - i.p).norm(), off, 1e-9 * (t.p - c_b).norm());
      EXPECT_LE(std::abs(s.slip_rate[0] - slip_velocity(i, relative)),
                std::abs(relative) * off + 1e-9 * scale);
      most_approach = std::max(most_approach, std::abs(s.depth_rate[0]));
      most_slip = std::max(most_slip, std::abs(s.slip_rate[0]));
    }
  EXPECT_GT(most_approach, 1e-3);  // the path does compress the cloth, or this shows nothing
  EXPECT_GT(most_slip, 1e-2);
}

TEST(PitchPoint, ParallelNormalHasNone) {
  const base::Vec2 a(0.01, 0.02), b(0.21, 0.07), p(0.1, 0.06);
  EXPECT_FALSE(find_pitch_point(a, b, p, (b - a).normalized()).exists);
  EXPECT_GT(find_pitch_point(a, b, p, base::Vec2(0, 1)).line_distance, 0);
}

TEST(InstantCentre, IsWhereTheBodyStandsStill) {
  planar::Pose pose;
  pose.o = base::Vec2(0.13, -0.04);
  pose.v_o = base::Vec2(0.31, 0.17);
  pose.omega = -2.3;
  const InstantCentre c = find_instant_centre(pose);
  ASSERT_TRUE(c.exists);
  EXPECT_LT((pose.v_o + pose.omega * base::perp(c.p - pose.o)).norm(), 1e-15);
  EXPECT_FALSE(find_instant_centre(planar::Pose{}).exists);
}

}  // namespace
}  // namespace leverwright::analysis
