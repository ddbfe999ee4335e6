// The bench sheet's lines, its fill-in file, and the case that is made of it.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <set>

#include "models/action/design.h"
#include "models/calibrate/measurements.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/remedies/read_case.h"
#include "models/study/set_up_solver.h"
#include "models/workshop/filled_sheet.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::workshop {
namespace {

using case_file::CaseDescription;

class Sheet : public testing::Test {
 protected:
  std::string write(const std::string& name, const std::string& text) const {
    return folder_.write(name, text);
  }
  FilledSheet read(const std::string& lines, const std::string& notes = "C4") const {
    return read_filled_sheet(write("filled.csv", "line, measurement, unit, " + notes + "\n" + lines));
  }
  // The problems of a sheet that is refused, as one text.
  std::string refused(const std::string& lines, const std::string& notes = "C4") const {
    try {
      read(lines, notes);
    } catch (const base::UserError& e) {
      return e.what();
    }
    return "accepted";
  }
  CaseDescription made_of(const FilledSheet& sheet, std::size_t note, const CaseDescription& base) const {
    return remedies::read_case(write("made.toml", write_case_text(sheet, note, base).text));
  }
  const support::ScratchFolder folder_;
};

TEST(SheetLines, EveryMeasurementOfTheCaseHasOneNumber) {
  std::set<int> numbers;
  std::set<std::string> keys;
  for (const SheetLine& l : sheet_lines()) {
    EXPECT_TRUE(numbers.insert(l.number).second) << l.number;
    if (l.use == Use::kQuantity || l.use == Use::kChoice) {
      EXPECT_TRUE(keys.insert(l.key).second) << l.key;
    }
    if (l.use == Use::kReading) keys.insert("measured." + l.key);
    EXPECT_EQ(find_line(l.number), &l);
    if (l.use == Use::kQuantity) {
      const auto* spec = case_file::schema().find_key(l.key);
      ASSERT_NE(spec, nullptr) << l.key;
      // What is called usual is plausible, in the unit printed.
      if (!l.has_usual() || std::string(l.unit) == "gf at 23 mm") continue;
      const auto range = case_file::read_range(spec->range, spec->dimension);
      const double si = case_file::trade_unit_in_si(spec->dimension);
      EXPECT_GE(l.low * si, range.low) << l.key;
      EXPECT_LE(l.high * si, range.high) << l.key;
    }
  }
  for (const auto& [key, spec] : case_file::schema().keys) {
    // Parts drawn along under a weight are read at the bench when the friction is looked for; the case says them.
    if (key.size() > 5 && key.compare(key.size() - 5, 5, "_drag") == 0) continue;
    if (key.rfind("measured.", 0) == 0 ||
        (key.rfind("friction.", 0) == 0 && spec.dimension == case_file::Dimension::kTorque)) {
      EXPECT_TRUE(keys.count(key)) << key << " is not on the sheet";
    }
  }
}

// The invented demo typed into a blank sheet, line by line, and read back: the same numbers bit by bit, the
// same weights.
TEST_F(Sheet, ComesBackAsTheCaseItWasFilledFrom) {
  const auto known = remedies::read_case("cases/missed_heel/case.toml");
  const auto sheet = read_filled_sheet(write("full.csv", write_blank_file(&known, {"C4"}, true)));
  // Into a case in which nothing is measured, but of the same parts.
  auto blank = remedies::read_case(blank_case_path());
  const auto at = blank.text.find("wippen_original");
  ASSERT_NE(at, std::string::npos);
  blank.text.replace(at, 15, "wippen_replacement");
  // Its knuckles are dry by their material, which no line of the sheet asks for.
  for (std::size_t k; (k = blank.text.find("\"knuckle_leather\"")) != std::string::npos;)
    blank.text.replace(k, 17, "\"knuckle_leather_dry\"");
  const auto back = made_of(sheet, 0, blank);
  int measured = 0;
  for (const auto& [key, q] : known.quantities) {
    const auto& b = back.quantity(key);
    EXPECT_EQ(b.value, q.value) << key;
    // What no line asks for comes from the parts: on an invented piano as exact as they say, on this one as wide as
    // parts of the kind differ.
    if (find_line_of(key) != nullptr) {
      EXPECT_EQ(b.sigma, q.sigma) << key;
    } else {
      EXPECT_GE(b.sigma, q.sigma) << key;
    }
    measured += find_line_of(key) != nullptr && !q.from_default;
  }
  EXPECT_GT(measured, 45);
  EXPECT_EQ(back.point_list("wippen.heel_profile").x, known.point_list("wippen.heel_profile").x);
  EXPECT_EQ(back.point_list("wippen.heel_profile").y, known.point_list("wippen.heel_profile").y);
  ASSERT_EQ(back.leads.size(), 1u);
  EXPECT_EQ(back.leads[0].mass, known.leads[0].mass);
  EXPECT_EQ(back.leads[0].sigma_distance, known.leads[0].sigma_distance);
  const auto weigh = [](const CaseDescription& d) { return study::SetUpSolver(d).measure(d, 0, {}); };
  const auto a = weigh(known), b = weigh(back);
  EXPECT_EQ(a[study::kDownWeight], b[study::kDownWeight]);
  EXPECT_EQ(a[study::kUpWeight], b[study::kUpWeight]);
}

TEST_F(Sheet, PutsValuesWhereTheyBelongAndLeavesTheRest) {
  const auto base = remedies::read_case("cases/missed_heel/case.toml");
  const auto sheet = read(
      "11, spread, mm, 112.9 +- 0.1\n"
      "53, knuckle arm, mm, 20.4\n"
      "73, jack centre, gf at 23 mm, 1.2 at 20\n"
      "81, down weight, gf, 53 / 54 / 55\n"
      "64, lead, g, 0\n"
      "97, capstan, mm, 0.9\n");
  const auto made = write_case_text(sheet, 0, base);
  const auto d = made_of(sheet, 0, base);
  EXPECT_DOUBLE_EQ(d.value("measured.spread"), 112.9e-3);
  EXPECT_DOUBLE_EQ(d.quantity("measured.spread").sigma, 0.1e-3);
  EXPECT_DOUBLE_EQ(d.value("measured.knuckle_arm"), 20.4e-3);
  EXPECT_DOUBLE_EQ(d.value("friction.jack_centre"), 1.2 * base::kGramForce * 20e-3);
  EXPECT_DOUBLE_EQ(d.value("measured.down_weight"), 54 * base::kGramForce);
  EXPECT_DOUBLE_EQ(d.quantity("measured.down_weight").sigma, 1.5 * base::kGramForce)
      << "the method's, not the hand's";
  EXPECT_DOUBLE_EQ(d.value("screws.capstan.pitch"), 0.9e-3);
  EXPECT_TRUE(d.leads.empty());
  // Everything else is the case's, its set-ups and story included.
  EXPECT_EQ(d.value("measured.bore"), base.value("measured.bore"));
  EXPECT_EQ(d.set_ups.size(), base.set_ups.size());
  EXPECT_EQ(d.story, base.story);
  bool listed = false;
  for (const LeftOpen& o : made.open) {
    EXPECT_NE(o.line, 11);
    if (o.line == 74) {
      listed = true;
      EXPECT_TRUE(o.estimate);
      EXPECT_NE(o.stays.find("3 gf"), std::string::npos) << o.stays;
    }
  }
  EXPECT_TRUE(listed) << "the repetition lever's centre keeps its estimate and is named";
}

TEST_F(Sheet, RemarksOfTheCaseStay) {
  auto base = remedies::read_case("cases/missed_heel/case.toml");
  const auto at = base.text.find("spread = \"112.5 mm +- 0.25 mm\"");
  base.text.insert(at + 30, "  # taken with the pins out");
  const auto text = write_case_text(read("11, spread, mm, 113\n"), 0, base).text;
  EXPECT_NE(text.find("spread = \"113 mm\"  # taken with the pins out"), std::string::npos) << text;
}

// A case may write its values in other places than a section of their own.
TEST_F(Sheet, FindsValuesHoweverTheCaseWritesThem) {
  auto base = remedies::read_case("cases/missed_heel/case.toml");
  const auto before = [&](const std::string& heading, const std::string& text) {
    const auto at = base.text.find(heading);
    ASSERT_NE(at, std::string::npos);
    base.text.insert(at, text);
  };
  before("[[lead]]",
         "[screws]\ncapstan.pitch = \"1.1 mm\"\n\n[screws.drop_screw]\npitch = \"0.6 mm\"\n\n"
         "[wippen.heel_profile]\nunit = \"mm\"\npoints = [\n  [-73.5, -19.5],\n  [-70, -25],\n"
         "  [-61, -26.4],\n  [-55, -20],\n]\n\n");
  const auto sheet = read(
      "97, capstan, mm, 0.9\n99, drop screw, mm, 0.8\n98, let-off button, mm, 0.7\n"
      "45, heel cloth, mm, 1.9\n35, lean, deg, -2\n");
  const auto d = made_of(sheet, 0, base);
  EXPECT_DOUBLE_EQ(d.value("screws.capstan.pitch"), 0.9e-3);
  EXPECT_DOUBLE_EQ(d.value("screws.drop_screw.pitch"), 0.8e-3);
  EXPECT_DOUBLE_EQ(d.value("screws.let_off_button.pitch"), 0.7e-3);
  EXPECT_DOUBLE_EQ(d.value("wippen.heel_cloth_thickness"), 1.9e-3);
  EXPECT_DOUBLE_EQ(d.value("capstan.lean"), -2 * base::kDegree);
  EXPECT_EQ(d.point_list("wippen.heel_profile").x.size(), 4u) << "a list's own brackets are no heading";
  EXPECT_EQ(d.set_ups.size(), base.set_ups.size());
  // A new trace takes the old one's place.
  const auto traced = read(
      "131, point 1, mm, 74 19\n132, point 2, mm, 70 25\n133, point 3, mm, 62 26.5\n"
      "134, point 4, mm, 58 25\n135, point 5, mm, 54 19\n");
  const auto t = made_of(traced, 0, base);
  ASSERT_EQ(t.point_list("wippen.heel_profile").x.size(), 5u);
  EXPECT_DOUBLE_EQ(t.point_list("wippen.heel_profile").x[0], -74e-3);
  EXPECT_DOUBLE_EQ(t.point_list("wippen.heel_profile").y[2], -26.5e-3);
}

TEST_F(Sheet, SpreadsheetsOfOtherCountries) {
  const std::string path =
      write("semicolons.csv",
            "\xEF\xBB\xBFline;measurement;unit;C4;G3\r\n11;\"spread; pin to pin\";mm;112,75 +- 0,2;\r\n"
            "61;strike weight;gf;9,6;9,9\r\n");
  const auto sheet = read_filled_sheet(path);
  ASSERT_EQ(sheet.notes.size(), 2u);
  EXPECT_DOUBLE_EQ(sheet.find(11, 1)->quantity.value, 112.75e-3)
      << "a line of the piano, asked for the second note";
  EXPECT_DOUBLE_EQ(sheet.find(11, 0)->quantity.sigma, 0.2e-3);
  EXPECT_DOUBLE_EQ(sheet.find(61, 1)->quantity.value, 9.9 * base::kGramForce);
}

TEST_F(Sheet, RefusesWithFileAndLine) {
  const auto expect = [&](const std::string& lines, const std::vector<std::string>& pieces,
                          const std::string& notes = "C4") {
    const std::string said = refused(lines, notes);
    EXPECT_NE(said.find("filled.csv:2"), std::string::npos) << said;
    for (const auto& piece : pieces)
      EXPECT_NE(said.find(piece), std::string::npos) << piece << " in\n" << said;
  };
  expect("11, spread, mm, eleven\n", {"line 11, spread"});
  expect("11, spread, mm, 212\n", {"line 11", "100 to 125 mm", "109 to 115 mm is usual"});
  expect("61, strike weight, g, 9.6\n", {"line 61", "gf"});
  expect("12.5, spread, mm, 112\n", {"no line \"12.5\""});
  expect("19, spread, mm, 112\n", {"no line \"19\""});
  expect("2, kind, , naturel\n", {"did you mean \"natural\"?"});
  expect("11, spread, mm, 112.5, 3\n", {"5 fields where the headings name 4", "decimal comma"});
  expect("131, point 1, mm, 61.5\n", {"two numbers"});
  // Contradictions.
  expect("82, up weight, gf, 54\n81, down weight, gf, 53\n", {"not below the down weight", "exchanged"});
  expect("87, aftertouch, mm, 5\n83, dip, mm, 9.9\n", {"aftertouch", "tenth"});
  expect("64, lead 1, g, 14\n", {"lead 1 has no place"});
  const std::string shared = refused("11, spread, mm, 112.5, 115\n", "C4, G3");
  EXPECT_NE(shared.find("two values for what is one thing"), std::string::npos) << shared;
  EXPECT_EQ(refused("11, spread, mm, 112.5, 112.6\n", "C4, G3"), "accepted") << "they agree";
  EXPECT_NE(refused("").find("nothing is filled in"), std::string::npos);
  EXPECT_THROW(read_filled_sheet(folder_.path()), base::UserError);
  EXPECT_THROW(read_filled_sheet(write("no.csv", "note, set_up\nC4, as found\n")), base::UserError);
}

TEST_F(Sheet, AllProblemsInOneRun) {
  const std::string said = refused("11, spread, mm, x\n61, strike weight, g, 9\n300, what, mm, 1\n");
  for (const char* line : {":2:", ":3:", ":4:"}) EXPECT_NE(said.find(line), std::string::npos) << said;
}

TEST_F(Sheet, SaysWhatIsUnusualAndWhatDoesNotFit) {
  const auto sheet = read(
      "81, down weight, gf, 61\n"
      "75, key friction, gf, 8\n76, balance bushing, gf, 1\n77, front bushing, gf, 1\n"
      "11, spread, mm, 112.5\n13, hammer centre, mm, 155\n");
  ASSERT_EQ(sheet.warnings.size(), 3u);
  EXPECT_NE(sheet.warnings[0].find("filled.csv:2: line 81"), std::string::npos) << sheet.warnings[0];
  EXPECT_NE(sheet.warnings[2].find("6.0 gf more than lines 76 and 77"), std::string::npos)
      << sheet.warnings[2];
  // The height of the hammer centre alone moves the hammer: nothing contradicts it. The heel contact is also
  // known from rear length, heights and the place of the stack, and those say 66 mm.
  const auto base = remedies::read_case("cases/missed_heel/case.toml");
  EXPECT_TRUE(find_misfits(sheet, 0, made_of(sheet, 0, base)).empty());
  const auto wrong = read("41, heel contact, mm, 62.5\n");
  std::string misfits;
  for (const auto& m : find_misfits(wrong, 0, made_of(wrong, 0, base))) misfits += m + "\n";
  EXPECT_NE(misfits.find("filled.csv:2: line 41, heel contact"), std::string::npos) << misfits;
  const auto absurd = read("41, heel contact, mm, 50\n");
  EXPECT_THROW(find_misfits(absurd, 0, made_of(absurd, 0, base)), base::UserError);
}

TEST_F(Sheet, NotesGoWhereCalibrateReadsThem) {
  const auto base = remedies::read_case("cases/missed_heel/case.toml");
  const auto sheet = read(
      "61, strike weight, gf, 9.6, 9.9 +- 0.05\n62, front weight, gf, 26, 27.5\n"
      "71, hammer centre, gf at 23 mm, 4 at 20, 3.5\n78, hammer swings, , 6, 7\n"
      "81, down weight, gf, 53, 54\n82, up weight, gf, 20, \n",
      "C4, G3");
  const std::string path = write("notes.csv", write_notes_file(sheet, "as found"));
  const auto rows = calibrate::read_measurements(path, base);
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_EQ(rows[1].note, "G3");
  EXPECT_EQ(rows[0].readings.size(), 4u);
  EXPECT_EQ(rows[1].readings.size(), 3u) << "an empty cell is no reading";
  EXPECT_DOUBLE_EQ(rows[1].own.at("measured.strike_weight").value, 9.9 * base::kGramForce);
  EXPECT_DOUBLE_EQ(rows[1].own.at("measured.strike_weight").sigma, 0.05 * base::kGramForce);
  for (const auto& r : rows[0].readings)
    if (r.kind == calibrate::Kind::kHammerCentre) {
      EXPECT_NEAR(r.value, 4 * base::kGramForce * 20e-3, 1e-12);
    }
  EXPECT_EQ(write_notes_file(read("11, spread, mm, 112\n"), "as found"), "") << "no reading, no file";
}

TEST_F(Sheet, BlankCaseCanBeRegulated) {
  const auto d = remedies::read_case(blank_case_path());
  for (const auto& [key, q] : d.quantities) {
    if (key.rfind("measured.", 0) == 0 && !q.from_default) {
      EXPECT_EQ(q.knowledge, case_file::Knowledge::kEstimate) << key;
    }
  }
  const auto m = study::SetUpSolver(d).measure(d, 0, {});
  EXPECT_GT(m[study::kDownWeight], 30 * base::kGramForce);
  EXPECT_LT(m[study::kDownWeight], 70 * base::kGramForce);
}

}  // namespace
}  // namespace leverwright::workshop
