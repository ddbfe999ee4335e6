#include "viz/scene/drawing.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/base/error.h"
#include "viz/scene/callouts.h"
#include "viz/scene/place_labels.h"

namespace leverwright::scene {
namespace {

Scene simple() {
  Scene scene;
  scene.view = {-20, -10, 80, 40};
  scene.shapes = {Path{"p", {{-20, -10}, {80, 40}}, false, {}, Stroke{Role::kKeyWood, 0.5, {4, 2}}},
                  Circle{"c", {30, 10}, 6, Fill{Role::kFelt, 0.5}, {}}};
  return scene;
}

TEST(Drawing, FullSizeIsFullSize) {
  Page page;
  page.scale = 1;
  page.margin_mm = 7;
  const Drawing d = lay_out(simple(), page);
  EXPECT_DOUBLE_EQ(d.width, 100 + 14);
  EXPECT_DOUBLE_EQ(d.height, 50 + 14);
  const auto& path = std::get<DrawnPath>(d.layers[0].items[0]);
  EXPECT_LT((path.points[0] - Point(7, 7)).norm(), 1e-9);
  EXPECT_LT((path.points[1] - Point(107, 57)).norm(), 1e-9);
  EXPECT_EQ(path.pen->dashes, (std::vector<double>{2, 1}));  // mm: line widths times 0.5
  EXPECT_DOUBLE_EQ(path.pen->width, 0.5);
  const auto& circle = std::get<DrawnCircle>(d.layers[0].items[1]);
  EXPECT_LT((circle.centre - Point(57, 27)).norm(), 1e-9);
  EXPECT_DOUBLE_EQ(circle.radius, 6);
  EXPECT_DOUBLE_EQ(circle.fill->opacity, 0.5);
}

TEST(Drawing, ScaleChangesPlacesButNotLineWidths) {
  Page page;
  page.scale = 2.5;
  const Drawing d = lay_out(simple(), page);
  const auto& circle = std::get<DrawnCircle>(d.layers[0].items[1]);
  EXPECT_DOUBLE_EQ(circle.radius, 15);
  EXPECT_DOUBLE_EQ(std::get<DrawnPath>(d.layers[0].items[0]).pen->width, 0.5);
}

TEST(Drawing, FillsThePageAskedFor) {
  Page page;
  page.width_mm = 60;
  page.height_mm = 90;
  page.margin_mm = 5;
  const Drawing d = lay_out(simple(), page);
  EXPECT_DOUBLE_EQ(d.width, 60);
  EXPECT_DOUBLE_EQ(d.height, 90);
  EXPECT_NEAR(d.scale, 0.5, 1e-12);
}

TEST(Drawing, TooSmallAPageIsSaidWithTheSizeNeeded) {
  Page page;
  page.scale = 1;
  page.width_mm = 90;
  try {
    lay_out(simple(), page);
    FAIL() << "a picture 108 mm wide went onto 90 mm";
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("108 x 58"), std::string::npos) << error.what();
  }
}

TEST(Drawing, EmptyViewIsAUserError) { EXPECT_THROW(lay_out(Scene{}, {}), base::UserError); }

TEST(Drawing, InsetIsClippedAndEnlarged) {
  Scene scene = simple();
  scene.insets.push_back(
      {{25, 5, 35, 15}, {-20, 10, 10, 40}, "closer", {Circle{"c", {30, 10}, 4, {}, Stroke{}}}, Role::kInk});
  Page page;
  page.scale = 1;
  const Drawing d = lay_out(scene, page);
  ASSERT_EQ(d.layers.size(), 4u);
  ASSERT_TRUE(d.layers[2].clip.has_value());
  EXPECT_NEAR(d.layers[2].clip->width(), 30, 1e-9);
  const auto& circle = std::get<DrawnCircle>(d.layers[2].items[0]);
  EXPECT_NEAR(circle.radius, 12, 1e-9);
  EXPECT_LT((circle.centre - Point(19, 39)).norm(),
            1e-9);  // middle of the inset, 4 mm margin, view from (-20, -10)
}

TEST(Drawing, GreyPageHasNoColour) {
  Page page;
  page.grey = true;
  for (const Layer& layer : lay_out(simple(), page).layers)
    for (const Drawn& item : layer.items)
      if (const auto* path = std::get_if<DrawnPath>(&item)) {
        EXPECT_EQ(path->pen->colour.r, path->pen->colour.g);
        EXPECT_EQ(path->pen->colour.g, path->pen->colour.b);
      }
}

TEST(Drawing, TraceIsColouredPieceByPiece) {
  Scene scene;
  scene.view = {0, 0, 30, 10};
  scene.shapes = {Trace{"t", {{0, 5}, {10, 5}, {20, 5}}, {2, 4, 6}, 2, 6, 0.9}};
  const Drawing d = lay_out(scene, {});
  ASSERT_EQ(d.layers[0].items.size(), 2u);
  EXPECT_EQ(hex(std::get<DrawnPath>(d.layers[0].items[0]).pen->colour), hex(value_colour(0.25)));
  EXPECT_EQ(hex(std::get<DrawnPath>(d.layers[0].items[1]).pen->colour), hex(value_colour(0.75)));
}

TEST(Drawing, ArrowEndsAtItsTip) {
  Scene scene;
  scene.view = {0, 0, 50, 50};
  scene.shapes = {Arrow{"a", {10, 10}, {40, 10}, Stroke{}, 3, false}};
  Page page;
  page.scale = 1;
  const Drawing d = lay_out(scene, page);
  ASSERT_EQ(d.layers[0].items.size(), 2u);
  const auto& head = std::get<DrawnPath>(d.layers[0].items[1]);
  EXPECT_LT((head.points[0] - Point(44, 14)).norm(), 1e-9);
  EXPECT_NEAR(head.points[1].x(), 41, 1e-9);
}

TEST(Drawing, LegendWrapsInsideThePage) {
  Scene scene = simple();
  scene.scale_bar = 20;
  for (int i = 0; i < 6; ++i)
    scene.legend.push_back({"a set-up with a rather long name", set_up_role(i), set_up_dash(i), true});
  Page page;
  page.width_mm = 120;
  const Drawing d = lay_out(scene, page);
  for (const Drawn& item : d.layers.back().items)
    if (const auto* text = std::get_if<DrawnText>(&item)) {
      EXPECT_LE(text->at.x() + text->size * text_width(text->text), 120.5) << text->text;
      EXPECT_GT(text->at.y(), 0);
    }
}

TEST(Callouts, DimensionSaysTheDistanceAndNeverStandsUpsideDown) {
  const std::vector<Shape> shapes = dimension({30, 8}, {-12, -20}, 5);
  ASSERT_EQ(shapes.size(), 4u);
  const Arrow& arrow = std::get<Arrow>(shapes[2]);
  EXPECT_TRUE(arrow.both_ends);
  EXPECT_NEAR((arrow.tip - arrow.tail).norm(), std::hypot(42, 28), 1e-9);
  EXPECT_NEAR(std::abs(base::cross(Point(-42, -28).normalized(), Point(arrow.tail - Point(30, 8)))), 5, 1e-9);
  const Label& label = std::get<Label>(shapes[3]);
  EXPECT_EQ(label.text, "50.5 mm");
  EXPECT_NEAR(label.angle_deg, 33.69, 0.01);
}

TEST(Callouts, ForceArrowTellsGramForce) {
  const std::vector<Shape> shapes = force_arrow("jack", {3, 4}, {0.6, -0.8}, 12);
  ASSERT_EQ(shapes.size(), 2u);
  EXPECT_LT((std::get<Arrow>(shapes[0]).tip - Point(10.2, -5.6)).norm(), 1e-9);
  EXPECT_EQ(std::get<Label>(shapes[1]).text, "102 gf");
  EXPECT_TRUE(force_arrow("none", {0, 0}, {0, 0}, 5).empty());
}

TEST(PlaceLabels, KeepsWordsApartAndInside) {
  std::vector<LabelWish> wishes;
  for (int i = 0; i < 7; ++i) wishes.push_back({Point(40 + 1.3 * i, 30 + 0.7 * i), 14, 3});
  const Box bounds{0, 0, 100, 70}, taken{20, 20, 38, 50};
  const std::vector<Box> boxes = place_labels(wishes, {{40, 30}, {41, 31}, {44, 33}}, {taken}, bounds);
  ASSERT_EQ(boxes.size(), wishes.size());
  for (size_t i = 0; i < boxes.size(); ++i) {
    EXPECT_NEAR(boxes[i].width(), 14, 1e-9);
    EXPECT_FALSE(overlap(boxes[i], taken)) << i;
    EXPECT_GE(boxes[i].x0, bounds.x0);
    EXPECT_LE(boxes[i].y1, bounds.y1);
    for (size_t j = 0; j < i; ++j) EXPECT_FALSE(overlap(boxes[i], boxes[j])) << i << " " << j;
  }
}

TEST(PlaceLabels, StaysOnTheThingWhenThereIsRoom) {
  const std::vector<Box> boxes =
      place_labels({{Point(50, 50), 10, 3}}, {{20, 20}, {80, 80}}, {}, {0, 0, 100, 100});
  EXPECT_LT((boxes[0].centre() - Point(50, 50)).norm(), 1e-9);
}

}  // namespace
}  // namespace leverwright::scene
