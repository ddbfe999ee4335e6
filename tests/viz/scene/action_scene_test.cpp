#include "viz/scene/action_scene.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/viz/support/mock_action.h"
#include "viz/scene/inside.h"
#include "viz/scene/motion.h"

namespace leverwright::scene {
namespace {

ActionShape two_bodies() {
  ActionShape shape;
  shape.bodies = {
      {"ground",
       {{"rail", PieceKind::kSolid, Role::kRail, {{0.01, 0}, {0.03, 0}, {0.03, -0.01}}, ""}},
       {},
       {}},
      {"key",
       {{"key", PieceKind::kSolid, Role::kKeyWood, {{-0.1, 0}, {0.2, 0}, {0.2, 0.02}, {-0.1, 0.025}}, "key"},
        {"capstan cap", PieceKind::kCap, Role::kMetal, {{0.13, 0.03}, {0.14, 0.03}, {0.135, 0.04}}, ""}},
       {{"lead", Role::kMetal, {-0.05, 0.01}, 0.006}},
       Point(0.002, 0.001)},
      {"wippen",
       {{"heel surface", PieceKind::kHeelSurface, Role::kFelt, {{-0.07, -0.02}, {-0.06, -0.021}}, ""}},
       {},
       Point(0, 0)}};
  shape.springs = {{"spring", 1, 2, {0.01, 0.02}, {-0.03, 0.005}}};
  return shape;
}

ActionMoment moment_of_two() {
  ActionMoment m;
  m.name = "half stroke";
  m.dip = 4.83e-3;
  m.poses = {{0, 0, 0}, {0.003, -0.001, 0.3}, {0.2, 0.06, -0.05}};
  m.contacts = {{"capstan on heel cloth", {0.135, 0.041}, {0.4, 3}}, {"idle", {0.1, 0.02}, {0.01, 0.02}}};
  m.traces = {{"slide path", 2, {{-0.07, -0.02}, {-0.065, -0.02}, {-0.066, -0.02}}, {1, 3, 2}}};
  return m;
}

// Rotation written out by hand, independent of place().
Point expected(double x, double y, double theta, double px, double py) {
  return Point(1e3 * (x + px * std::cos(theta) - py * std::sin(theta)),
               1e3 * (y + px * std::sin(theta) + py * std::cos(theta)));
}

TEST(ActionScene, PlacesBodiesInMillimetresInOrder) {
  ActionSceneOptions options;
  options.title = "two bodies";
  const Scene scene = build_action_scene(two_bodies(), moment_of_two(), options);
  std::vector<std::string> names;
  for (const Shape& s : scene.shapes) names.push_back(name_of(s));
  const std::vector<std::string> wanted{"rail",
                                        "key",
                                        "capstan cap",
                                        "lead",
                                        "heel surface",
                                        "spring",
                                        "line of centres",
                                        "slide path",
                                        "key centre",
                                        "wippen centre",
                                        "capstan on heel cloth force",
                                        "capstan on heel cloth",
                                        "idle",
                                        "key"};
  EXPECT_EQ(names, wanted);

  const Path& key = std::get<Path>(scene.shapes[1]);
  ASSERT_EQ(key.points.size(), 4u);
  EXPECT_TRUE(key.closed);
  EXPECT_EQ(key.fill->role, Role::kKeyWood);
  EXPECT_LT((key.points[3] - expected(0.003, -0.001, 0.3, -0.1, 0.025)).norm(), 1e-9);
  const Circle& lead = std::get<Circle>(scene.shapes[3]);
  EXPECT_LT((lead.centre - expected(0.003, -0.001, 0.3, -0.05, 0.01)).norm(), 1e-9);
  EXPECT_DOUBLE_EQ(lead.radius, 6);
  const Path& heel = std::get<Path>(scene.shapes[4]);
  EXPECT_FALSE(heel.closed);
  EXPECT_FALSE(heel.fill.has_value());
  EXPECT_EQ(scene.clock, "half stroke, dip 4.8 mm");
}

TEST(ActionScene, SpringRunsFromOneBodyToTheOther) {
  const Scene scene = build_action_scene(two_bodies(), moment_of_two(), {});
  const Path& spring = std::get<Path>(scene.shapes[5]);
  EXPECT_LT((spring.points.front() - expected(0.003, -0.001, 0.3, 0.01, 0.02)).norm(), 1e-9);
  EXPECT_LT((spring.points.back() - expected(0.2, 0.06, -0.05, -0.03, 0.005)).norm(), 1e-9);
  EXPECT_EQ(spring.points.size(), 10u);
}

TEST(ActionScene, LineOfCentresJoinsThePivots) {
  const Scene scene = build_action_scene(two_bodies(), moment_of_two(), {});
  const Path& line = std::get<Path>(scene.shapes[6]);
  EXPECT_LT((line.points[0] - expected(0.003, -0.001, 0.3, 0.002, 0.001)).norm(), 1e-9);
  EXPECT_LT((line.points[1] - Point(200, 60)).norm(), 1e-9);
}

TEST(ActionScene, ForceArrowHasTheScaleAskedFor) {
  ActionSceneOptions options;
  options.millimetres_per_newton = 7;
  const Scene scene = build_action_scene(two_bodies(), moment_of_two(), options);
  const Arrow& arrow = std::get<Arrow>(scene.shapes[10]);
  EXPECT_LT((arrow.tip - arrow.tail - Point(2.8, 21)).norm(), 1e-9);
  EXPECT_LT((arrow.tail - Point(135, 41)).norm(), 1e-9);
  options.forces = false;
  options.labels = false;
  EXPECT_EQ(build_action_scene(two_bodies(), moment_of_two(), options).shapes.size(),
            scene.shapes.size() - 2);
}

TEST(ActionScene, NormalForceAndFrictionAreTwoArrowsWithAKey) {
  ActionMoment moment = moment_of_two();
  moment.contacts[0].normal = Point(0.1, 2.9);  // of (0.4, 3)
  ActionSceneOptions options;
  options.millimetres_per_newton = 10;
  const Scene scene = build_action_scene(two_bodies(), moment, options);
  const auto find = [&](const std::string& name) {
    for (const Shape& s : scene.shapes)
      if (name_of(s) == name) return std::get<Arrow>(s);
    ADD_FAILURE() << name;
    return Arrow{};
  };
  const Arrow normal = find("capstan on heel cloth normal force"),
              friction = find("capstan on heel cloth friction");
  EXPECT_LT((normal.tip - normal.tail - Point(1, 29)).norm(), 1e-9);
  EXPECT_LT((friction.tip - friction.tail - Point(3, 1)).norm(), 1e-9);
  EXPECT_EQ(normal.stroke.role, Role::kForce);
  EXPECT_EQ(friction.stroke.role, Role::kFriction);
  int keys = 0;
  for (const LegendEntry& e : scene.legend)
    if (e.arrow > 0) {
      ++keys;
      EXPECT_DOUBLE_EQ(e.arrow, 10) << e.text;
      EXPECT_NE(e.text.find("1 N"), std::string::npos);
    }
  EXPECT_EQ(keys, 2);
}

TEST(ActionScene, ForceScaleIsRoundAndFitsTheLongestArrow) {
  for (const double newtons : {0.03, 0.7, 1.0, 3.2, 6.01, 44.0, 900.0}) {
    const double scale =
        find_force_scale({{"a", {0, 0}, {0.6 * newtons, -0.8 * newtons}}, {"b", {0, 0}, {0, 0.01}}});
    EXPECT_LE(scale * newtons, 30 + 1e-9);
    EXPECT_GT(scale * newtons, 12 - 1e-9);
  }
  EXPECT_DOUBLE_EQ(find_force_scale({{"a", {0, 0}, {0, 1.4}}}), 20);
}

TEST(ActionScene, AnAngularStopHasNoMarkOnItsPivot) {
  ActionMoment moment = moment_of_two();
  moment.contacts.push_back({"lever stop", {0.2, 0.06}, {0, 5}});  // the wippen's pivot
  const Scene scene = build_action_scene(two_bodies(), moment, {});
  for (const Shape& s : scene.shapes) EXPECT_EQ(name_of(s).find("lever stop"), std::string::npos);
}

TEST(ActionScene, BothLinesOfCentres) {
  ActionShape shape = two_bodies();
  shape.bodies.push_back({"hammer", {}, {}, Point(0.01, 0)});
  ActionMoment moment = moment_of_two();
  moment.poses.push_back({0.1, 0.13, 0.4});
  std::vector<Path> lines;
  for (const Shape& s : build_action_scene(shape, moment, {}).shapes)
    if (name_of(s) == "line of centres") lines.push_back(std::get<Path>(s));
  ASSERT_EQ(lines.size(), 2u);
  EXPECT_LT((lines[1].points[0] - Point(200, 60)).norm(), 1e-9);
  EXPECT_LT((lines[1].points[1] - expected(0.1, 0.13, 0.4, 0.01, 0)).norm(), 1e-9);
}

TEST(ActionScene, LabelsPointIntoTheirBodies) {
  ActionShape shape = two_bodies();
  const std::vector<Point> angled{{0, 0},         {0.03, 0.001},   {0.03, -0.07},
                                  {0.026, -0.07}, {0.025, -0.004}, {0, -0.005}};
  shape.bodies.push_back({"jack", {{"jack", PieceKind::kSolid, Role::kKeyWood, angled, "jack"}}, {}, {}});
  ActionMoment moment = moment_of_two();
  moment.poses.push_back({0.05, 0.1, -0.4});
  const Scene scene = build_action_scene(shape, moment, {});
  int labels = 0;
  for (const Shape& s : scene.shapes) {
    const auto* label = std::get_if<Label>(&s);
    if (!label || !label->automatic) continue;
    ++labels;
    for (const Shape& other : scene.shapes) {
      const auto* path = std::get_if<Path>(&other);
      if (path && path->name == label->text) {
        EXPECT_TRUE(is_inside(path->points, label->at)) << label->text;
      }
    }
  }
  EXPECT_EQ(labels, 2);
}

TEST(ActionScene, InnerPointOfAnAngleStandsClearOfItsEdges) {
  const std::vector<Point> angle{{0, 0}, {30, 0}, {30, 4}, {5, 4}, {5, 40}, {0, 40}};
  EXPECT_FALSE(is_inside(angle, {70.0 / 6, 88.0 / 6})) << "the mean of its corners";
  EXPECT_TRUE(is_inside(angle, {2, 39}));
  EXPECT_FALSE(is_inside(angle, {-1, 39}));
  const Point p = find_inner_point(angle);
  EXPECT_TRUE(is_inside(angle, p));
  for (const Point& away : {Point(1.9, 0), Point(-1.9, 0), Point(0, 1.9), Point(0, -1.9)})
    EXPECT_TRUE(is_inside(angle, p + away)) << p.x() << ", " << p.y();
}

TEST(ActionScene, TraceKeepsValuesAndTheirRange) {
  const Scene scene = build_action_scene(two_bodies(), moment_of_two(), {});
  const Trace& trace = std::get<Trace>(scene.shapes[7]);
  EXPECT_EQ(trace.values, (std::vector<double>{1, 3, 2}));
  EXPECT_EQ(trace.low, 0);
  EXPECT_EQ(trace.high, 3);
  EXPECT_LT((trace.points[1] - expected(0.2, 0.06, -0.05, -0.065, -0.02)).norm(), 1e-9);
}

TEST(ActionScene, ViewHoldsEveryBody) {
  const Scene scene = build_action_scene(mock::invented_action(), mock::invented_moment(3.7e-3, "x"), {});
  for (const Shape& s : scene.shapes) {
    if (const auto* path = std::get_if<Path>(&s))
      for (const Point& p : path->points) {
        EXPECT_GT(p.x(), scene.view.x0);
        EXPECT_LT(p.y(), scene.view.y1);
      }
  }
}

TEST(HeelOverlay, DrawsEverySetUpInItsOwnStyle) {
  std::vector<SetUpMoment> set_ups;
  const std::vector<std::pair<std::string, mock::Variation>> all{
      {"as found", {}}, {"relocated", {-3e-3, 0, 0}}, {"built up", {0, 0, 0.7e-3}}};
  for (const auto& [name, v] : all)
    set_ups.push_back({name, mock::invented_action(v), mock::invented_moment(2e-3, "rest", v)});
  const std::vector<Shape> shapes = build_heel_overlay(set_ups);
  for (size_t i = 0; i < all.size(); ++i) {
    const std::string name = all[i].first;
    int lines = 0, marks = 0;
    for (const Shape& s : shapes) {
      if (name_of(s) == name + ": capstan cap" || name_of(s) == name + ": heel surface") {
        const Path& path = std::get<Path>(s);
        EXPECT_EQ(path.stroke->role, set_up_role(static_cast<int>(i)));
        EXPECT_EQ(path.stroke->dashes, set_up_dash(static_cast<int>(i)));
        ++lines;
      }
      if (name_of(s) == name + ": contact") ++marks;
    }
    EXPECT_EQ(lines, 2) << name;
    EXPECT_EQ(marks, 1) << name;
  }
}

TEST(HeelOverlay, KnuckleIsEnlargedBesideItWithItsTrace) {
  SetUpMoment s{"as found", mock::invented_action(), mock::invented_moment(5e-3, "half stroke")};
  size_t hammer = 0;
  for (size_t b = 0; b < s.shape.bodies.size(); ++b)
    if (s.shape.bodies[b].name == "hammer") hammer = b;
  ASSERT_FALSE(s.shape.bodies[hammer].rounds.empty());
  RoundPiece& knuckle = s.shape.bodies[hammer].rounds.front();
  knuckle.name = "knuckle";
  const Point low = knuckle.centre - Point(0, knuckle.radius);
  s.moment.traces = {{"jack on the knuckle", static_cast<int>(hammer), {low, low + Point(1e-4, 0)}, {1, 2}}};
  const Scene scene = build_overlay_scene({s}, {}, 6);
  ASSERT_EQ(scene.insets.size(), 2u);
  const Inset& inset = scene.insets[1];
  EXPECT_NEAR(inset.magnification(), 4.5, 1e-12);
  EXPECT_GT(inset.to.x0, scene.insets[0].to.x1);
  bool traced = false;
  for (const Shape& shape : inset.shapes)
    if (const auto* trace = std::get_if<Trace>(&shape)) {
      traced = true;
      EXPECT_GT(trace->points[0].x(), inset.from.x0);
      EXPECT_LT(trace->points[0].y(), inset.from.y1);
    }
  EXPECT_TRUE(traced);
}

TEST(HeelOverlay, InsetShowsTheCapAtTheMagnificationAskedFor) {
  const std::vector<SetUpMoment> set_ups{
      {"as found", mock::invented_action(), mock::invented_moment(5e-3, "half stroke")}};
  const Scene scene = build_overlay_scene(set_ups, {}, 6);
  ASSERT_GE(scene.insets.size(), 1u);
  const Inset& inset = scene.insets[0];
  EXPECT_NEAR(inset.magnification(), 6, 1e-12);
  EXPECT_NEAR(inset.to.height() / inset.from.height(), 6, 1e-12);
  Box cap;
  for (const Shape& s : inset.shapes)
    if (name_of(s) == "as found: capstan cap") cap = bounds(s);
  ASSERT_FALSE(cap.empty());
  EXPECT_LT(inset.from.x0, cap.x0);
  EXPECT_GT(inset.from.x1, cap.x1);
  EXPECT_NEAR(inset.from.centre().y(), cap.y1, 1e-9);
  EXPECT_GE(inset.to.x0, scene.view.x0);
  EXPECT_LE(inset.to.y1, scene.view.y1);
}

// What hangs on a lever and does not turn with it, as a damper's head on its wire.
TEST(Motion, WhatIsKeptUprightFollowsItsLeverOnly) {
  ActionMotion m;
  m.shape.bodies = {
      {"ground", {}, {}, {}},
      {"damper lever", {}, {}, {}},
      {"damper head",
       {{"damper felt", PieceKind::kSolid, Role::kFelt, {{-0.02, 0.1}, {0.02, 0.1}, {0.02, 0.11}}, ""}},
       {},
       {}}};
  m.parent = {0, 0, 1};
  m.joint = {{0, 0}, {0.31, 0.04}, {-0.045, 0}};
  m.time = {0, 1};
  m.angle = {{}, {0.01, -0.09}, {0, 0}};
  m.speed = {{}, {-0.1, -0.1}, {0, 0}};
  for (const double t : {0.0, 0.37, 1.0}) {
    const auto poses = find_poses(m, t);
    const double lever = 0.01 - 0.1 * t;
    EXPECT_NEAR(poses[1].theta, lever, 1e-12);
    EXPECT_EQ(poses[2].theta, 0);
    EXPECT_NEAR(poses[2].x, 0.31 - 0.045 * std::cos(lever), 1e-12);
    EXPECT_NEAR(poses[2].y, 0.04 - 0.045 * std::sin(lever), 1e-12);
    const auto felt = place_piece(m.shape.bodies[2].pieces[0], poses[2], 0);
    EXPECT_NEAR(felt[0].y(), felt[1].y(), 1e-12) << "level";
    EXPECT_NEAR(felt[0].y(), 1e3 * (0.14 - 0.045 * std::sin(lever)), 1e-9);
  }
}

}  // namespace
}  // namespace leverwright::scene
