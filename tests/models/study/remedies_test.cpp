// Remedies in what the hand turns or cuts, with what is known of each.
#include "models/study/remedies.h"

#include <gtest/gtest.h>

#include "models/remedies/all.h"
#include "models/remedies/read_case.h"

namespace leverwright::study {
namespace {

std::vector<RemedyLine> lines_of(const std::string& name) {
  static const auto d = remedies::read_case("cases/missed_heel/case.toml");
  for (const auto& s : d.set_ups)
    if (s.name == name) return find_remedies(s, action::design(d, d.set_ups.front()), action::design(d, s));
  return {};
}

TEST(RemedyWords, CountFromWhatCanBeFoundOnTheAction) {
  EXPECT_EQ(
      lines_of("capstan relocated").at(0).hand,
      "new capstan hole 3.0 mm toward the balance rail: middle of the cap 121.0 mm behind the balance hole "
      "(was 124.0 mm)");
  EXPECT_EQ(lines_of("heel build-up").at(0).hand,
            "strip 0.70 mm thick, 5.0 mm long, from 58.5 to 63.5 mm from the wippen centre, cloth stretched "
            "over it");
  EXPECT_NE(lines_of("heel re-glued").at(0).hand.find("lifting face then 56.0 to 66.0 mm"),
            std::string::npos);
  EXPECT_NE(lines_of("friction only").at(0).hand.find("2.5 gf at 23 mm"), std::string::npos);
}

TEST(RemedyWords, SayTheOtherWayWhereTheAmountIsNegative) {
  const auto d = remedies::read_case("cases/missed_heel/case.toml");
  case_file::SetUp s = d.set_ups.at(2);
  ASSERT_EQ(s.changes.at(0).kind(), "capstan moved");
  s.changes[0].quantities.at("distance").value = -1.5e-3;
  const auto base = action::design(d, d.set_ups.front()), moved = action::design(d, s);
  EXPECT_GT(moved.cap_apex.x(), base.cap_apex.x());
  EXPECT_EQ(find_remedies(s, base, moved).at(0).hand.find("new capstan hole 1.5 mm toward the strings"), 0u);
}

TEST(RemedyWords, EveryKindHasItsOwn) {
  const auto d = remedies::read_case("cases/missed_heel/case.toml");
  const auto base = action::design(d, d.set_ups.front());
  for (const case_file::Remedy* remedy : remedies::all()) {
    const case_file::RemedyRow& spec = remedy->row;
    case_file::SetUp s;
    s.changes.emplace_back();
    s.changes.back().remedy = remedy;
    for (const auto& a : spec.arguments) {
      if (a.words_from == case_file::WordsFrom::kQuantity)
        s.changes.back().quantities[a.name].value = 1e-3;
      else
        s.changes.back().choices[a.name] = a.words.empty() ? "x" : a.words.front();
    }
    const auto lines = find_remedies(s, base, base);
    ASSERT_EQ(lines.size(), 1u);
    EXPECT_NE(lines[0].hand, spec.kind) << "no words of its own";
    EXPECT_EQ(lines[0].spec, &spec);
  }
}

TEST(RemedyWords, LabourAndReversibilityAreThoseOfAllChanges) {
  case_file::SetUp s;
  EXPECT_EQ(reversible(s), "yes");
  for (const char* kind : {"spread shim", "friction"}) {
    s.changes.emplace_back();
    s.changes.back().remedy = remedies::find(kind);
  }
  EXPECT_EQ(reversible(s), "partly");
  const auto labour = labour_of(s);
  EXPECT_EQ(labour.per, "note");
  EXPECT_EQ(labour.hours_low, 3);
  EXPECT_EQ(labour.hours_high, 20);
  EXPECT_EQ(case_file::labour_words(labour), "3 to 20 h for 88 notes, note by note");
}

}  // namespace
}  // namespace leverwright::study
