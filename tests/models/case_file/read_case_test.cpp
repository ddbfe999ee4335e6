#include "models/remedies/read_case.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

#include "models/case_file/schema.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

using case_test::good_text;
using case_test::problems_of;
using case_test::read_case_text;
using case_test::with_end;
using case_test::with_line;

constexpr double kGf = 9.80665e-3;

TEST(ReadCase, the_good_case_in_si) {
  const CaseDescription d =
      remedies::read_case(std::string(LEVERWRIGHT_CASE_TESTS) + "/good/plain.toml", LEVERWRIGHT_TEST_MODELS);
  EXPECT_TRUE(d.warnings.empty()) << d.warnings.front();
  EXPECT_EQ(d.title, "Reader's test case");
  EXPECT_TRUE(d.invented);
  EXPECT_EQ(d.text, good_text());
  EXPECT_NEAR(d.value("measured.spread"), 0.1124, 1e-15);
  EXPECT_NEAR(d.quantity("measured.spread").sigma, 0.25e-3, 1e-15);
  EXPECT_NEAR(d.quantity("measured.heel_contact_arm").sigma, 0.5e-3, 1e-15);  // the usual one
  EXPECT_NEAR(d.value("measured.front_weight"), 24.5 * kGf, 1e-15);
  EXPECT_EQ(d.quantity("measured.front_weight").source, "own scale");
  EXPECT_EQ(d.quantity("measured.bore").source, "bench");
  EXPECT_NEAR(d.value("friction.hammer_centre"), 3 * kGf * 0.023, 1e-15);
  EXPECT_EQ(d.quantity("regulation.dip").knowledge, Knowledge::kExact);
  EXPECT_EQ(d.choice("regulation.policy"), "keep dip and blow");
  EXPECT_EQ(d.choice("parts.wippen"), "test_wippen");
  EXPECT_EQ(d.quantity("measured.spread").place.line_text, "spread = \"112.4 mm +- 0.25 mm\"");
  ASSERT_EQ(d.leads.size(), 2u);
  EXPECT_NEAR(d.leads[0].mass, 0.0142, 1e-15);
  EXPECT_NEAR(d.leads[1].sigma_distance, 1e-3, 1e-15);
}

TEST(ReadCase, set_ups_keep_their_order_and_changes) {
  const CaseDescription d = read_case_text(good_text());
  ASSERT_EQ(d.set_ups.size(), 4u);
  EXPECT_EQ(d.set_ups[0].name, "as found");
  EXPECT_TRUE(d.set_ups[0].changes.empty());
  EXPECT_EQ(d.set_ups[1].description, "a strip under the heel cloth");
  const Change& strip = d.set_ups[1].changes.at(0);
  EXPECT_EQ(strip.kind(), "heel build-up");
  EXPECT_NEAR(strip.quantities.at("centre").value, 0.0645, 1e-15);
  EXPECT_NEAR(strip.quantities.at("height").sigma, 0.1e-3, 1e-15);
  EXPECT_EQ(d.set_ups[2].changes.at(0).choices.at("direction"), "toward the balance rail");
  ASSERT_EQ(d.set_ups[3].changes.size(), 2u);
  EXPECT_NEAR(d.set_ups[3].changes[1].quantities.at("torque").value, 2 * kGf * 0.023, 1e-15);
}

TEST(ReadCase, defaults_are_documented_and_marked) {
  const CaseDescription d = read_case_text(good_text());
  const Quantity& jack = d.quantity("friction.jack_centre");
  EXPECT_TRUE(jack.from_default);
  EXPECT_TRUE(jack.place.file.empty());
  EXPECT_EQ(jack.knowledge, Knowledge::kEstimate);
  EXPECT_FALSE(jack.source.empty());
  EXPECT_FALSE(d.quantity("friction.hammer_centre").from_default);
  EXPECT_FALSE(d.has("measured.knuckle_arm"));
  EXPECT_THROW(d.value("measured.knuckle_arm"), std::logic_error);
}

TEST(ReadCase, parts_and_materials_merge_below_their_slot_and_places) {
  const CaseDescription d = read_case_text(good_text());
  EXPECT_TRUE(d.has("capstan.lean"));
  EXPECT_NE(d.quantity("capstan.lean").place.file.find("parts/test_capstan.toml"), std::string::npos);
  for (const PlaceSpec& place : schema().places)
    EXPECT_TRUE(d.has("contact." + place.name + ".friction")) << place.name;
  EXPECT_GE(d.point_list("wippen.heel_profile").x.size(), 3u);
}

