#include "viz/scene/compress.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::scene {
namespace {

const std::vector<Point> kBlock{{-5, -10}, {5, -10}, {5, 0}, {-5, 0}};  // a hard block, its top at y = 0

TEST(Compress, RefinedOutlineKeepsItsCornersAndLength) {
  const std::vector<Point> fine = refine(kBlock, true, 0.3);
  double length = 0, longest = 0;
  for (size_t k = 0; k < fine.size(); ++k) {
    const double step = (fine[(k + 1) % fine.size()] - fine[k]).norm();
    length += step;
    longest = std::max(longest, step);
  }
  EXPECT_NEAR(length, 40, 1e-9);
  EXPECT_LE(longest, 0.3 + 1e-12);
  EXPECT_EQ(fine.front(), kBlock.front());
  EXPECT_EQ(refine({{0, 0}, {1, 0}}, false, 0.6).size(), 3u) << "an open line does not come back";
}

TEST(Compress, ACircleSunkIntoABlockIsFlattenedByTheDepth) {
  constexpr double kRadius = 4.7, kDepth = 0.37;
  std::vector<Point> circle;
  for (int i = 0; i < 4000; ++i) {
    const double a = 2 * M_PI * i / 4000;
    circle.push_back(Point(0.4 + kRadius * std::cos(a), kRadius - kDepth + kRadius * std::sin(a)));
  }
  EXPECT_NEAR(press(&circle, kBlock), kDepth, 1e-6);
  double flat = 0;
  for (const Point& p : circle) {
    EXPECT_GE(p.y(), -1e-12);
    if (p.y() < 1e-9) flat = std::max(flat, std::abs(p.x() - 0.4));
  }
  EXPECT_NEAR(flat, std::sqrt(2 * kRadius * kDepth - kDepth * kDepth), 0.01) << "half chord of the segment";
}

TEST(Compress, OnlyClothAndLeatherGiveWayAndNotToTheirOwnBody) {
  const std::vector<Point> over{{-3, -0.6}, {3, -0.6}, {3, 2}, {-3, 2}};
  const auto shapes = [&](Role soft) {
    return std::vector<Shape>{Path{"block", kBlock, true, Fill{Role::kKeyWood, 1}, Stroke{}},
                              Path{"pad", over, true, Fill{soft, 1}, Stroke{}}};
  };
  const auto lowest = [](const Shape& s) { return bounds(s).y0; };
  std::vector<Shape> cloth = shapes(Role::kFelt);
  press_soft_shapes(&cloth, {1, 2});
  EXPECT_NEAR(lowest(cloth[1]), 0, 1e-9);
  EXPECT_NEAR(bounds(cloth[1]).y1, 2, 1e-12) << "the far side stays";
  std::vector<Shape> wood = shapes(Role::kJack);
  press_soft_shapes(&wood, {1, 2});
  EXPECT_NEAR(lowest(wood[1]), -0.6, 1e-12);
  std::vector<Shape> same = shapes(Role::kFelt);
  press_soft_shapes(&same, {1, 1});
  EXPECT_NEAR(lowest(same[1]), -0.6, 1e-12);
}

TEST(Compress, TheJackInTheLeversWindowPressesNoDropLeather) {
  const std::vector<Point> leather{{-3, -0.7}, {9, -0.5}, {9, 0.7}, {-3, 0.5}};
  for (const char* hard : {"jack", "drop screw"}) {
    std::vector<Shape> shapes{Path{hard, kBlock, true, Fill{Role::kJack, 1}, Stroke{}},
                              Path{"drop leather", leather, true, Fill{Role::kLeather, 1}, Stroke{}}};
    press_soft_shapes(&shapes, {1, 2});
    EXPECT_EQ(std::get<Path>(shapes[1]).points == leather, std::string(hard) == "jack") << hard;
  }
}

TEST(Compress, ALeatherCircleBecomesAPathOfItsName) {
  std::vector<Shape> shapes{Path{"jack", kBlock, true, Fill{Role::kJack, 1}, Stroke{}},
                            Circle{"knuckle", {0.2, 4.5}, 4.8, Fill{Role::kLeather, 1}, Stroke{}},
                            Circle{"far", {90, 90}, 4.8, Fill{Role::kLeather, 1}, Stroke{}}};
  press_soft_shapes(&shapes, {1, 2, 2});
  ASSERT_TRUE(std::holds_alternative<Path>(shapes[1]));
  EXPECT_EQ(name_of(shapes[1]), "knuckle");
  EXPECT_NEAR(bounds(shapes[1]).y0, 0, 1e-9);
  EXPECT_TRUE(std::holds_alternative<Circle>(shapes[2])) << "untouched shapes stay what they are";
}

}  // namespace
}  // namespace leverwright::scene
