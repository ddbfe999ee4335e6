#include "viz/scene/palette.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

namespace leverwright::scene {
namespace {

double distance(const Rgb& a, const Rgb& b) {
  const Oklab p = oklab(a), q = oklab(b);
  return std::hypot(p.L - q.L, p.a - q.a, p.b - q.b);
}

TEST(Palette, ConvertsKnownColours) {
  // Reference values of the OKLab definition (Ottosson 2020) for the sRGB primaries.
  const Oklab red = oklab({1, 0, 0}), blue = oklab({0, 0, 1});
  EXPECT_NEAR(red.L, 0.62796, 2e-4);
  EXPECT_NEAR(red.a, 0.22486, 2e-4);
  EXPECT_NEAR(blue.L, 0.45201, 2e-4);
  EXPECT_NEAR(blue.b, -0.31153, 2e-4);
  EXPECT_NEAR(contrast({0, 0, 0}, {1, 1, 1}), 21, 1e-9);
  EXPECT_EQ(hex({0.2, 0.4, 1}), "#3366ff");
}

TEST(Palette, ThereAndBackAgain) {
  for (int r = 0; r < static_cast<int>(Role::kCount); ++r) {
    const Oklch want = oklch(static_cast<Role>(r));
    const Oklab got = oklab(rgb(static_cast<Role>(r)));
    EXPECT_NEAR(got.L, want.L, 2e-4) << r;
    EXPECT_NEAR(std::hypot(got.a, got.b), want.C, 3e-4) << r;
    EXPECT_TRUE(in_gamut(want)) << "role " << r << " cannot be shown on a screen";
  }
}

TEST(Palette, SetUpLinesStandOutFromPaperAndFromEachOtherForEverySight) {
  for (int i = 0; i < kSetUpStyles; ++i) {
    EXPECT_GE(contrast(rgb(set_up_role(i)), rgb(Role::kPaper)), 3.0) << "set-up " << i;
    for (int j = 0; j < i; ++j)
      for (const Sight sight : {Sight::kNormal, Sight::kProtan, Sight::kDeutan, Sight::kTritan})
        EXPECT_GE(distance(seen_by(sight, rgb(set_up_role(i))), seen_by(sight, rgb(set_up_role(j)))), 0.12)
            << "set-ups " << j << " and " << i << ", sight " << static_cast<int>(sight);
  }
}

TEST(Palette, SetUpLinesClimbInGrey) {
  for (int i = 1; i < kSetUpStyles; ++i) {
    const double darker = oklab(grey(rgb(set_up_role(i - 1)))).L,
                 lighter = oklab(grey(rgb(set_up_role(i)))).L;
    EXPECT_GE(lighter - darker, 0.04) << i;
  }
}

TEST(Palette, SignsStandOutFromPaperAndFromEachOtherForEverySightAndInGrey) {
  const Role signs[] = {Role::kContact, Role::kForce, Role::kFriction, Role::kLine};
  for (const Role a : signs) {
    EXPECT_GE(contrast(rgb(a), rgb(Role::kPaper)), 3.0);
    for (const Role b : signs) {
      if (b >= a) continue;
      for (const Sight sight : {Sight::kNormal, Sight::kProtan, Sight::kDeutan, Sight::kTritan})
        EXPECT_GE(distance(seen_by(sight, rgb(a)), seen_by(sight, rgb(b))), 0.12)
            << static_cast<int>(a) << ", " << static_cast<int>(b) << ", sight " << static_cast<int>(sight);
      EXPECT_GE(std::abs(oklab(grey(rgb(a))).L - oklab(grey(rgb(b))).L), 0.04)
          << static_cast<int>(a) << ", " << static_cast<int>(b);
    }
  }
}

TEST(Palette, DashPatternsDiffer) {
  std::set<std::vector<double>> seen;
  for (int i = 0; i < kSetUpStyles; ++i) EXPECT_TRUE(seen.insert(set_up_dash(i)).second) << i;
  EXPECT_EQ(set_up_role(kSetUpStyles + 1), set_up_role(1));
}

TEST(Palette, WordsAreReadableOnEveryFill) {
  for (const Role fill : {Role::kKeyWood, Role::kWippenWood, Role::kJack, Role::kLever, Role::kHammer,
                          Role::kFelt, Role::kLeather, Role::kMetal, Role::kRail, Role::kPaper})
    EXPECT_GE(contrast(rgb(Role::kInk), rgb(fill)), 4.5) << static_cast<int>(fill);
}

TEST(Palette, ValuesGrowSteadilyDarker) {
  double before = 1;
  for (int i = 0; i <= 20; ++i) {
    const double L = oklab(value_colour(i / 20.0)).L;
    EXPECT_LT(L, before - 0.01) << i;
    before = L;
  }
}

}  // namespace
}  // namespace leverwright::scene
