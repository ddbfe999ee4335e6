#include "models/calibrate/measurements.h"

#include <gtest/gtest.h>

#include <limits>

#include "models/calibrate/swing.h"
#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::calibrate {
namespace {

const case_file::CaseDescription& demo() {
  static const auto d = remedies::read_case("cases/missed_heel/case.toml");
  return d;
}

std::vector<NoteRow> read(const std::string& text) {
  const support::ScratchFolder folder;
  return read_measurements(folder.write("notes.csv", text), demo());
}

std::string fault(const std::string& text) {
  try {
    read(text);
  } catch (const base::UserError& e) {
    return e.what();
  }
  return "";
}

TEST(Measurements, AreReadWithUnitsErrorsAndOwnValues) {
  const auto rows = read(
      "# invented\n"
      "note, set_up, down_weight [gf], up_weight [gf], hammer_centre [gf at 23 mm], hammer_swings, "
      "measured.strike_weight [gf]\n"
      "C4, as found, 53, 21.5 +- 1, 4 +- 0.5, 6, 9.2\n"
      "\n"
      "G4, friction only, 48 +- 2, , , ,  # no up weight\n");
  ASSERT_EQ(rows.size(), 2u);
  ASSERT_EQ(rows[0].readings.size(), 4u);
  EXPECT_DOUBLE_EQ(rows[0].readings[0].value, 53 * base::kGramForce);
  EXPECT_DOUBLE_EQ(rows[0].readings[0].sigma, 1.5 * base::kGramForce) << "the usual one";
  EXPECT_DOUBLE_EQ(rows[0].readings[1].sigma, 1 * base::kGramForce);
  EXPECT_NEAR(rows[0].readings[2].value, 4 * base::kGramForce * 0.023, 1e-12);
  EXPECT_NEAR(rows[0].readings[2].sigma, 0.5 * base::kGramForce * 0.023, 1e-12);
  EXPECT_DOUBLE_EQ(rows[0].readings[3].value, 6);
  EXPECT_NEAR(rows[0].own.at("measured.strike_weight").value, 9.2 * base::kGramForce, 1e-12);
  EXPECT_EQ(rows[1].set_up, 5u);
  EXPECT_EQ(rows[1].readings.size(), 1u);
  EXPECT_EQ(rows[1].place.line, 5);
}

TEST(Measurements, FaultsNameFileLineAndWhatToDo) {
  const std::pair<const char*, std::vector<const char*>> table[] = {
      {"note, set_up, down_wieght [gf]\nC4, as found, 50\n",
       {"notes.csv:1", "down_wieght", "did you mean \"down_weight\""}},
      {"note, set_up, down_weight\nC4, as found, 50\n", {"notes.csv:1", "has no unit", "down_weight [gf]"}},
      {"note, set_up, down_weight [g]\nC4, as found, 50\n", {"notes.csv:2", "gf"}},
      {"note, set_up, down_weight [gf]\nC4, as fund, 50\n",
       {"notes.csv:2", "no set-up \"as fund\"", "\"as found\""}},
      {"note, set_up, down_weight [gf]\nC4, as found, 50,5\n", {"notes.csv:2", "4 fields", "decimal comma"}},
      {"note, set_up, down_weight [gf]\nC4, as found, fifty\n", {"notes.csv:2", "fifty"}},
      {"note, set_up, down_weight [gf]\nC4, as found, 50 +- 0\n", {"notes.csv:2", "no reading is exact"}},
      {"note, down_weight [gf]\nC4, 50\n", {"notes.csv:1", "column \"set_up\""}},
      {"", {"notes.csv", "holds no note"}}};
  for (const auto& [text, told] : table) {
    const std::string said = fault(text);
    for (const char* piece : told)
      EXPECT_NE(said.find(piece), std::string::npos) << text << piece << "\n" << said;
  }
  EXPECT_THROW(read_measurements("no_such.csv", demo()), base::UserError);
}

TEST(Measurements, ASharpIsANoteAndNoRemark) {
  const auto rows = read("note, set_up, down_weight [gf]  # a remark\nF#4, as found, 52 # another\n");
  ASSERT_EQ(rows.size(), 1u);
  EXPECT_EQ(rows[0].note, "F#4");
}

TEST(Measurements, ASwingCountIsFittedWhereItIsStraightInFriction) {
  for (const double n : {0.0, 0.5, 3.0, 12.0}) {
    EXPECT_NEAR(from_fit(Kind::kHammerSwings, to_fit(Kind::kHammerSwings, n)), n, 1e-12);
    // An error carried over by the slope.
    const double h = 1e-6;
    EXPECT_NEAR((to_fit(Kind::kHammerSwings, n + h) - to_fit(Kind::kHammerSwings, n)) / h,
                fitted_error(Kind::kHammerSwings, n, 1), 1e-4);
  }
  // No friction: it never stands, and the number that is fitted stays finite.
  EXPECT_EQ(to_fit(Kind::kHammerSwings, std::numeric_limits<double>::infinity()), 0);
  // Twice the friction, twice the number, for small swings.
  const auto fitted = [](double torque) {
    return to_fit(Kind::kHammerSwings, swings_until_still(torque, 1, 0.2));
  };
  EXPECT_NEAR(fitted(0.004) / fitted(0.002), 2, 0.02);
  EXPECT_EQ(to_fit(Kind::kDownWeight, 0.5), 0.5);
  EXPECT_EQ(fitted_error(Kind::kDownWeight, 0.5, 0.1), 0.1);
}

}  // namespace
}  // namespace leverwright::calibrate
