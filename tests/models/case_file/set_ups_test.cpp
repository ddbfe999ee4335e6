// Changes as read, and those that put one value in place of another.
#include <gtest/gtest.h>

#include "models/case_file/case_description.h"
#include "models/case_file/schema.h"
#include "models/remedies/all.h"
#include "sim/base/error.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

using case_test::good_text;
using case_test::problems_of;
using case_test::read_case_text;
using case_test::with_end;

constexpr double kGf = 9.80665e-3;

std::string with_change(const std::string& arguments) {
  return with_end(good_text(), "\n[[set_up]]\nname = \"tried\"\n[[set_up.change]]\n" + arguments);
}

void replace(CaseDescription& d, const Change change) { change.remedy->replace_values(d, change); }

const Change& last_change(const CaseDescription& d) { return d.set_ups.back().changes.back(); }

CaseDescription changed(const std::string& arguments) {
  CaseDescription d = read_case_text(with_change(arguments));
  replace(d, last_change(d));
  return d;
}

std::string example_of(const ArgumentSpec& a) {
  switch (a.words_from) {
    case WordsFrom::kList:
      return a.words.back();
    case WordsFrom::kContactPlace:
      return schema().places.back().name;
    case WordsFrom::kSlot:
      return "wippen";
    case WordsFrom::kPartId:
      return "test_wippen";
    case WordsFrom::kMaterialId:
      return "test_cloth";
    case WordsFrom::kKeyPath:
      return "measured.spread";
    case WordsFrom::kValueText:
      return "112.9 mm";
    case WordsFrom::kQuantity:
      return a.range;  // a range is itself a way to write an estimate
  }
  return "";
}

TEST(SetUps, every_kind_and_argument_of_the_schema_can_be_written) {
  for (const Remedy* remedy : remedies::all()) {
    const RemedyRow& spec = remedy->row;
    std::string groups;
    for (const ArgumentSpec& a : spec.arguments)
      if (groups.find(a.group) == std::string::npos && a.group != ' ') groups += a.group;
    if (groups.empty()) groups = " ";
    for (char group : groups) {
      std::string text = "kind = \"" + spec.kind + "\"\n";
      int written = 0;
      for (const ArgumentSpec& a : spec.arguments) {
        if (a.group != ' ' && a.group != group) continue;
        std::string example = example_of(a);
        if (spec.kind == "lead")  // one that is there, moved
          example = a.name == "mass"       ? "12.5 g"
                    : a.name == "distance" ? "95 mm"
                    : a.name == "to"       ? "80 mm"
                                           : example;
        text += a.name + " = \"" + example + "\"\n";
        ++written;
      }
      const auto problems = problems_of(with_change(text));
      ASSERT_TRUE(problems.empty()) << text << base::write_problems(problems);
      const Change change = last_change(read_case_text(with_change(text)));
      EXPECT_GE(static_cast<int>(change.quantities.size() + change.choices.size()), written) << text;
    }
  }
}

TEST(SetUps, usual_arguments_are_filled_in) {
  const Change lean = last_change(read_case_text(with_change("kind = \"capstan lean\"\nangle = \"4 deg\"")));
  EXPECT_EQ(lean.choices.at("about"), "middle of its cap (apex kept)");
  const Change glued = last_change(read_case_text(
      with_change("kind = \"heel re-glued\"\nshift = \"2.5 mm\"\ndirection = \"toward the strings\"")));
  EXPECT_EQ(glued.quantities.at("shim").value, 0);
  EXPECT_TRUE(glued.quantities.at("shim").from_default);
}

TEST(SetUps, optional_arguments_alone_may_not_all_be_missing) {
  const auto problems = problems_of(with_change("kind = \"knuckle\""));
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_NE(problems[0].what.find("changes nothing"), std::string::npos);
}

TEST(SetUps, a_part_change_carries_the_whole_part) {
  const Change change =
      last_change(read_case_text(with_change("kind = \"part\"\nslot = \"wippen\"\nid = \"test_wippen\"")));
  EXPECT_EQ(change.quantities.count("wippen.jack_length"), 1u);
  EXPECT_EQ(change.point_lists.count("wippen.heel_profile"), 1u);
}

TEST(SetUps, a_part_change_to_an_incomplete_file_is_refused) {
  const auto problems =
      problems_of(with_change("kind = \"part\"\nslot = \"capstan\"\nid = \"incomplete_capstan\""));
  ASSERT_EQ(problems.size(), 1u) << base::write_problems(problems);
  EXPECT_NE(problems[0].what.find("lacks \"lean\""), std::string::npos);
}

