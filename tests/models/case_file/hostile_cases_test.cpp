// Case files no technician writes: refused at once, with line and reason, whatever they are.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <ctime>
#include <random>

#include "models/case_file/nearest.h"
#include "models/case_file/toml_form.h"
#include "tests/models/case_file/case_text.h"

namespace leverwright::case_file {
namespace {

using case_test::good_text;
using case_test::problems_of;
using case_test::with_end;
using case_test::with_line;

std::string first_of(const std::string& text) {
  const auto problems = problems_of(text);
  return problems.empty() ? "" : fmt::format("{}: {}", problems[0].line, problems[0].what);
}

std::string repeated(const std::string& piece, int times) {
  std::string out;
  for (int k = 0; k < times; ++k) out += piece;
  return out;
}

TEST(HostileCase, KeysAndListsNestedDeepAreRefusedBeforeTheyAreParsed) {
  const std::string deep = repeated("a.", 15'000) + "a";
  for (const std::string& text :
       {deep + " = 1\n", "[" + deep + "]\n", "x = { " + deep + " = 1 }\n", "x = [{ " + deep + " = 1 }]\n",
        "x = " + repeated("[", 100'000), "x = " + repeated("{a=", 100'000), "[[" + deep + "]]\n"})
    EXPECT_EQ(first_of(text), "1: keys or lists are nested too deep") << text.substr(0, 20);
}

TEST(HostileCase, DotsInNumbersTextsAndRemarksAreNoNesting) {
  const std::string dots = std::string(200, '.');
  for (const std::string& text :
       {"a = [" + repeated("1.5, ", 50) + "1.5]\n", "# see " + dots + "\n", "a = \"" + dots + "\"\n",
        "a = '" + dots + "'\n", "a = \"\"\"\n" + dots + "\n\"\"\"\n", "\"" + dots + "\" = 1\n",
        repeated("[a.b.c]\nd.e = 1\n", 30)})
    EXPECT_EQ(find_form_fault(text).line, 0) << text.substr(0, 30);
  EXPECT_EQ(find_form_fault(good_text()).what, "");
}

TEST(HostileCase, AHeadingWithoutAKeyIsToldAsOne) {
  for (const char* heading : {"[=]", "[?]", "[]", "[", "[[", "[[=]]", "[ ]", "[.a]", "[[?]]"}) {
    const auto fault = first_of(with_end(good_text(), std::string("\n") + heading + "\n"));
    EXPECT_NE(fault.find("heading"), std::string::npos) << heading << " -> " << fault;
  }
}

TEST(HostileCase, ControlCharactersAreRefusedHoweverTheyAreWritten) {
  const auto titled = [](const std::string& title) {
    return first_of(with_line(good_text(), "title", "title = \"" + title + "\""));
  };
  EXPECT_NE(titled("a\x1b[2Jb").find("control character here (\\x1b)"), std::string::npos);
  EXPECT_NE(titled("a\xe2\x80\xae"
                   "b")
                .find("control character here (\\u202e)"),
            std::string::npos);
  EXPECT_NE(titled("a\\u001b[2Jb").find("a text holds a control character"), std::string::npos);
  EXPECT_NE(titled("a\\u0000b").find("a text holds a control character"), std::string::npos);
  EXPECT_EQ(titled("F\xc3\xbcr \xe2\x80\x9e"
                   "Fl\xc3\xbcgel\xe2\x80\x9c"),
            "");
}

// Errors are told twenty at a time; time grows with the file, not with its square.
TEST(HostileCase, TensOfThousandsOfWrongLinesAreToldInSeconds) {
  std::string many = good_text();
  many += "\n[measured]\n";
  for (int k = 0; k < 60'000; ++k) many += fmt::format("unknown_{} = 1\n", k);
  std::string sections = good_text();
  for (int k = 0; k < 30'000; ++k) sections += fmt::format("[section_{}]\n", k);
  const std::string long_key = good_text() + "\n" + std::string(3'000'000, 'k') + " = 1\n";
  for (const std::string& text : {many, sections, long_key}) {
    const std::clock_t begun = std::clock();  // of the processor, whatever else the machine does
    const auto problems = problems_of(text);
    const double took = static_cast<double>(std::clock() - begun) / CLOCKS_PER_SEC;
    ASSERT_FALSE(problems.empty());
    EXPECT_LT(base::write_problems(problems).size(), 20'000u);
    EXPECT_LT(took, 20) << text.size() << " bytes";
  }
}

// What is left out beforehand never was the nearest.
TEST(HostileCase, TheNearestWordIsTheOneOfTheLeastDistance) {
  std::mt19937 engine(20250314);
  const auto word = [&] {
    std::string out(1 + engine() % 9, ' ');
    for (char& c : out) c = "abcd_.1E"[engine() % 8];
    return out;
  };
  for (int k = 0; k < 300; ++k) {
    const std::string written = word();
    std::vector<std::string> known;
    for (int n = 0; n < 20; ++n) known.push_back(word());
    std::string best;
    int least = std::max(1, static_cast<int>(written.size()) / 3) + 1;
    for (const std::string& w : known)
      if (const int d = edit_distance(written, w); d < least) least = d, best = w;
    EXPECT_EQ(nearest_word(written, known), best) << written;
  }
}

TEST(HostileCase, NoNearestWordIsSoughtForAKeyOfAMegabyte) {
  EXPECT_EQ(nearest_word(std::string(1'000'000, 'x'), {"spread", "blow"}), "");
  EXPECT_EQ(nearest_word("spraed", {"blow", "spread"}), "spread");
}

}  // namespace
}  // namespace leverwright::case_file
