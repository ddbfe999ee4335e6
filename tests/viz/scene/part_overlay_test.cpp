#include "viz/scene/part_overlay.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/viz/support/mock_action.h"

namespace leverwright::scene {
namespace {

SetUpMoment set_up(const std::string& name, const mock::Variation& v = {}) {
  return {name, mock::invented_action(v), mock::invented_moment(5e-3, "half stroke", v)};
}

const PartPoint* find(const std::vector<PartPoint>& points, const std::string& name) {
  for (const PartPoint& p : points)
    if (p.name == name) return &p;
  return nullptr;
}

TEST(PartOverlay, ARelocatedCapstanDiffersByItsShiftOnTheKeyAndNowhereOnTheHammer) {
  const SetUpMoment a = set_up("as found"), b = set_up("relocated", {-3e-3, 0, 0});
  const auto points = find_part_points(a, b, "key");
  const PartPoint* cap = find(points, "capstan, middle");
  ASSERT_NE(cap, nullptr);
  EXPECT_NEAR(cap->change().x(), -3, 1e-9);
  EXPECT_NEAR(cap->change().y(), 0, 1e-9);
  EXPECT_NEAR(find_part_difference(a, b, "key"), 3, 0.01);
  EXPECT_LT(find_part_difference(a, b, "hammer"), kPartDifference);
  EXPECT_EQ(find_part_difference(a, b, "no such part"), 0);
}

TEST(PartOverlay, PoseOfTheSetUpDoesNotMatterOnlyThePart) {
  SetUpMoment a = set_up("one"), b = set_up("two");
  b.moment = mock::invented_moment(8e-3, "half stroke", {});
  EXPECT_LT(find_part_difference(a, b, "hammer"), 1e-9);
}

TEST(PartOverlay, CalloutsNameTheDifferenceInMillimetres) {
  const SetUpMoment a = set_up("as found"), b = set_up("relocated", {-3e-3, 0, 0});
  const Scene scene = build_part_overlay(a, b, "key");
  bool arrow = false, label = false, note = false;
  for (const Shape& s : scene.shapes) {
    if (const auto* found = std::get_if<Arrow>(&s); found && found->name == "capstan, middle") {
      arrow = true;
      EXPECT_NEAR((found->tip - found->tail).x(), -3, 1e-9);
    }
    if (const auto* found = std::get_if<Label>(&s))
      label = label || found->text.find("capstan, middle 3.0 mm") != std::string::npos;
  }
  for (const std::string& n : scene.notes)
    note = note || n.find("capstan, middle: -3.0 mm towards the strings, +0.0 mm up") != std::string::npos;
  EXPECT_TRUE(arrow && label && note);
  ASSERT_EQ(scene.insets.size(), 1u) << "the capstan enlarged";
  EXPECT_NEAR(scene.insets[0].magnification(), 10, 1e-9);
  const Scene same = build_part_overlay(a, a, "hammer");
  ASSERT_EQ(same.notes.size(), 1u);
  EXPECT_NE(same.notes[0].find("No point differs"), std::string::npos);
}

}  // namespace
}  // namespace leverwright::scene
