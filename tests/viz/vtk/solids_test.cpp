// Bodies made of outlines are closed and of the right size, a picture of them is lit and the same every time, and a
// player goes where it is told.
#include "viz/vtk/solids.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdlib>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/viz/support/mock_action.h"
#include "viz/vtk/player.h"
#include "viz/vtk/solid_picture.h"
#include "viz/vtk/watch_window.h"

namespace leverwright::vtk {
namespace {

using scene::Point;

scene::ActionShape one_piece(const scene::Piece& piece) {
  scene::ActionShape shape;
  shape.bodies.push_back({"ground", {piece}, {}, {}});
  return shape;
}

scene::Piece bracket() {  // an L of 20 x 20 mm, 5 mm thick: 175 mm2
  scene::Piece p;
  p.name = "bracket";
  p.points = {{0, 0}, {20e-3, 0}, {20e-3, 5e-3}, {5e-3, 5e-3}, {5e-3, 20e-3}, {0, 20e-3}};
  return p;
}

TEST(Solids, PieceIsAsBigAsItsOutlineTimesItsWidthEitherWayRound) {
  for (const bool reversed : {false, true}) {
    scene::Piece p = bracket();
    if (reversed) std::reverse(p.points.begin(), p.points.end());
    p.across = {0, 4e-3};
    EXPECT_NEAR(find_volume(build_solids(one_piece(p)).at(0)), 175e-6 * 8e-3, 1e-12);
    p.across = {3e-3, 4.5e-3};  // two cheeks
    EXPECT_NEAR(find_volume(build_solids(one_piece(p)).at(0)), 175e-6 * 3e-3, 1e-12);
  }
}

TEST(Solids, TurnedPieceIsACylinder) {
  scene::Piece p;
  p.points = {{0, 0}, {6e-3, 8e-3}, {6e-3 - 1.6e-3, 8e-3 + 1.2e-3}, {-1.6e-3, 1.2e-3}};  // 10 long, 2 wide
  p.turned_about = std::atan2(8.0, 6.0);
  const double exact = base::kPi * 1e-6 * 10e-3;
  EXPECT_NEAR(find_volume(build_solids(one_piece(p)).at(0)), exact, 0.02 * exact);
  std::vector<Corner> rod = build_rod({0, 0}, {6e-3, 8e-3}, 1e-3);
  EXPECT_NEAR(find_volume({"rod", 0, scene::Role::kMetal, {}, 0, rod}), exact, 0.02 * exact);
}

TEST(Solids, FlatPiecesAreNoBodiesAndPinsAre) {
  scene::Piece p = bracket();
  p.shown = scene::Shown::kFlat;
  scene::ActionShape shape = one_piece(p);
  EXPECT_TRUE(build_solids(shape).empty());
  shape.bodies.push_back({"jack", {bracket()}, {}, Point(1e-3, 1e-3)});
  ASSERT_EQ(build_solids(shape).size(), 2u);
  for (const Solid& s : build_solids(shape)) {
    EXPECT_GT(find_volume(s), 0) << s.name;
    for (const Corner& c : s.corners)
      EXPECT_NEAR(std::hypot(std::hypot(c.normal[0], c.normal[1]), c.normal[2]), 1, 1e-5);
  }
}

TEST(SolidPicture, IsLitShadedInCornersAndTheSameEveryTime) {
  scene::ActionShape shape = one_piece(bracket());
  scene::ActionMoment moment;
  moment.poses = {{0, 0, 0}};
  SolidLook look;
  look.view = {-10, -10, 30, 30};
  const auto pixels = [&](bool occlusion) {
    look.occlusion = occlusion;
    SolidPicture p(shape, 200, 200, look);
    return p.draw(moment);
  };
  const std::vector<unsigned char> lit = pixels(true);
  EXPECT_EQ(lit, pixels(true));
  const auto red = [&](const std::vector<unsigned char>& p, double x, double y) {
    const auto column = static_cast<size_t>((x + 10) * 5), row = static_cast<size_t>((30 - y) * 5);
    return static_cast<int>(p[4 * (row * 200 + column) + 2]);
  };
  EXPECT_GT(red(lit, -8, 28), 225) << "background";
  EXPECT_LT(red(lit, 2, 10), red(lit, -8, 28)) << "wood, at the place of its outline";
  EXPECT_GT(red(lit, 2, 10), 120) << "in light";
  EXPECT_NEAR(red(lit, 20 - 0.8, 2.5), red(lit, 2.5, 20 - 0.8), 25) << "both arms reach as far";
  EXPECT_GT(red(lit, 12, 12), 225) << "nothing between the arms";
}

TEST(SolidPicture, TooLargeIsAUserError) {
  SolidLook look;
  look.view = {0, 0, 10, 10};
  EXPECT_THROW(SolidPicture(one_piece(bracket()), 1000000, 100, look), base::UserError);
}

TEST(Player, PlaysAtItsPaceStopsAtTheEndAndBeginsAgain) {
  Player p(0.01, 0.11, {});
  p.set_slow(10);
  p.wall_clock(1);
  EXPECT_EQ(p.time(), 0.01) << "holds until it is told to play";
  p.play(true);
  p.wall_clock(0.5);
  EXPECT_NEAR(p.time(), 0.06, 1e-12);
  p.wall_clock(5);
  EXPECT_EQ(p.time(), 0.11);
  EXPECT_FALSE(p.playing());
  p.play(true);
  EXPECT_EQ(p.time(), 0.01);
  p.scrub(0.25);
  EXPECT_NEAR(p.time(), 0.035, 1e-12);
  EXPECT_NEAR(p.share(), 0.25, 1e-12);
}

TEST(Player, GoesFromEventToEventBothWays) {
  Player p(0, 0.1, {{"check", 0.08}, {"let-off", 0.05}, {"before", -1}});
  EXPECT_EQ(p.event(), "");
  p.next_event();
  EXPECT_EQ(p.time(), 0.05);
  EXPECT_EQ(p.event(), "let-off");
  p.next_event();
  EXPECT_EQ(p.event(), "check");
  p.next_event();
  EXPECT_EQ(p.time(), 0.1);
  p.last_event();
  p.last_event();
  EXPECT_EQ(p.time(), 0.05);
  p.last_event();
  EXPECT_EQ(p.time(), 0);
}

TEST(Player, PaceRunsFrom500To1) {
  Player p(0, 1, {});
  p.set_slow(1e9);
  EXPECT_EQ(p.slow(), 500);
  for (int k = 0; k < 20; ++k) p.faster();
  EXPECT_EQ(p.slow(), 1);
  p.slower();
  EXPECT_EQ(p.slow(), 2);
}

TEST(Watch, WithoutADisplaySaysSo) {
  const char* before = std::getenv("DISPLAY");
  const std::string kept = before == nullptr ? "" : before;
  unsetenv("DISPLAY");
  try {
    watch({});
    FAIL();
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("no display"), std::string::npos) << error.what();
  }
  if (!kept.empty()) setenv("DISPLAY", kept.c_str(), 1);
}

}  // namespace
}  // namespace leverwright::vtk