TEST(ReplaceValues, friction_of_contact_centre_and_bushing) {
  EXPECT_DOUBLE_EQ(changed("kind = \"friction\"\nplace = \"jack_knuckle\"\ncoefficient = 0.17")
                       .value("contact.jack_knuckle.friction"),
                   0.17);
  EXPECT_NEAR(changed("kind = \"friction\"\npivot = \"wippen_centre\"\ntorque = \"1.2 gf at 23 mm\"")
                  .value("friction.wippen_centre"),
              1.2 * kGf * 0.023, 1e-15);
  EXPECT_NEAR(changed("kind = \"friction\"\nbushing = \"key_front\"\nweight = \"0.6 gf\"")
                  .value("friction.key_front"),
              0.6 * kGf, 1e-15);
}

TEST(ReplaceValues, a_lead_takes_its_share_of_the_front_weight_with_it) {
  const double before = read_case_text(good_text()).value("measured.front_weight");
  const CaseDescription added = changed("kind = \"lead\"\nmass = \"13 g\"\ndistance = \"150 mm\"");
  ASSERT_EQ(added.leads.size(), 3u);
  EXPECT_NEAR((added.value("measured.front_weight") - before) / kGf, 13 * 150.0 / 250, 1e-9);
  const CaseDescription removed =
      changed("kind = \"lead\"\naction = \"remove\"\nmass = \"12 g\"\ndistance = \"96 mm\"");
  ASSERT_EQ(removed.leads.size(), 1u);
  // The lead that is there (12.5 g at 95 mm) goes, not the one as described.
  EXPECT_NEAR((removed.value("measured.front_weight") - before) / kGf, -12.5 * 95 / 250, 1e-9);
}

TEST(ReplaceValues, hammer_weight_adds) {
  EXPECT_NEAR(changed("kind = \"hammer weight\"\namount = \"-1.3 gf\"\ntaken_from = \"head and shank alike\"")
                  .value("measured.strike_weight"),
              9.1 * kGf, 1e-12);
}

TEST(ReplaceValues, a_new_knuckle_forgets_the_old_ones_arm) {
  CaseDescription d = read_case_text(with_change("kind = \"knuckle\"\nhanging_distance = \"16.4 mm\""));
  d.quantities["measured.knuckle_arm"] = d.quantity("measured.bore");
  replace(d, last_change(d));
  EXPECT_NEAR(d.value("measured.hanging_distance"), 0.0164, 1e-15);
  EXPECT_NEAR(d.value("measured.knuckle_diameter"), 0.0098, 1e-15);
  EXPECT_FALSE(d.has("measured.knuckle_arm"));
}

TEST(ReplaceValues, a_part_change_leaves_nothing_of_the_old_part) {
  CaseDescription d =
      read_case_text(with_end(with_change("kind = \"part\"\nslot = \"capstan\"\nid = \"test_capstan\""),
                              "[capstan]\ndome_radius = \"31 mm\"\nlean = \"7 deg\""));
  ASSERT_TRUE(d.has("capstan.dome_radius"));
  replace(d, last_change(d));
  EXPECT_FALSE(d.has("capstan.dome_radius"));
  EXPECT_NE(d.value("capstan.lean"), 7 * 3.14159265358979 / 180);
}

TEST(ReplaceValues, set_value_reaches_quantities_and_choices) {
  EXPECT_NEAR(changed("kind = \"set value\"\nkey = \"measured.spread\"\nvalue = \"113.1 mm\"")
                  .value("measured.spread"),
              0.1131, 1e-15);
  EXPECT_EQ(
      changed("kind = \"set value\"\nkey = \"contact_grade\"\nvalue = \"patch\"").choice("contact_grade"),
      "patch");
}

TEST(ReplaceValues, geometry_making_kinds_are_left_to_the_action) {
  CaseDescription d = read_case_text(good_text());
  const auto before = d.quantities;
  replace(d, d.set_ups[1].changes[0]);
  EXPECT_EQ(d.quantities.size(), before.size());
  for (const auto& [path, q] : before) EXPECT_EQ(d.value(path), q.value) << path;
}

TEST(ReplaceValues, a_domed_cap_needs_a_radius_in_a_set_up_too) {
  const auto problems = problems_of(with_change("kind = \"cap\"\nshape = \"domed\""));
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_NE(problems[0].what.find("dome_radius"), std::string::npos);
  EXPECT_TRUE(problems_of(with_change("kind = \"cap\"\nshape = \"domed\"\ndome_radius = \"28 mm\"")).empty());
}

}  // namespace
}  // namespace leverwright::case_file
