// The written standard of the case format says what the reader does.
#include <gtest/gtest.h>

#include "models/case_file/format_tables.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/remedies/all.h"
#include "tests/support/read_text.h"

namespace leverwright::case_file {
namespace {

std::string handbook() {
  return support::read_text(std::string(LEVERWRIGHT_SOURCE_DIR) + "/models/handbook/case_format.md");
}

TEST(Handbook, tables_are_those_of_the_schema) {
  EXPECT_NE(handbook().find(write_format_tables(remedies::all())), std::string::npos)
      << "a schema row changed; in the build folder run\n    ninja handbook";
}

TEST(Handbook, names_every_key_choice_list_slot_place_and_change) {
  const std::string text = handbook();
  const auto named = [&](const std::string& name) {
    return text.find("`" + name + "`") != std::string::npos;
  };
  for (const std::string& path : schema().all_paths())
    EXPECT_TRUE(named(path.substr(path.rfind('.') + 1)) || named(path)) << path;
  for (const SlotSpec& slot : schema().slots) EXPECT_NE(text.find("`" + slot.name + "`"), std::string::npos);
  for (const PlaceSpec& place : schema().places)
    EXPECT_NE(text.find("`" + place.name + "`"), std::string::npos);
  for (const Remedy* remedy : remedies::all())
    EXPECT_NE(text.find("kind = \"" + remedy->row.kind + "\""), std::string::npos);
}

TEST(Handbook, renewing_twice_changes_nothing) {
  const std::string once = renew_tables(handbook(), remedies::all());
  EXPECT_EQ(renew_tables(once, remedies::all()), once);
  EXPECT_EQ(renew_tables("no markers", remedies::all()), "no markers");
}

// Rows of the handbook's grammar table read: | `text` | dimension's word | ... Every example must be
// accepted.
TEST(Handbook, every_example_of_the_grammar_is_accepted) {
  const std::string text = handbook();
  int tried = 0;
  std::size_t at = text.find("| written | for | meaning |");
  ASSERT_NE(at, std::string::npos);
  const std::size_t end = text.find("\n\n", at);
  while ((at = text.find("\n| `", at)) < end) {
    at += 4;
    const std::string example = text.substr(at, text.find('`', at) - at);
    const std::size_t word_at = text.find("| ", at) + 2;
    const std::string word = text.substr(word_at, text.find(" |", word_at) - word_at);
    bool accepted = false;
    for (int i = 0; i <= static_cast<int>(Dimension::kCount); ++i) {
      const auto d = static_cast<Dimension>(i);
      if (dimension_words(d) != word) continue;
      const QuantityResult result = read_quantity(example, d);
      accepted = std::holds_alternative<Quantity>(result);
    }
    EXPECT_TRUE(accepted) << example << " for " << word;
    ++tried;
  }
  EXPECT_GE(tried, 10);
}

}  // namespace
}  // namespace leverwright::case_file
