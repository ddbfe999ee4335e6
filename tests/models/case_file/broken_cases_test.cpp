// Every file of broken/ holds the faults its first line speaks of, and no others: each must give one message
// with its file, its line and its point. A file added there without a row here fails.
#include <gtest/gtest.h>

#include <filesystem>
#include <set>

#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

struct Expected {
  int line;            // 0: the file as a whole
  std::string phrase;  // part of what is said to be wrong
  std::string file;    // of a part or material; "" the case itself
};

struct BrokenCase {
  std::string name;
  std::vector<Expected> faults;
};

void PrintTo(const BrokenCase& broken, std::ostream* out) { *out << broken.name; }

const std::vector<BrokenCase>& broken_cases() {
  static const std::vector<BrokenCase> table = {
      {"g_for_gf", {{52, "g is a mass, but this is a scale reading", ""}}},
      {"gf_for_g", {{55, "gf is a force, but this is a mass", ""}}},
      {"lead_in_gf", {{79, "\"mass\" of a lead: gf is a force", ""}}},
      {"wrong_unit", {{51, "gf is a weight or force, but this must be a length", ""}}},
      {"unknown_unit", {{50, "unknown unit \"in\"", ""}}},
      {"missing_unit", {{38, "the unit is missing", ""}}},
      {"bare_number", {{48, "\"measured.hanging_distance\" has no unit", ""}}},
      {"decimal_comma", {{39, "decimal comma", ""}}},
      {"not_a_number", {{51, "does not begin with a number", ""}}},
      {"nan_in_text", {{51, "not a finite number", ""}}},
      {"nan_bare", {{117, "not a finite number", ""}}},
      {"infinite", {{109, "not a finite number", ""}}},
      {"too_large", {{51, "cannot be held", ""}}},
      {"negative_mass", {{79, "negative, which cannot be", ""}}},
      {"negative_length", {{38, "negative, which cannot be", ""}}},
      {"negative_uncertainty", {{38, "uncertainty in \"112.4 mm +- -0.25 mm\" is negative", ""}}},
      {"implausible", {{48, "outside everything plausible", ""}}},
      {"wide_uncertainty", {{38, "wider than everything plausible", ""}}},
      {"range_falls", {{109, "does not rise", ""}}},
      {"outside_own_range", {{109, "outside its own range", ""}}},
      {"both_range_and_sigma", {{109, "mixes an uncertainty with a range", ""}}},
      {"bracket_open", {{109, "not closed", ""}}},
      {"empty_value", {{51, "the value is empty", ""}}},
      {"friction_without_radius", {{59, "without its radius", ""}}},
      {"friction_radius_zero", {{60, "radius in", ""}}},
      {"key_friction_with_radius", {{61, "only a friction torque is given \"at\" a radius", ""}}},
      {"unknown_key", {{38, "unknown key \"measured.spraed\"", ""}}},
      {"key_in_wrong_section", {{68, "unknown key \"regulation.hammer_length\"", ""}}},
      {"unknown_section", {{69, "unknown section \"screw\"", ""}}},
      {"missing_key", {{37, "missing key \"measured.string_height\"", ""}}},
      {"missing_note",
       {{0, "missing key \"note.number\"", ""},
        {0, "missing key \"note.kind\"", ""},
        {0, "missing key \"note.name\"", ""}}},
      {"note_not_whole", {{11, "not a whole number", ""}}},
      {"policy_unknown", {{64, "cannot be \"keep dip and blows\"", ""}}},
      {"policy_lacks_value", {{63, "missing key \"regulation.aftertouch\"", ""}}},
      {"duplicate_set_up", {{96, "two set-ups are called \"heel build-up\"", ""}}},
      {"set_up_without_name", {{103, "this set-up has no name", ""}}},
      {"no_set_up", {{0, "the case has no set-up", ""}}},
      {"change_unknown_kind", {{99, "unknown kind of change \"capstan move\"", ""}}},
      {"change_without_kind", {{98, "does not say its kind", ""}}},
      {"change_lacks_argument", {{89, "\"heel build-up\" lacks \"centre\"", ""}}},
      {"change_unknown_argument", {{94, "\"heel build-up\" has no argument \"breadth\"", ""}}},
      {"change_wrong_unit", {{91, "\"height\" of \"heel build-up\": deg is an angle", ""}}},
      {"change_bare_number", {{100, "\"distance\" of \"capstan moved\" has no unit", ""}}},
      {"change_two_targets", {{106, "acts on several things at once", ""}}},
      {"change_contradicts",
       {{111, "\"capstan moved\" here and \"capstan moved\" on line 106 contradict one another", ""}}},
      {"change_wrong_word", {{101, "\"direction\" of \"capstan moved\" cannot be", ""}}},
      {"set_value_unknown_key", {{122, "unknown key \"measured.spred\"", ""}}},
      {"remove_lead_not_there", {{120, "there is no such lead to remove", ""}}},
      {"single_brackets", {{82, "a set-up is a list entry", ""}}},
      {"unknown_part", {{17, "there is no part file \"test_wipen\"", ""}}},
      {"part_outside_folder", {{17, "there is no part file \"../parts/test_wippen\"", ""}}},
      {"part_of_wrong_kind", {{17, "\"test_hammer\" is not a part for \"wippen\"", ""}}},
      {"part_missing", {{14, "[parts] lacks \"hammer\"", ""}}},
      {"part_with_faults",
       {{3, "\"jack_mass\": gf is a force", "wippen_with_faults.toml"},
        {4, "unknown key \"jack_lenght\"", "wippen_with_faults.toml"},
        {5, "not a pair of numbers", "wippen_with_faults.toml"}}},
      {"part_not_toml", {{3, "{ ... } entry is not complete", "not_toml.toml"}}},
      {"part_incomplete", {{0, "lacks \"lean\"", "incomplete_capstan.toml"}}},
      {"part_says_nothing", {{17, "\"says_no_part\" is not a part for \"wippen\"", ""}}},
      {"material_without_source",
       {{2, "\"friction\" has no source", "no_source.toml"},
        {3, "the source of \"exponent\" is empty", "no_source.toml"}}},
      {"material_estimate_without_range",
       {{2, "\"friction\" is an estimate without a range", "estimate_without_range.toml"},
        {3, "unknown key \"hysteresys\"", "estimate_without_range.toml"}}},
      {"unknown_contact_place", {{33, "[materials] has no line \"tail_string\"", ""}}},
      {"points_too_few", {{117, "has 3 points", ""}}},
      {"points_without_unit", {{117, "no unit of length", ""}}},
      {"points_not_finite", {{117, "not a finite place", ""}}},
      {"contradiction", {{46, "contradict each other", ""}}},
      {"impossible_spread", {{38, "impossible geometry: \"measured.spread\"", ""}}},
      {"impossible_string", {{47, "impossible geometry: the string", ""}}},
      {"undetermined", {{0, "do not fix the wippen centre, along", ""}}},
      {"weights_exchanged", {{56, "up weight is not below the down weight", ""}}},
      {"spring_speeds_exchanged", {{68, "not below the fastest", ""}}},
      {"domed_without_radius", {{117, "no dome_radius is given", ""}}},
      {"three_faults",
       {{38, "\"measured.spread\": gf is", ""},
        {66, "\"regulation.blow\" has no unit", ""},
        {101, "cannot be \"sideways\"", ""}}},
      {"key_twice", {{52, "\"bore\" is given twice", ""}}},
      {"section_twice", {{116, "stands in the file twice", ""}}},
      {"quote_missing", {{51, "not closed by its quote", ""}}},
      {"no_quotes", {{51, "not written as this file format wants", ""}}},
      {"no_equals_sign", {{51, "neither a key with its value nor", ""}}},
      {"value_missing", {{51, "a value is missing", ""}}},
      {"heading_open", {{58, "heading is not complete", ""}}},
      {"list_open", {{117, "a list is not closed", ""}}},
      {"not_utf8", {{3, "not UTF-8", ""}}},
      {"not_toml", {{1, "neither a key", ""}}},
      {"empty", {{0, "the file is empty", ""}}},
      {"only_blanks", {{0, "the file is empty", ""}}},
      {"binary", {{0, "not a text file", ""}}},
  };
  return table;
}

