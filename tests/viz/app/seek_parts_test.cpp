// parts, seek and map as a person calls them.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "tests/viz/app/run_program.h"

namespace leverwright::app_test {
namespace {

const char* const kWippens = "cases/two_wippens/case.toml";
const char* const kHeel = "cases/sought_heel/case.toml";

TEST(PartsVerb, ShowsTableJsonAndCsvOfTheSameNumbers) {
  ScratchFolder folder;
  const Ended e = run({"parts", kWippens, "wippen", "wippen_twin_light", "wippen_twin_heavy", "--json",
                       folder.path("parts.json"), "--csv", folder.path("parts.csv")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "all together"));
  EXPECT_TRUE(has(e.out, "interaction"));
  EXPECT_TRUE(has(e.out, "the balance weight changes by"));
  const auto json = nlohmann::json::parse(read_text(folder.path("parts.json")));
  EXPECT_EQ(json["differences"].size(), 14u);
  double sum = 0;
  for (const auto& d : json["differences"]) sum += d["effect"]["down_weight"]["value"].get<double>();
  EXPECT_NEAR(json["sum of the single ones"]["down_weight"]["value"].get<double>(), sum, 1e-9);
  const auto lines = lines_of(read_text(folder.path("parts.csv")));
  EXPECT_EQ(lines.front(), "dimension,key,value_a,value_b,counted,number,unit,effect");
  EXPECT_GT(lines.size(), 14u * 20u);
}

#if LEVERWRIGHT_PICTURES  // whole studies: too slow for the sanitizer build, which has no pictures
TEST(PartsVerb, PlaysRowsOfStrokesWithEachWhenAsked) {
  ScratchFolder folder;
  // These differ in one dimension.
  const Ended e = run({"parts", kWippens, "wippen", "light one", "weight alone", "--repetition", "--json",
                       folder.path("parts.json")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "repetition, each regulated by playing"));
  const auto json = nlohmann::json::parse(read_text(folder.path("parts.json")));
  const double rate = json["a"]["repetition"]["unbroken_full"]["value"];
  EXPECT_GT(rate, 8);
  EXPECT_LT(rate, 16);
  for (const auto& d : json["differences"])
    if (d["counted"]) {
      EXPECT_TRUE(d["repetition_effect"]["reset_time"]["value"].is_number());
    }
}
#endif

TEST(PartsVerb, SaysWhatIsWrong) {
  const Ended slot = run({"parts", kWippens, "wipen", "a", "b"});
  EXPECT_EQ(slot.exit_code, 1);
  EXPECT_TRUE(has(slot.err, "no part slot"));
  const Ended by = run({"parts", kWippens, "wippen", "light one", "heavy one", "--by", "weigth"});
  EXPECT_EQ(by.exit_code, 1);
  EXPECT_TRUE(has(by.err, "no number"));
}

TEST(SeekVerb, AnswersInWhatTheHandCuts) {
  const Ended e = run({"seek", kHeel, "contact on the line", "--all"});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  EXPECT_TRUE(has(e.out, "Met:"));
  EXPECT_TRUE(has(e.out, "over a shim of 3."));
  EXPECT_TRUE(has(e.out, "NOT REVERSIBLE"));
  EXPECT_TRUE(has(e.out, "points tried"));
}

TEST(SeekVerb, NamesTheLineOfAWrongSearch) {
  ScratchFolder folder;
  std::string text = read_text(kHeel);
  const std::size_t at = text.find("argument = \"shim\"");
  ASSERT_NE(at, std::string::npos);
  text.replace(at, 17, "argument = \"shimm\"");
  const std::string path = folder.write("wrong.toml", text);
  const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
  for (const auto& words : {std::vector<std::string>{"seek", path}, {"read", path}}) {
    const Ended e = run(words);
    EXPECT_EQ(e.exit_code, 1);
    EXPECT_TRUE(has(e.err, "has no amount \"shimm\"")) << e.err;
    EXPECT_TRUE(has(e.err, std::to_string(line))) << e.err;
  }
  const Ended none = run({"seek", kWippens});
  EXPECT_EQ(none.exit_code, 1);
  EXPECT_TRUE(has(none.err, "seeks nothing"));
  const Ended name = run({"seek", kHeel, "contact on the lime"});
  EXPECT_TRUE(has(name.err, "did you mean \"contact on the line\""));
}

TEST(MapVerb, LeavesDataAndPicture) {
  ScratchFolder folder;
  const Ended e = run({"map", kHeel, "least slide friction", "--steps", "3", "--out", folder.path("map")});
  ASSERT_EQ(e.exit_code, 0) << e.err;
  const auto names = folder.path("map/map_least_slide_friction");
  EXPECT_EQ(lines_of(read_text(names + "_points.csv")).size(), 10u);
  EXPECT_TRUE(std::filesystem::exists(names + ".h5"));
  for (const char* number : {"_capstan_friction", "_down_weight"})
    for (const char* ending : {".png", ".svg", ".pdf"})
      EXPECT_EQ(std::filesystem::exists(names + number + ending), bool(LEVERWRIGHT_PICTURES))
          << number << ending;
  EXPECT_EQ(run({"check", names + ".h5"}).exit_code, 0);
}

}  // namespace
}  // namespace leverwright::app_test
