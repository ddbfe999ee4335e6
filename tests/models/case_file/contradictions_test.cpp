// Which changes cannot stand in one set-up.
#include <gtest/gtest.h>

#include "models/remedies/all.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

using case_test::good_text;
using case_test::problems_of;
using case_test::with_end;

std::vector<base::Problem> problems_with(const std::vector<std::string>& changes) {
  std::string text = "\n[[set_up]]\nname = \"tried\"\n";
  for (const auto& change : changes) text += "[[set_up.change]]\n" + change + "\n";
  return problems_of(with_end(good_text(), text));
}

const std::string kStrip =
    "kind = \"heel build-up\"\nheight = \"1 mm\"\nlength = \"5 mm\"\ncentre = \"64 mm\"";
const std::string kCover = "kind = \"heel re-covered\"\nid = \"test_cloth\"\nthickness = \"2 mm\"";
const std::string kShim = "kind = \"balance punching shimmed\"\nthickness = \"0.3 mm\"";
const std::string kHalved =
    "kind = \"balance punching halved\"\nshift = \"3 mm\"\ndirection = \"toward the strings\"";
const std::string kLean = "kind = \"capstan lean\"\nangle = \"3 deg\"";
const std::string kTakeOut = "kind = \"lead\"\nmass = \"12.5 g\"\ndistance = \"95 mm\"\naction = \"remove\"";

TEST(Contradictions, every_pair_that_excludes_itself_names_both) {
  const std::vector<std::pair<std::string, std::string>> pairs = {
      {kLean, "kind = \"capstan lean\"\nangle = \"-2 deg\""},
      {kCover, "kind = \"material\"\nplace = \"capstan_heel\"\nid = \"test_cloth\""},
      {kCover, kStrip},
      {kHalved, kShim + "\nunder = \"the strings' half\""},
      {"kind = \"friction\"\nplace = \"jack_knuckle\"\ncoefficient = 0.1",
       "kind = \"set value\"\nkey = \"contact.jack_knuckle.friction\"\nvalue = \"0.12\""},
      {"kind = \"hammer weight\"\namount = \"-1 gf\"", "kind = \"hammer weight\"\namount = \"1 gf\""},
      {"kind = \"capstan lean\"\nangle = \"3 deg\"\nabout = \"centre of its dome\"",
       "kind = \"cap\"\nshape = \"flat\""},
      {kTakeOut,
       "kind = \"lead\"\nmass = \"12.5 g\"\ndistance = \"96 mm\"\naction = \"move\"\nto = \"80 mm\""},
  };
  for (const auto& [one, other] : pairs)
    for (const bool exchanged : {false, true}) {
      const auto problems = exchanged ? problems_with({other, one}) : problems_with({one, other});
      int named = 0;
      for (const auto& p : problems)
        named += p.what.find("contradict one another") != std::string::npos && p.line > 0 &&
                 p.what.find("on line") != std::string::npos;
      EXPECT_EQ(named, 1) << one << "\n" << other << "\n" << base::write_problems(problems);
    }
}

TEST(Contradictions, work_that_goes_together_is_taken) {
  EXPECT_TRUE(
      problems_with({kStrip, kLean, kShim, kHalved,
                     "kind = \"capstan moved\"\ndistance = \"2 mm\"\ndirection = \"toward the strings\"",
                     "kind = \"friction\"\nplace = \"jack_knuckle\"\ncoefficient = 0.1",
                     "kind = \"friction\"\npivot = \"jack_centre\"\ntorque = \"1 gf at 20 mm\""})
          .empty());
  EXPECT_TRUE(problems_with({kCover, kStrip + "\ncloth = \"laid afresh\""}).empty());
  EXPECT_TRUE(problems_with({kTakeOut, "kind = \"lead\"\nmass = \"12.5 g\"\ndistance = \"60 mm\""}).empty());
}

TEST(Contradictions, a_moved_lead_says_where_to_and_only_a_moved_one_does) {
  const std::string lead = "kind = \"lead\"\nmass = \"12.5 g\"\ndistance = \"95 mm\"\n";
  EXPECT_EQ(problems_with({lead + "action = \"move\""}).size(), 1u);
  EXPECT_EQ(problems_with({lead + "to = \"60 mm\""}).size(), 1u);
  EXPECT_TRUE(problems_with({lead + "action = \"move\"\nto = \"60 mm\""}).empty());
}

TEST(Remedies, every_kind_says_what_it_alters_costs_and_risks) {
  for (const Remedy* remedy : remedies::all()) {
    const RemedyRow& spec = remedy->row;
    EXPECT_FALSE(spec.alters.empty()) << spec.kind;
    EXPECT_FALSE(spec.worry.empty()) << spec.kind;
    EXPECT_TRUE(spec.labour.per == "note" || spec.labour.per == "set") << spec.kind;
    EXPECT_LE(spec.labour.hours_low, spec.labour.hours_high) << spec.kind;
    EXPECT_EQ(spec.labour.hours_high > 0, spec.kind != "set value") << spec.kind;
  }
  EXPECT_LT(remedies::part().row.order, remedies::heel_re_glued().row.order);
  EXPECT_LT(remedies::heel_re_glued().row.order, remedies::heel_build_up().row.order);
}

}  // namespace
}  // namespace leverwright::case_file