std::string folder() { return std::string(LEVERWRIGHT_CASE_TESTS) + "/broken"; }

std::vector<base::Problem> problems_in(const std::string& path) {
  try {
    remedies::read_case(path, LEVERWRIGHT_TEST_MODELS);
  } catch (const base::UserError& error) {
    return error.problems();
  }
  return {};
}

std::string file_name(const std::string& path) { return std::filesystem::path(path).filename().string(); }

class BrokenCases : public testing::TestWithParam<BrokenCase> {};

TEST_P(BrokenCases, gives_one_located_message_per_fault) {
  const BrokenCase& broken = GetParam();
  const std::string path = folder() + "/" + broken.name + ".toml";
  const std::vector<base::Problem> problems = problems_in(path);
  const std::string all = base::write_problems(problems);
  ASSERT_EQ(problems.size(), broken.faults.size()) << all;
  for (std::size_t i = 0; i < problems.size(); ++i) {
    const Expected& expected = broken.faults[i];
    const base::Problem& problem = problems[i];
    EXPECT_EQ(file_name(problem.file), expected.file.empty() ? broken.name + ".toml" : expected.file) << all;
    EXPECT_EQ(problem.line, expected.line) << all;
    EXPECT_NE(problem.what.find(expected.phrase), std::string::npos) << all;
    EXPECT_EQ(problem.line_text.empty(), problem.line == 0) << all;
    EXPECT_FALSE(problem.expected.empty() && problem.advice.empty()) << "nothing to do next: " << all;
  }
}

INSTANTIATE_TEST_SUITE_P(files, BrokenCases, testing::ValuesIn(broken_cases()),
                         [](const auto& row) { return row.param.name; });

TEST(BrokenCasesTable, has_a_row_for_every_file) {
  std::set<std::string> rows, files;
  for (const BrokenCase& broken : broken_cases()) rows.insert(broken.name);
  for (const auto& entry : std::filesystem::directory_iterator(folder()))
    if (entry.path().extension() == ".toml") files.insert(entry.path().stem().string());
  EXPECT_EQ(rows, files);
  EXPECT_GE(files.size(), 45u);
}

TEST(BrokenPaths, a_missing_file_is_named) {
  const auto problems = problems_in(folder() + "/no_such_case.toml");
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(file_name(problems[0].file), "no_such_case.toml");
  EXPECT_NE(problems[0].what.find("there is no case file of this name"), std::string::npos);
}

TEST(BrokenPaths, a_folder_is_not_a_case) {
  const auto problems = problems_in(folder());
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_NE(problems[0].what.find("this is a folder"), std::string::npos);
}

TEST(BrokenPaths, a_device_is_not_a_case) {
  const auto problems = problems_in("/dev/zero");
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_NE(problems[0].what.find("not an ordinary file"), std::string::npos);
}

}  // namespace
}  // namespace leverwright::case_file
