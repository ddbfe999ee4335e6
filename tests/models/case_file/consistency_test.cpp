// Misprint rows of the bench checks, given to the case reader: it must say that the printed numbers disagree,
// and by how much. Row ids and sources as in the reference table.
#include "models/case_file/consistency.h"

#include <gtest/gtest.h>

#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

using case_test::good_text;
using case_test::read_case_text;
using case_test::with_end;
using case_test::with_line;

// E03x, college and university technicians list archive 2004-10 #012890: D 50, U 25, FW 28, SW 10.4, KR 0.52,
// WW 18.5 give 5.37, where the post implies 6.0.
std::string E03x(const std::string& ratio) {
  std::string text = good_text();
  text = with_line(text, "down_weight", "down_weight = \"50 gf\"");
  text = with_line(text, "up_weight", "up_weight = \"25 gf\"");
  text = with_line(text, "front_weight", "front_weight = \"28 gf\"");
  text = with_line(text, "strike_weight", "strike_weight = \"10.4 gf\"");
  text = with_line(text, "wippen_weight", "wippen_weight = \"18.5 gf\"");
  // The good case's lengths make 0.531; the front is stretched so that they do not disagree with 0.52 as
  // well.
  text = with_line(text, "key_front_length", "key_front_length = \"255 mm\"");
  return with_end(text, "[stated]\nkey_ratio = 0.52\nweight_ratio = " + ratio);
}

TEST(Misprints, E03x_weight_ratio) {
  const CaseDescription d = read_case_text(E03x("6.0"));
  ASSERT_EQ(d.warnings.size(), 1u);
  EXPECT_NE(d.warnings[0].find("stated.weight_ratio is given as 6,"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[0].find("makes it 5.37"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[0].find("disagree by 0.627"), std::string::npos) << d.warnings[0];
  const auto found = find_disagreements(d);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_NEAR(found[0].computed, 5.3731, 1e-4);
  // By hand: D and U of 1.5 gf each make 1.06 gf of balance weight, over 10.4; the rest adds little.
  EXPECT_NEAR(found[0].bench_sigma, 0.117, 0.01);
}

TEST(Misprints, E03x_with_the_right_ratio_is_silent) {
  EXPECT_TRUE(read_case_text(E03x("5.37")).warnings.empty());
}

// E04x, pianotech list archive 1996-06 #007998: WW 18, KR 0.55 give 9.9, printed 9.
TEST(Misprints, E04x_wippen_share) {
  std::string text = with_line(good_text(), "wippen_weight", "wippen_weight = \"18 gf\"");
  text = with_line(text, "key_front_length", "key_front_length = \"241.3 mm\"");  // makes 0.55 as well
  const CaseDescription d =
      read_case_text(with_end(text, "[stated]\nkey_ratio = 0.55\nwippen_share = \"9 gf\""));
  ASSERT_EQ(d.warnings.size(), 1u);
  EXPECT_NE(d.warnings[0].find("stated.wippen_share is given as 9 gf"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[0].find("makes it 9.9 gf"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[0].find("disagree by 0.9 gf"), std::string::npos) << d.warnings[0];
  EXPECT_TRUE(read_case_text(with_end(text, "[stated]\nkey_ratio = 0.55\nwippen_share = \"9.9 gf\""))
                  .warnings.empty());
}

// E09x, pianotech list archive 2009-02 #003700: 5 mm of key and 35 mm of hammer give 7.0, the post says 6.75.
TEST(Misprints, E09x_distance_ratio) {
  const CaseDescription d = read_case_text(with_end(
      good_text(), "[stated]\nkey_travel = \"5 mm\"\nhammer_travel = \"35 mm\"\ndistance_ratio = 6.75"));
  ASSERT_EQ(d.warnings.size(), 1u);
  EXPECT_NE(d.warnings[0].find("given as 6.75"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[0].find("makes it 7"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[0].find("disagree by 0.25"), std::string::npos) << d.warnings[0];
}

TEST(Consistency, stated_balance_weight_and_friction) {
  // The good case: D 52, U 26, so 39 and 13.
  EXPECT_TRUE(
      read_case_text(with_end(good_text(), "[stated]\nbalance_weight = \"39 gf\"\nfriction = \"13 gf\""))
          .warnings.empty());
  const CaseDescription d =
      read_case_text(with_end(good_text(), "[stated]\nbalance_weight = \"37 gf\"\nfriction = \"26 gf\""));
  ASSERT_EQ(d.warnings.size(), 2u);
  // 2 gf off is 1.9 of its standard deviations (1.06 gf); 13 gf off is twelve of them.
  EXPECT_NE(d.warnings[0].find("Measuring scatter could explain it"), std::string::npos) << d.warnings[0];
  EXPECT_NE(d.warnings[1].find("One of the numbers is wrong"), std::string::npos) << d.warnings[1];
}

TEST(Consistency, a_stated_number_may_carry_its_own_rounding) {
  EXPECT_TRUE(read_case_text(with_end(good_text(), "[stated]\nbalance_weight = \"37 gf +- 2.5 gf\""))
                  .warnings.empty());
}

// The rear length is measured straight, from the balance hole at the key's bottom up to the capstan's top;
// the ratio is that of the horizontal arms. 137.2 mm with the top 34.8 mm up leaves 132.7 mm, over 250 mm.
TEST(Consistency, a_key_ratio_is_that_of_the_horizontal_arms) {
  EXPECT_TRUE(read_case_text(with_end(good_text(), "[stated]\nkey_ratio = 0.531")).warnings.empty());
  const CaseDescription d = read_case_text(with_end(good_text(), "[stated]\nkey_ratio = 0.549"));
  ASSERT_EQ(d.warnings.size(), 1u);
  EXPECT_NE(d.warnings[0].find("horizontal arm"), std::string::npos) << d.warnings[0];
  const auto found = find_disagreements(d);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_NEAR(found[0].computed, 132.7 / 250, 0.003);
}

}  // namespace
}  // namespace leverwright::case_file
