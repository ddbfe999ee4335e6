// The shape of the compare table: what stands where, not the digits.
#include "viz/table/compare_table.h"

#include <gtest/gtest.h>

#include <limits>
#include <regex>
#include <sstream>

#include "models/judgement/sentences.h"
#include "tests/viz/table/invented_comparison.h"
#include "viz/table/answer.h"

namespace leverwright::table {
namespace {

using table_test::invented_case;
using table_test::invented_comparison;

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string line_of(const std::string& text, const std::string& head) {
  for (const auto& line : lines_of(text))
    if (line.rfind(head, 0) == 0) return line;
  return "";
}

int blocks_of(const std::string& text) {
  int count = 0;
  for (const auto& line : lines_of(text)) count += line.rfind("down weight", 0) == 0;
  return count;
}

// Digits become 9, so that only the shape is compared.
std::string shape(const std::string& line) { return std::regex_replace(line, std::regex("[0-9]"), "9"); }

TEST(Measures, RowOfAMeasureHasItsGoldenShape) {
  study::Comparison c = invented_comparison(2, true);
  c.set_ups[1].results[study::kUpWeight].judgement = study::Judgement::kBetter;
  c.set_ups[2].results[study::kUpWeight].judgement = study::Judgement::kWorse;
  c.set_ups[1].results[study::kFriction].judgement = study::Judgement::kNoChange;
  c.set_ups[2].results[study::kFriction].judgement = study::Judgement::kProbablyBetter;
  const std::string text = write_measures(c, {});
  EXPECT_EQ(shape(line_of(text, "up weight")),
            "up weight              gf  99.9 +-9.9   99.9  +9.9 +-9.9 better   99.9  +9.9 +-9.9 worse");
  EXPECT_EQ(shape(line_of(text, "friction ")),
            "friction               gf  99.9 +-9.9   99.9  +9.9 +-9.9 =        99.9  +9.9 +-9.9 prob.+");
}

TEST(Measures, SetUpsThatDoNotFitGoIntoBlocksBelow) {
  const study::Comparison c = invented_comparison(5, true);
  Look look;
  look.width = 118;
  EXPECT_EQ(blocks_of(write_measures(c, look)), 2);
  look.width = 80;
  EXPECT_EQ(blocks_of(write_measures(c, look)), 5);
  look.width = 200;
  EXPECT_EQ(blocks_of(write_measures(c, look)), 1);
}

TEST(Measures, EveryBlockHoldsEveryMeasureAndTheBase) {
  const study::Comparison c = invented_comparison(5, true);
  Look look;
  look.width = 100;
  const std::string text = write_measures(c, look);
  const int blocks = blocks_of(text);
  ASSERT_GT(blocks, 1);
  for (std::size_t k = 0; k < study::kMeasureCount; ++k) {
    const std::string label = short_label(static_cast<study::MeasureIndex>(k));
    int count = 0;
    for (const auto& line : lines_of(text)) count += line.rfind(label + " ", 0) == 0;
    EXPECT_EQ(count, blocks) << label;
    EXPECT_LE(columns_of(label), 22) << "the column of labels is 22 wide";
  }
  int bases = 0;
  for (const auto& line : lines_of(text)) bases += line.find("as found") != std::string::npos;
  EXPECT_EQ(bases, blocks);
  for (const auto& s : c.set_ups) EXPECT_NE(text.find(s.name), std::string::npos) << s.name;
}

TEST(Everything, KeepsToTheWidth) {
  for (const int width : {80, 100, 118, 140})
    for (const bool uncertainty : {true, false}) {
      Look look;
      look.width = width;
      const auto d = invented_case(5);
      const study::Comparison c = invented_comparison(5, uncertainty);
      const std::string text = write_heading(d, c, look) + write_measures(c, look) + write_verdicts(c, look) +
                               write_warnings(c, look);
      for (const auto& line : lines_of(text)) EXPECT_LE(columns_of(line), width) << line;
    }
}

TEST(Measures, WhatThePolicyKeepsIsCalledKept) {
  study::Comparison c = invented_comparison(1, true);
  c.set_ups[1].results[study::kBlow].difference = 1e-6;
  const std::string text = write_measures(c, {});
  EXPECT_NE(line_of(text, "blow").find("kept"), std::string::npos);
  EXPECT_EQ(line_of(text, "dip").find("kept"), std::string::npos);
}

TEST(Measures, AnUncertaintyThatWasNotWorkedOutIsNoZero) {
  study::Comparison c = invented_comparison(1, true);
  c.set_ups[1].results[study::kLetOffResistance].sigma_difference = 0;
  const std::string resistance = line_of(write_measures(c, {}), "let-off resistance");
  EXPECT_EQ(std::count(resistance.begin(), resistance.end(), '-') - 1, 1)
      << "only the base's own +-: " << resistance;
  // A small one gets a digit more instead of showing as nothing.
  c.set_ups[1].results[study::kLetOffResistance].sigma_difference =
      0.3 / study::kMeasures[study::kLetOffResistance].display_factor;
  EXPECT_NE(line_of(write_measures(c, {}), "let-off resistance").find("+-0.3"), std::string::npos);
}

TEST(Measures, WithoutUncertaintyNothingIsBetterOrWorse) {
  study::Comparison c = invented_comparison(2, false);
  for (auto& s : c.set_ups)
    for (auto& m : s.results) m.judgement = study::Judgement::kBetter;
  const std::string text = write_measures(c, {});
  EXPECT_EQ(line_of(text, "down weight").find("better"), std::string::npos);
  EXPECT_EQ(text.find("+-"), std::string::npos);
  EXPECT_EQ(write_verdicts(c, {}).find("Better"), std::string::npos);
  EXPECT_NE(write_verdicts(c, {}).find("no verdict"), std::string::npos);
  EXPECT_NE(write_answer(c, {}).find("nothing is judged"), std::string::npos);
}

TEST(Measures, ASetUpWithoutAnAnswerShowsNoNumbers) {
  study::Comparison c = invented_comparison(2, true);
  c.set_ups[1].weighing.ok = false;
  c.set_ups[1].verdict = "Cannot be regulated.";
  const std::string row = shape(line_of(write_measures(c, {}), "up weight"));
  EXPECT_EQ(row, "up weight              gf  99.9 +-9.9      -                      99.9  +9.9 +-9.9 =")
      << row;
  EXPECT_NE(write_verdicts(c, {}).find("Cannot be regulated."), std::string::npos);
}

TEST(Measures, EveryBlockMarksWhatIsNotReversible) {
  const study::Comparison c = invented_comparison(5, true);
  Look look;
  look.width = 80;
  const std::string text = write_measures(c, look);
  std::size_t marks = 0;
  for (auto at = text.find("NOT REVERSIBLE"); at != std::string::npos;
       at = text.find("NOT REVERSIBLE", at + 1))
    ++marks;
  EXPECT_EQ(marks, 2u) << "two of the five moves drill";
}

// The first thing a reader sees, in at most five lines of text, says what to do.
TEST(Answer, StandsFirstAndIsShort) {
  const auto d = invented_case(4);
  const study::Comparison c = invented_comparison(4, true);
  const Document document = comparison_document(d, c);
  for (const bool all : {false, true}) {
    const std::string text = write_terminal(document, {}, all);
    const auto answer = text.find("The answer"), table = text.find("down weight   ");
    ASSERT_NE(answer, std::string::npos);
    EXPECT_LT(answer, table);
    EXPECT_NE(text.find("NOT REVERSIBLE"), std::string::npos);
    EXPECT_EQ(text.find("Where the friction is") != std::string::npos, all);
    EXPECT_EQ(text.find("With --all: every measure") != std::string::npos, !all);
  }
  EXPECT_LE(judgement::answer_lines(c.question, c.judged).size(), 5u);
}

TEST(Verdicts, OneForEachSetUpButTheBase) {
  const study::Comparison c = invented_comparison(4, true);
  const std::string text = write_verdicts(c, {});
  for (std::size_t k = 1; k < c.set_ups.size(); ++k)
    EXPECT_NE(line_of(text, c.set_ups[k].name), "") << c.set_ups[k].name;
  EXPECT_EQ(line_of(text, "as found"), "");
}

}  // namespace
}  // namespace leverwright::table
