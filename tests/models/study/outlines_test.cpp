// What is drawn stands where the mechanism has it, with every option on, and a re-glued heel takes its wood.
#include "models/study/outlines.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "models/action/change.h"
#include "models/action/options.h"
#include "models/case/read_case.h"

namespace leverwright::study {
namespace {

case_file::CaseDescription demo(bool all_options) {
  case_file::CaseDescription d = case_file::read_case("cases/missed_heel/case.toml");
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
  ASSERT_EQ(bodies.size(), 9u) << "five, two more of the shank, back check, damper lever";
  int sliding = 0;
  for (const BodyOutline& b : bodies) {
    ASSERT_EQ(drawn.count(b.parent), 1u) << b.body << " before its parent " << b.parent;
    Vec2 joint = b.joint;
    if (b.slide >= 0) joint += s.q[b.slide] * b.slide_way, ++sliding;
    const DrawnPose here{placed(drawn.at(b.parent), joint), s.q[b.index]};
    drawn[b.body] = here;
    const auto& there = s.poses[static_cast<std::size_t>(b.index)];
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

}  // namespace
}  // namespace leverwright::study