TEST(ReadCase, the_case_overrides_part_and_material) {
  const CaseDescription d = read_case_text(with_end(
      good_text(),
      "[capstan]\nlean = \"4.5 deg +- 0.5 deg\"\n[contact.capstan_heel]\nfriction = 0.27\nfriction_along = { "
      "points = [[0, 1], [3.5, 1.8]], unit = \"mm\" }"));
  EXPECT_NEAR(d.value("capstan.lean"), 4.5 * 3.14159265358979 / 180, 1e-12);
  EXPECT_DOUBLE_EQ(d.value("contact.capstan_heel.friction"), 0.27);
  EXPECT_NE(d.value("contact.jack_knuckle.friction"), 0.27);
  EXPECT_NEAR(d.point_list("contact.capstan_heel.friction_along").x[1], 0.0035, 1e-15);
  EXPECT_DOUBLE_EQ(d.point_list("contact.capstan_heel.friction_along").y[1], 1.8);
}

TEST(ReadCase, the_models_folder_can_come_from_the_environment) {
  const std::string path = std::string(LEVERWRIGHT_CASE_TESTS) + "/good/plain.toml";
  setenv("LEVERWRIGHT_MODELS", LEVERWRIGHT_TEST_MODELS, 1);
  EXPECT_EQ(remedies::read_case(path).choice("parts.hammer"), "test_hammer");
  unsetenv("LEVERWRIGHT_MODELS");
  EXPECT_EQ(default_models_directory(), std::string(LEVERWRIGHT_SOURCE_DIR) + "/models");
}

TEST(ReadCase, the_order_of_sections_does_not_matter) {
  std::string text = good_text();
  const std::string section =
      "[regulation]\npolicy = \"keep dip and blow\"\ndip = \"10.2 mm\"\nblow = \"46 mm\"\nlet_off = \"1.8 "
      "mm\"\n";
  const std::size_t at = text.find(section);
  ASSERT_NE(at, std::string::npos);
  text.erase(at, section.size());
  const CaseDescription moved = read_case_text(with_end(text, section));
  const CaseDescription plain = read_case_text(good_text());
  ASSERT_EQ(moved.quantities.size(), plain.quantities.size());
  for (const auto& [key, q] : plain.quantities) EXPECT_EQ(moved.value(key), q.value) << key;
}

TEST(ReadCase, each_policy_wants_its_own_two_values) {
  const std::string text = with_line(good_text(), "policy", "policy = \"keep dip and aftertouch\"");
  ASSERT_EQ(problems_of(text).size(), 1u);
  EXPECT_TRUE(problems_of(with_line(text, "blow", "aftertouch = \"1.2 mm\"")).empty());
}

TEST(ReadCase, a_section_written_as_a_key_is_said_once) {
  std::string text = with_line(good_text(), "[note]", "note = \"C4\"\n[bench]");
  text = with_line(with_line(with_line(text, "name = \"C4\"", ""), "number", ""), "kind = \"natural\"", "");
  const auto problems = problems_of(text);
  ASSERT_EQ(problems.size(), 1u) << base::write_problems(problems);
  EXPECT_NE(problems[0].what.find("\"note\" is a section"), std::string::npos);
}

TEST(ReadCase, bench_answers_outside_the_plane_become_warnings) {
  const CaseDescription d =
      read_case_text(with_end(good_text(), "[bench]\ntwist = true\nside_offset = \"yes\""));
  ASSERT_EQ(d.warnings.size(), 2u);
  EXPECT_NE(d.warnings[0].find("bench.twist"), std::string::npos);
  EXPECT_NE(d.warnings[1].find("bench.side_offset"), std::string::npos);
}

TEST(ReadCase, a_geometry_misfit_becomes_a_warning) {
  const CaseDescription d =
      read_case_text(with_line(good_text(), "heel_contact_arm", "heel_contact_arm = \"71.8 mm\""));
  ASSERT_EQ(d.warnings.size(), 1u);
  EXPECT_NE(d.warnings[0].find("measured.heel_contact_arm"), std::string::npos) << d.warnings[0];
}

TEST(ReadCase, a_knuckle_arm_measured_along_the_shank_is_suspected) {
  const CaseDescription along =
      read_case_text(with_line(good_text(), "bore", "bore = \"50 mm\"\nknuckle_arm = \"17.2 mm\""));
  ASSERT_EQ(along.warnings.size(), 1u);
  EXPECT_NE(along.warnings[0].find("measured.knuckle_arm"), std::string::npos);
  // hypot(17.2, 9.8 + 3) = 21.44
  EXPECT_TRUE(read_case_text(with_line(good_text(), "bore", "bore = \"50 mm\"\nknuckle_arm = \"21.5 mm\""))
                  .warnings.empty());
}

TEST(ReadCase, windows_line_ends_and_a_byte_order_mark_are_no_problem) {
  std::string text = "\xEF\xBB\xBF";
  for (char c : good_text()) text += c == '\n' ? std::string("\r\n") : std::string(1, c);
  EXPECT_TRUE(problems_of(text).empty()) << base::write_problems(problems_of(text));
  const auto problems = problems_of(with_line(text, "bore", "bore = 50\r"));
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems[0].line_text, "bore = 50");
}

}  // namespace
}  // namespace leverwright::case_file
