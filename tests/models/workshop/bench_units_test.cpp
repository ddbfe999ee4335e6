#include "models/workshop/bench_units.h"

#include <gtest/gtest.h>

namespace leverwright::workshop {
namespace {

using case_file::Dimension;

TEST(BenchUnits, InchesAndTheirFractionsAreMillimetres) {
  for (const char* written : {"4 7/16 in", "4-7/16 in", "4.4375 inches", "4 7/16\"", "4 7/16 inch"})
    EXPECT_EQ(in_case_units(written, Dimension::kLength), "112.7125 mm") << written;
  EXPECT_EQ(in_case_units("7/16 in", Dimension::kLength), "11.1125 mm");
  EXPECT_EQ(in_case_units("-5 1/2 in", Dimension::kLength), "-139.7 mm");
  EXPECT_EQ(in_case_units("5 1/8 in +- 1/64 in", Dimension::kLength), "130.175 mm +- 0.396875 mm");
}

TEST(BenchUnits, ANumberWithoutUnitGoesWithTheOneThatHasOne) {
  EXPECT_EQ(in_case_units("4 to 4 1/2 in", Dimension::kLength), "101.6 mm to 114.3 mm");
  EXPECT_EQ(in_case_units("4 7/16 +- 1/64 in", Dimension::kLength), "112.7125 mm +- 0.396875 mm");
}

TEST(BenchUnits, OuncesAreWeightOrMassAsIsDue) {
  EXPECT_EQ(in_case_units("2 oz", Dimension::kWeight), "56.69905 gf");
  EXPECT_EQ(in_case_units("0.5 oz", Dimension::kMass), "14.17476 g");
  EXPECT_EQ(in_case_units("0.1 oz at 7/8 in", Dimension::kTorque), "2.834952 gf at 22.225 mm");
}

TEST(BenchUnits, AllElseStaysAsItWasWritten) {
  for (const char* written :
       {"112.5", "112.5 +- 0.25", "53 / 54 / 53", "112.5 mm", "1 to 2", "4 %", "", "in"})
    EXPECT_EQ(in_case_units(written, Dimension::kLength), written);
  EXPECT_EQ(in_case_units("3.5 at 20", Dimension::kTorque), "3.5 at 20");
  EXPECT_TRUE(ends_in_unit("112.5 mm"));
  EXPECT_TRUE(ends_in_unit("4 %"));
  EXPECT_FALSE(ends_in_unit("112.5 +- 0.25"));
}

}  // namespace
}  // namespace leverwright::workshop
