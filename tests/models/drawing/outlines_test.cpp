// What is drawn stands where the mechanism has it, with every option on, and a re-glued heel takes its wood.
#include "models/drawing/outlines.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "models/action/key_options.h"
#include "models/action/options.h"
#include "models/drawing/damper_outline.h"
#include "models/remedies/read_case.h"

namespace leverwright::drawing {
namespace {

case_file::CaseDescription demo(bool all_options) {
  case_file::CaseDescription d = remedies::read_case("cases/missed_heel/case.toml");
  for (int o = 0; o < action::kOptionCount; ++o)
    d = action::with_option(d, static_cast<action::Option>(o), all_options);
  return d;
}

action::Action assembled(const case_file::CaseDescription& d, std::size_t set_up = 0) {
  return action::assemble(action::design(d, d.set_ups[set_up]), {});
}

struct DrawnPose {
  Vec2 o{0, 0};
  double angle = 0;
};
Vec2 placed(const DrawnPose& p, const Vec2& r) {
  return p.o + Vec2(std::cos(p.angle) * r.x() - std::sin(p.angle) * r.y(),
                    std::sin(p.angle) * r.x() + std::cos(p.angle) * r.y());
}

TEST(Outlines, EveryBodyHangsWhereTheMechanismHasIt) {
  const action::Action a = assembled(demo(true));
  planar::Scratch s(a.mechanism);
  s.q = a.q_drawn;
  s.v.setZero();
  for (int i = 0; i < a.mechanism.n(); ++i) s.q[i] += (i == a.lift_body ? 0.7e-3 : 0.01) * (1 + 0.3 * i);
  a.mechanism.tree.calc_poses(s.q, s.v, s.poses);
  std::map<std::string, DrawnPose> drawn{{"ground", {}}};
  const auto bodies = find_body_outlines(a);
  ASSERT_EQ(bodies.size(), 10u) << "five, two more of the shank, back check, damper lever and head";
  int sliding = 0;
  for (const BodyOutline& b : bodies) {
    ASSERT_EQ(drawn.count(b.parent), 1u) << b.body << " before its parent " << b.parent;
    Vec2 joint = b.joint;
    if (b.slide >= 0) joint += s.q[b.slide] * b.slide_way, ++sliding;
    const DrawnPose here{placed(drawn.at(b.parent), joint), b.index == kUpright ? 0.0 : s.q[b.index]};
    drawn[b.body] = here;
    const planar::Pose there = find_drawn_pose(a, b, s.poses);
    EXPECT_NEAR((here.o - there.o).norm(), 0, 1e-12) << b.body;
    EXPECT_NEAR(here.angle, there.angle, 1e-12) << b.body;
    EXPECT_GE(b.outline.size(), 4u);
  }
  EXPECT_EQ(sliding, 1) << "the key on its punching";
}

TEST(Outlines, PiecesOfABendingShankMakeTheStraightHammer) {
  const action::Action bent = assembled(demo(true)), stiff = assembled(demo(false));
  const auto far_end = [](const action::Action& a) {
    double x = 0;
    for (const BodyOutline& b : find_body_outlines(a))
      for (std::size_t k = 0; k < a.hammer_pieces.size(); ++k)
        if (a.hammer_pieces[k] == b.index)
          for (const Vec2& p : b.outline) x = std::max(x, p.x() + a.hammer_origins[k].x());
    return x;
  };
  EXPECT_NEAR(far_end(bent), far_end(stiff), 1e-12);
}

TEST(Outlines, ReGluedHeelTakesItsWoodAlong) {
  const case_file::CaseDescription d = demo(false);
  std::size_t glued = 0;
  while (d.set_ups[glued].name != "heel re-glued") ++glued;
  const auto before = action::design(d, d.set_ups[0]), after = action::design(d, d.set_ups[glued]);
  ASSERT_TRUE(before.heel_outline.empty());
  ASSERT_EQ(after.heel_outline.size(), 8u);
  const auto area = [](const std::vector<Vec2>& p) {
    double twice = 0;
    for (std::size_t i = 0; i < p.size(); ++i) twice += base::cross(p[i], p[(i + 1) % p.size()]);
    return std::abs(0.5 * twice);
  };
  EXPECT_NEAR(area(after.wippen_outline) + area(after.heel_outline), area(before.wippen_outline), 1e-12)
      << "the shim of this case is 0 mm: nothing but a cut";
  const double shift = after.lifting_face_from - before.lifting_face_from;
  EXPECT_NEAR(std::abs(shift), 3e-3, 1e-12);
  for (const Vec2& p : after.heel_outline) {
    bool was_there = false;
    for (const Vec2& q : before.wippen_outline)
      was_there = was_there || (q + Vec2(shift, 0) - p).norm() < 1e-12;
    EXPECT_TRUE(was_there) << p.x() << " " << p.y();
  }
  int wood = 0;
  for (const Feature& f : find_features(assembled(d, glued))) wood += f.name == "heel wood" ? 1 : 0;
  EXPECT_EQ(wood, 1);
}

TEST(Outlines, StringYieldsMostWhereItIsStruckAndNotBeyondItsSupport) {
  for (const bool on : {true, false})
    for (const Feature& f : find_features(assembled(demo(on)))) {
      if (f.name != "string") continue;
      EXPECT_EQ(f.yields.size(), on ? f.points.size() : 0u);
      if (!on) continue;
      const auto d = demo(true);
      const auto string = action::read_options(d).string;
      const double struck = assembled(d).design.p_H.x() + assembled(d).design.hammer_length;
      for (std::size_t k = 0; k < f.points.size(); ++k) {
        const double x = f.points[k].x() - struck;
        const double reach = (x < 0 ? string.striking_share : 1 - string.striking_share) * string.length;
        EXPECT_NEAR(f.yields[k], std::max(0.0, 1 - std::abs(x) / reach), 1e-12);
      }
    }
}

// The head stands where the mechanism's lever holds it: at rest its felt is pressed by the string's own
// compression; with the lever's tip 3 mm up its lower side is the gap and these above the key's end, and the
// head has risen by the share of the tip's way that its wire has of the lever.
TEST(Outlines, DamperHeadStandsOnTheStringAndRisesWithItsLever) {
  const action::Action a = assembled(demo(true));
  const action::DamperLever& damper = a.design.key_options.damper;
  const auto bodies = find_body_outlines(a);
  const BodyOutline *lever = nullptr, *head = nullptr;
  for (const BodyOutline& b : bodies) {
    if (b.body == action::kDamperBodyName) lever = &b;
    if (b.body == kDamperHeadName) head = &b;
  }
  ASSERT_NE(lever, nullptr);
  ASSERT_NE(head, nullptr);
  std::map<std::string, Feature> features;
  for (const Feature& f : find_features(a)) features[f.name] = f;
  const auto lowest = [](const std::vector<Vec2>& points, const DrawnPose& at) {
    double y = 1;
    for (const Vec2& p : points) y = std::min(y, placed(at, p).y());
    return y;
  };
  planar::Scratch s(a.mechanism);
  s.v.setZero();
  const auto head_at = [&](double angle) {
    s.q = a.q_drawn;
    s.q[a.damper_body] = angle;
    a.mechanism.tree.calc_poses(s.q, s.v, s.poses);
    const planar::Pose p = find_drawn_pose(a, *head, s.poses);
    EXPECT_EQ(p.angle, 0) << "upright";
    return DrawnPose{p.o, p.angle};
  };
  const double share = damper.mass_arm / damper.lever_length, rest = action::damper_rest_angle(a.design);
  const double pressed = damper.string_felt.compression(damper.weight / share);
  ASSERT_GT(pressed, 1e-5);
  EXPECT_NEAR(a.design.string_y - lowest(features.at("damper felt").points, head_at(rest)), pressed,
              1e-3 * pressed)
      << "sine for angle";
  const double up = 3e-3, tip_y = -up / damper.lever_length;  // by small angles
  const DrawnPose raised = head_at(rest + tip_y);
  EXPECT_NEAR(lowest(features.at("damper felt").points, raised) - a.design.string_y + pressed, share * up,
              2e-3 * share * up);
  const planar::Pose l = find_drawn_pose(a, *lever, s.poses);
  const Vec2 below_tip = placed({l.o, l.angle}, Vec2(-damper.lever_length, lever->outline[0].y()));
  const Vec2 end = action::key_end(a.design) + a.design.p_balance;
  EXPECT_NEAR(below_tip.y() - end.y(), action::damper_gap(a.design) + up, 2e-5)
      << "the tip's lower side, so far above the key's end at rest";
  // The wire joins the lever to the head, the stop begins where the lever is stopped, the string reaches
  // there.
  const Feature& wire = features.at("damper wire");
  EXPECT_NEAR((placed(raised, wire.points[0]) - placed({l.o, l.angle}, Vec2(-damper.mass_arm, 0))).norm(), 0,
              1e-12);
  EXPECT_NEAR(placed(raised, wire.points[1]).y(), lowest(head->outline, raised), 1e-12);
  const double stop = action::damper_stop_angle(a.design);
  const Vec2 edge = lever->outline[3] - lever->outline[2];  // upper side
  const Vec2 along(std::cos(stop) * edge.x() - std::sin(stop) * edge.y(),
                   std::sin(stop) * edge.x() + std::cos(stop) * edge.y());
  const Vec2 from = placed({lever->joint, stop}, lever->outline[2]);
  for (const std::size_t k : {0u, 1u})
    EXPECT_NEAR(base::cross(along.normalized(), features.at("damper stop").points[k] - from), 0, 1e-12);
  EXPECT_GT(features.at("string").points.back().x(), raised.o.x() + kDamperHalfLength);
  // Weighed with the dampers lifted, it is drawn held up there.
  const planar::Pose held = find_drawn_pose(a, *lever, s.poses, true);
  EXPECT_EQ(held.angle, stop);
  EXPECT_NEAR(find_drawn_pose(a, *head, s.poses, true).o.y(),
              lever->joint.y() - damper.mass_arm * std::sin(stop), 1e-12);
}

}  // namespace
}  // namespace leverwright::drawing
