#include "viz/table/text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <sstream>

#include "viz/table/csv.h"

namespace leverwright::table {
namespace {

TEST(Numbers, NeverShowADirectionThatIsNotThere) {
  EXPECT_EQ(fixed(-0.04, 1), "0.0");
  EXPECT_EQ(fixed(-0.06, 1), "-0.1");
  EXPECT_EQ(fixed_signed(0.004, 2), "0.00");
  EXPECT_EQ(fixed_signed(0.006, 2), "+0.01");
  EXPECT_EQ(fixed_signed(-12.34, 1), "-12.3");
  EXPECT_EQ(fixed(std::nan(""), 1), "-");
}

TEST(Words, AreBrokenAtBlanksAndKeepTheirOrder) {
  EXPECT_EQ(wrap("one two three four", 20, "- ", "  "), "- one two three four\n");
  EXPECT_EQ(wrap("capstan relocated toward the rail", 24, "- ", "  "),
            "- capstan relocated\n  toward the rail\n");
}

RC_GTEST_PROP(Words, NoLineIsWiderThanAskedUnlessOneWordIs, (const std::vector<unsigned char>& lengths)) {
  std::string text;
  int longest = 1;
  for (const unsigned char c : lengths) {
    const int n = 1 + c % 17;
    longest = std::max(longest, n);
    text += std::string(static_cast<std::size_t>(n), 'x') + " ";
  }
  const int width = *rc::gen::inRange(5, 60);
  std::string joined;
  for (const auto& line : break_lines(text, width)) {
    RC_ASSERT(columns_of(line) <= std::max(width, longest));
    joined += line + (line.empty() ? "" : " ");
  }
  RC_ASSERT(joined == text);
}

TEST(Words, AreCountedInLettersNotBytes) { EXPECT_EQ(columns_of("Fl\xC3\xBCgel \xC2\xB1"), 8); }

TEST(Grid, SetsColumnsUnderEachOtherAndBreaksLongCells) {
  Grid grid({0, 6, 12});
  grid.add({{"dip"}, {"9.8", Colour::kPlain, true}, {"kept as it was before"}});
  grid.add_rule();
  grid.add({{"let-off"}, {"1.95", Colour::kPlain, true}, {""}});
  EXPECT_EQ(grid.write({}, " "),
            " dip         9.8  kept as it\n"
            "                  was before\n"
            " -----------------------------\n"
            " let-off    1.95\n");
}

TEST(Grid, ColourDoesNotMoveColumns) {
  Grid grid({0, 8, 3});
  grid.add({{"friction"}, {"worse", Colour::kBad}, {"end"}});
  Look coloured;
  coloured.colour = true;
  const std::string plain = grid.write({});
  std::string stripped = grid.write(coloured);
  EXPECT_NE(stripped, plain);
  for (std::size_t at; (at = stripped.find('\x1b')) != std::string::npos;)
    stripped.erase(at, stripped.find('m', at) - at + 1);
  EXPECT_EQ(stripped, plain);
}

RC_GTEST_PROP(Csv, WhatIsJoinedIsSplitAgain, (const std::vector<std::string>& any)) {
  RC_PRE(!any.empty());
  std::vector<std::string> fields;
  for (std::string field : any) {  // line breaks end a line of ours, as in any file read line by line
    for (char& c : field)
      if (c == '\n' || c == '\r') c = ',';
    fields.push_back(field);
  }
  const std::string line = join_csv(fields);
  RC_ASSERT(split_csv(line.substr(0, line.size() - 1)) == fields);
}

TEST(Csv, NumbersComeBackToTheLastBit) {
  for (const double value : {0.1, -12.345678901234567, 1e-17, 46.0})
    EXPECT_EQ(std::stod(csv_number(value)), value);
  EXPECT_EQ(csv_number(std::nan("")), "");
}

}  // namespace
}  // namespace leverwright::table
