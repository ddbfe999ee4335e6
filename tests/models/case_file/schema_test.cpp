// The tables agree with themselves: a row that cannot be read, or explains nothing, fails here.
#include "models/case_file/schema.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/remedies/all.h"

namespace leverwright::case_file {
namespace {

bool reads(const std::string& text, Dimension d, const std::string& sigma, const std::string& range) {
  return std::holds_alternative<Quantity>(read_quantity(text, d, sigma, range));
}

TEST(Schema, every_row_has_range_description_and_source) {
  for (const auto& [path, spec] : schema().keys) {
    EXPECT_FALSE(spec.description.empty()) << path;
    EXPECT_FALSE(spec.source.empty()) << path;
    ASSERT_FALSE(spec.range.empty()) << path;
    const Range range = read_range(spec.range, spec.dimension);
    EXPECT_LT(range.low, range.high) << path;
    EXPECT_NE(path.find('.'), std::string::npos) << path << " belongs to no section";
  }
}

TEST(Schema, every_default_reads_and_is_plausible) {
  for (const auto& [path, spec] : schema().keys) {
    EXPECT_EQ(spec.default_text.empty(), spec.presence != Presence::kDefault) << path;
    if (spec.presence != Presence::kDefault) continue;
    EXPECT_TRUE(reads(spec.default_text, spec.dimension, spec.default_sigma, spec.range))
        << path << ": " << spec.default_text;
  }
}

TEST(Schema, an_estimate_as_default_has_a_range_or_an_uncertainty) {
  for (const auto& [path, spec] : schema().keys) {
    if (spec.presence != Presence::kDefault || spec.source != "estimate") continue;
    if (path.compare(0, 7, "screws.") == 0) continue;       // settings
    if (path.compare(0, 11, "regulation.") == 0) continue;  // settings
    const Quantity q =
        std::get<Quantity>(read_quantity(spec.default_text, spec.dimension, spec.default_sigma));
    EXPECT_NE(q.knowledge, Knowledge::kExact) << path;
  }
}

TEST(Schema, usual_uncertainties_read) {
  for (const auto& [path, spec] : schema().keys) {
    if (spec.default_sigma.empty() || spec.default_sigma.back() == '%') continue;
    EXPECT_TRUE(reads(spec.default_sigma, spec.dimension, "", "")) << path << ": " << spec.default_sigma;
  }
}

TEST(Schema, choices_and_their_defaults) {
  for (const auto& [path, spec] : schema().choices) {
    EXPECT_FALSE(spec.description.empty()) << path;
    EXPECT_EQ(spec.default_word.empty(), spec.presence != Presence::kDefault) << path;
    if (spec.presence != Presence::kDefault || spec.words.empty()) continue;
    EXPECT_NE(std::find(spec.words.begin(), spec.words.end(), spec.default_word), spec.words.end()) << path;
  }
}

TEST(Schema, no_path_is_two_things) {
  std::set<std::string> seen;
  for (const std::string& path : schema().all_paths()) EXPECT_TRUE(seen.insert(path).second) << path;
  for (const std::string& path : schema().all_paths()) EXPECT_FALSE(schema().has_section(path)) << path;
}

TEST(Schema, required_when_names_keys_and_words_that_exist) {
  for (const RequiredWhen& row : schema().required_when) {
    const ChoiceSpec* choice = schema().find_choice(row.choice);
    ASSERT_NE(choice, nullptr) << row.choice;
    EXPECT_NE(std::find(choice->words.begin(), choice->words.end(), row.word), choice->words.end())
        << row.word;
    for (const std::string& key : row.keys) EXPECT_NE(schema().find_key(key), nullptr) << key;
  }
}

TEST(Schema, part_keys_lie_below_slots_and_contact_keys_below_places) {
  std::set<std::string> bench = {"measured", "friction", "stated",  "note",    "bench",     "regulation",
                                 "screws",   "touches",  "targets", "options", "noticeable"};
  // Numbers of an option's parts have sections of their own.
  for (const auto& keys : {option_keys(), key_option_keys()})
    for (const KeySpec& key : keys) bench.insert(key.path.substr(0, key.path.find('.')));
  for (const std::string& path : schema().all_paths()) {
    const std::string top = path.substr(0, path.find('.'));
    if (top == path || bench.count(top) != 0) continue;
    if (top == "contact") {
      const std::string place = path.substr(8, path.find('.', 8) - 8);
      EXPECT_TRUE(schema().has_place(place)) << path;
    } else {
      EXPECT_TRUE(schema().has_slot(top)) << path;
    }
  }
}

TEST(Schema, a_set_up_is_undone_like_its_worst_change) {
  case_file::SetUp s;
  EXPECT_EQ(undone_class(s), kUndoneInMinutes);
  EXPECT_FALSE(eases_friction_only(s)) << "nothing is done";
  s.changes.emplace_back();
  s.changes.back().remedy = &remedies::lead();
  s.changes.back().choices["action"] = "move";
  EXPECT_EQ(undone_class(s), kUndoneInMinutes);
  s.changes.back().choices["action"] = "add";
  EXPECT_EQ(undone_class(s), kUndoneWithWork) << "its hole stays";
  s.changes.back().remedy = &remedies::friction();
  EXPECT_TRUE(eases_friction_only(s));
  s.changes.emplace_back();
  s.changes.back().remedy = &remedies::capstan_moved();
  EXPECT_EQ(undone_class(s), kNotReversible);
  EXPECT_FALSE(eases_friction_only(s));
}

TEST(Schema, every_change_says_what_it_does_and_its_arguments_read) {
  const std::set<std::string> answers = {"yes", "partly", "no"};
  for (const Remedy* remedy : remedies::all()) {
    const RemedyRow& spec = remedy->row;
    EXPECT_FALSE(spec.description.empty()) << spec.kind;
    EXPECT_EQ(answers.count(spec.reversible), 1u) << spec.kind;
    EXPECT_GE(spec.undone, kUndoneInMinutes) << spec.kind;
    EXPECT_EQ(spec.undone == kNotReversible, spec.reversible == "no") << spec.kind;
    EXPECT_EQ(spec.friction_only, spec.kind == "friction") << spec.kind;
    for (const ArgumentSpec& a : spec.arguments) {
      EXPECT_FALSE(a.description.empty()) << spec.kind << " " << a.name;
      if (a.words_from != WordsFrom::kQuantity) continue;
      const Range range = read_range(a.range, a.dimension);
      EXPECT_LT(range.low, range.high) << spec.kind << " " << a.name;
      const bool readable =
          a.default_text.empty() || reads(a.default_text, a.dimension, a.default_sigma, a.range);
      EXPECT_TRUE(readable) << spec.kind << " " << a.name;
      EXPECT_EQ(a.default_text.empty(), a.presence != Presence::kDefault) << spec.kind << " " << a.name;
    }
  }
}

TEST(Nearest, letters_left_out_doubled_exchanged_and_swapped) {
  EXPECT_EQ(edit_distance("spread", "spread"), 0);
  EXPECT_EQ(edit_distance("sprad", "spread"), 1);
  EXPECT_EQ(edit_distance("spreadd", "spread"), 1);
  EXPECT_EQ(edit_distance("spraed", "spread"), 1);  // two neighbours swapped
  EXPECT_EQ(edit_distance("Spread", "spread"), 0);
  EXPECT_EQ(edit_distance("", "dip"), 3);
  EXPECT_EQ(edit_distance("kitten", "sitting"), 3);
  EXPECT_EQ(nearest_word("let_of", {"dip", "let_off", "blow"}), "let_off");
  EXPECT_EQ(nearest_word("zither", {"dip", "let_off", "blow"}), "");
}

}  // namespace
}  // namespace leverwright::case_file
