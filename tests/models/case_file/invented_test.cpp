// Values from invented part files: counted, named, and on a real piano as uncertain as such parts differ.
#include "models/case_file/invented.h"

#include <gtest/gtest.h>

#include "models/remedies/read_case.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

TEST(Invented, AreCountedByFile) {
  const CaseDescription d = remedies::read_case("cases/missed_heel/case.toml");
  const InventedValues v = count_invented(d);
  EXPECT_GT(v.by_file.at("wippen_replacement"), 25);
  int sum = 0;
  for (const auto& [file, n] : v.by_file) sum += n;
  EXPECT_EQ(sum, v.count);
  EXPECT_NE(invented_words(d).find("wippen_replacement"), std::string::npos);
  ASSERT_FALSE(d.notes.empty());
  EXPECT_EQ(d.notes.front(), invented_words(d));
}

// The same case said to be a real piano: what the part files bring is three times as uncertain as a
// measurement, what the case measured itself stays.
TEST(Invented, OnARealPianoTheyAreWide) {
  CaseDescription d = remedies::read_case("cases/missed_heel/case.toml");
  const CaseDescription as_read = d;
  d.invented = false;
  widen_invented(d);
  EXPECT_NEAR(as_read.quantity("wippen.jack_centre_x").sigma, 0.5e-3, 1e-9);
  EXPECT_NEAR(d.quantity("wippen.jack_centre_x").sigma, 1.5e-3, 1e-9);
  EXPECT_NEAR(d.quantity("wippen.body_mass").sigma, 0.3 * d.value("wippen.body_mass"), 1e-9);
  EXPECT_NEAR(d.point_list("wippen.heel_profile").sigma, 0.6e-3, 1e-9);
  EXPECT_EQ(d.quantity("measured.spread").sigma, as_read.quantity("measured.spread").sigma);
  EXPECT_NE(invented_words(d).find("Nobody measured"), std::string::npos);
}

}  // namespace
}  // namespace leverwright::case_file
