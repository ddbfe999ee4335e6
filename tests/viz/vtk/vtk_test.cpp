#include <gtest/gtest.h>
#include <vtkImageData.h>
#include <vtkNew.h>
#include <vtkPNGReader.h>

#include <cmath>
#include <cstdlib>

#include "sim/base/error.h"
#include "tests/viz/support/mock_action.h"
#include "tests/viz/support/read_back.h"
#include "viz/vtk/draw_png.h"
#include "viz/vtk/triangles.h"

namespace leverwright::vtk {
namespace {
using scene::Point;

double area(const std::vector<Triangle>& triangles) {
  double sum = 0;
  for (const Triangle& t : triangles)
    sum += 0.5 * std::abs(base::cross(Point(t[1] - t[0]), Point(t[2] - t[0])));
  return sum;
}

struct Picture {
  vtkNew<vtkPNGReader> reader;
  explicit Picture(const std::string& path) {
    reader->SetFileName(path.c_str());
    reader->Update();
  }
  scene::Rgb at(int x, int y) const {  // from the lower left corner
    vtkImageData* image = reader->GetOutput();
    const auto channel = [&](int c) { return image->GetScalarComponentAsDouble(x, y, 0, c) / 255; };
    return {channel(0), channel(1), channel(2)};
  }
};

scene::Scene two_boxes() {
  scene::Scene scene;
  scene.view = {0, 0, 40, 20};
  const auto box = [](double x0, double y0, double x1, double y1, scene::Role role) {
    return scene::Path{"", {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, true, scene::Fill{role, 1}, {}};
  };
  scene.shapes = {box(5, 5, 25, 15, scene::Role::kKeyWood), box(15, 2, 35, 12, scene::Role::kMetal)};
  return scene;
}

TEST(Triangles, ConcavePolygonKeepsItsArea) {
  // A wippen-like outline with two notches; area by the shoelace formula.
  const std::vector<Point> outline{{0, 0},  {30, 1},  {31, 9}, {22, 8}, {20, 3},
                                   {12, 4}, {11, 12}, {5, 11}, {4, 5},  {-2, 6}};
  double twice = 0;
  for (size_t i = 0; i < outline.size(); ++i)
    twice += base::cross(outline[i], outline[(i + 1) % outline.size()]);
  EXPECT_NEAR(area(fill_polygon(outline)), 0.5 * twice, 1e-4);
  EXPECT_TRUE(fill_polygon({{1, 1}, {1, 1}, {2, 2}}).empty());
}

TEST(Triangles, DashesAreCutWhereTheyShould) {
  const auto pieces = cut_dashes({{0, 0}, {10, 0}, {10, 10}}, false, {4, 3});
  // Dashes from 0 to 4, 7 to 11 (round the corner), 14 to 18 along the way.
  ASSERT_EQ(pieces.size(), 3u);
  EXPECT_LT((pieces[1].front() - Point(7, 0)).norm(), 1e-12);
  ASSERT_EQ(pieces[1].size(), 3u);
  EXPECT_LT((pieces[1].back() - Point(10, 1)).norm(), 1e-12);
  EXPECT_LT((pieces[2].front() - Point(10, 4)).norm(), 1e-12);
  EXPECT_LT((pieces[2].back() - Point(10, 8)).norm(), 1e-12);
}

TEST(DrawPng, ColoursStandWhereTheSceneSays) {
  const support::ScratchFolder folder;
  scene::Page page;
  page.width_mm = 48;
  page.margin_mm = 4;  // 1:1, 10 dots per mm
  const Picture picture(draw_png(two_boxes(), folder.path("a.png"), 480, 280, page));
  const auto near = [](const scene::Rgb& a, const scene::Rgb& b) {
    return std::abs(a.r - b.r) + std::abs(a.g - b.g) + std::abs(a.b - b.b) < 0.03;
  };
  EXPECT_TRUE(near(picture.at(140, 140), scene::rgb(scene::Role::kKeyWood)));  // 10 mm, 10 mm
  EXPECT_TRUE(near(picture.at(240, 140), scene::rgb(scene::Role::kMetal)));    // overlap: the later shape
  EXPECT_TRUE(near(picture.at(60, 60), scene::rgb(scene::Role::kPaper)));
}

TEST(DrawPng, HasTheSizeAskedForAndIsTheSameEveryTime) {
  const support::ScratchFolder folder;
  const scene::Scene scene = scene::build_overlay_scene(
      {{"as found", mock::invented_action(), mock::invented_moment(5e-3, "half stroke")}}, {});
  draw_png(scene, folder.path("a.png"), 700, 420);
  draw_png(scene, folder.path("b.png"), 700, 420);
  EXPECT_EQ(mock::png_size(folder.path("a.png")).width, 700);
  EXPECT_EQ(mock::png_size(folder.path("a.png")).height, 420);
  const std::string a = support::read_text(folder.path("a.png"));
  EXPECT_GT(a.size(), 10000u);  // 700 x 420 of plain paper is under 2 kB
  EXPECT_TRUE(a == support::read_text(folder.path("b.png")));
  EXPECT_EQ(folder.names().size(), 2u);
}

TEST(DrawPng, WordsAreDrawnOverTheirHalo) {
  const support::ScratchFolder folder;
  scene::Scene scene = two_boxes();
  scene::Label label;
  label.text = "\u25a0";  // a black square: its middle must have the ink's colour
  label.at = {20, 10};
  label.across = scene::Across::kCentre;
  label.size = 10;
  scene.shapes.emplace_back(label);
  scene::Page page;
  page.width_mm = 48;
  const Picture picture(draw_png(scene, folder.path("a.png"), 480, 280, page));
  int dark = 0;
  for (int x = 200; x < 280; ++x)
    for (int y = 100; y < 180; ++y) dark += scene::luminance(picture.at(x, y)) < 0.1 ? 1 : 0;
  EXPECT_GT(dark, 1500);
}

TEST(DrawPng, MissingThingsAreUserErrorsAndLeaveNoFile) {
  const support::ScratchFolder folder;
  EXPECT_THROW(draw_png(two_boxes(), folder.path("none/a.png"), 400, 300), base::UserError);
  EXPECT_THROW(draw_png(two_boxes(), folder.path("a.png"), 3, 300), base::UserError);
  EXPECT_THROW(draw_png(two_boxes(), folder.path("a.png"), 200000, 300), base::UserError);
  setenv("LEVERWRIGHT_FONTS", folder.path().c_str(), 1);
  EXPECT_THROW(draw_png(two_boxes(), folder.path("a.png"), 400, 300), base::UserError);
  unsetenv("LEVERWRIGHT_FONTS");
  EXPECT_EQ(folder.names().size(), 0u);
}

}  // namespace
}  // namespace leverwright::vtk
