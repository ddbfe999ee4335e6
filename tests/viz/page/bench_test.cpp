#include "viz/page/core/bench.h"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "models/study/quantities.h"

namespace leverwright::page {
namespace {

std::string case_text(const std::string& name) {
  std::ifstream in(std::string(LEVERWRIGHT_SOURCE_DIR) + "/cases/" + name + "/case.toml");
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

class OnMissedHeel : public ::testing::Test {
 protected:
  void SetUp() override { opened_ = bench_.ask({{"ask", "open"}, {"text", text_}, {"name", "case.toml"}}); }
  std::string text_ = case_text("missed_heel");
  Bench bench_;
  Json opened_;
};

TEST_F(OnMissedHeel, SaysTheNumbersOfAComparison) {
  const auto d = remedies::read_case_text(text_, "case.toml");
  study::CompareOptions options;
  options.uncertainty = false;
  const auto c = study::compare(d, options);
  ASSERT_EQ(opened_["set_ups"].size(), c.set_ups.size());
  for (std::size_t s = 0; s < 3; ++s) {
    const Json answer = bench_.ask({{"ask", "weigh"}, {"slot", "hand"}, {"set_up", opened_["set_ups"][s]}});
    ASSERT_TRUE(answer.contains("numbers")) << answer;
    for (std::size_t k = 0; k < study::kOwnCount; ++k) {
      const double wanted = study::read_quantity(study::kQuantities[k], c.set_ups[s]).value *
                            study::kQuantities[k].display_factor;
      if (wanted == wanted)
        EXPECT_EQ(answer["numbers"][k].get<double>(), wanted) << study::kQuantities[k].key;
      else
        EXPECT_TRUE(answer["numbers"][k].is_null()) << study::kQuantities[k].key;
    }
  }
}

TEST_F(OnMissedHeel, AChangeOfTheHandIsThatOfTheCase) {
  const Json of_case = bench_.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", opened_["set_ups"][2]}});
  Json own = opened_["set_ups"][2];
  own["from"] = 0;
  own["name"] = "by hand";
  const Json by_hand = bench_.ask({{"ask", "weigh"}, {"slot", "b"}, {"set_up", own}});
  EXPECT_EQ(of_case["numbers"], by_hand["numbers"]);
  EXPECT_EQ(by_hand["undone_words"], "NOT REVERSIBLE");
}

TEST_F(OnMissedHeel, WhatIsWrongIsTold) {
  const Json broken = bench_.ask(
      {{"ask", "open"}, {"text", "title = \"x\"\n[measured]\nspred = \"1 mm\"\n"}, {"name", "b.toml"}});
  ASSERT_TRUE(broken.contains("problems"));
  bool named = false;
  for (const auto& p : broken["problems"])
    named = named || (p["line"] == 3 && p["line_text"] == "spred = \"1 mm\"");
  EXPECT_TRUE(named) << broken;
  Json change = opened_["set_ups"][2];
  change["from"] = 0;
  change["changes"][0]["arguments"]["distance"] = "3 gf";
  EXPECT_TRUE(bench_.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", change}}).contains("problems"));
  EXPECT_TRUE(bench_.ask({{"ask", "dance"}}).contains("problems"));
  // A refused case leaves the one at hand.
  EXPECT_TRUE(
      bench_.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", opened_["set_ups"][0]}}).contains("numbers"));
}

TEST_F(OnMissedHeel, ScrewsTurnedByHandAreReadAsTheyStand) {
  const Json set = bench_.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", opened_["set_ups"][0]}});
  Json screws = Json::array();
  for (const auto& s : set["screws"]) screws.push_back(s["setting"]);
  const Json same =
      bench_.ask({{"ask", "weigh"}, {"slot", "b"}, {"set_up", opened_["set_ups"][0]}, {"screws", screws}});
  EXPECT_NEAR(same["numbers"][study::kBlow].get<double>(), set["numbers"][study::kBlow].get<double>(), 1e-3);
  screws[action::kLetOffButton] = screws[action::kLetOffButton].get<double>() + 0.2e-3;
  const Json turned =
      bench_.ask({{"ask", "weigh"}, {"slot", "b"}, {"set_up", opened_["set_ups"][0]}, {"screws", screws}});
  EXPECT_LT(turned["numbers"][study::kLetOff].get<double>(),
            set["numbers"][study::kLetOff].get<double>() - 0.2);
}

TEST_F(OnMissedHeel, DrawsWhatPicturesDrawAtAnyMoment) {
  bench_.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", opened_["set_ups"][0]}});
  bench_.ask({{"ask", "weigh"}, {"slot", "b"}, {"set_up", opened_["set_ups"][2]}});
  const Json still =
      bench_.ask({{"ask", "picture"}, {"slot", "a"}, {"moment", "half stroke"}, {"over", "b"}});
  EXPECT_GT(still["whole"]["shapes"].size(), 30u);
  EXPECT_GT(still["heel"]["shapes"].size(), 30u);
  EXPECT_TRUE(still.contains("over"));
  const Json played = bench_.ask({{"ask", "play"}, {"slot", "a"}, {"touch", "mf"}});
  ASSERT_TRUE(played["found"]) << played;
  EXPECT_NEAR(played["measures"]["hammer_speed"].get<double>(), 2, 2e-3);
  const Json rest = bench_.ask({{"ask", "picture"}, {"slot", "a"}, {"time", 0.0}});
  const Json later = bench_.ask({{"ask", "picture"}, {"slot", "a"}, {"time", 0.06}});
  EXPECT_NE(rest["whole"]["shapes"], later["whole"]["shapes"]);
}

TEST_F(OnMissedHeel, SavedTextReadsBack) {
  Json set_ups = opened_["set_ups"];
  EXPECT_EQ(bench_.ask({{"ask", "save"}, {"set_ups", set_ups}})["text"], text_);
  set_ups.push_back({{"name", "trial"},
                     {"changes",
                      {{{"kind", "capstan moved"},
                        {"arguments", {{"distance", "1 mm"}, {"direction", "toward the strings"}}}}}}});
  const std::string saved = bench_.ask({{"ask", "save"}, {"set_ups", set_ups}})["text"];
  EXPECT_EQ(saved.compare(0, text_.size(), text_), 0);
  EXPECT_EQ(remedies::read_case_text(saved, "case.toml").set_ups.back().name, "trial");
}

TEST_F(OnMissedHeel, GripsStandWhereThingsAre) {
  const Json answer = bench_.ask({{"ask", "weigh"},
                                  {"slot", "a"},
                                  {"set_up", opened_["set_ups"][0]},
                                  {"picture", {{"moment", "rest"}}}});
  const Json& p = answer["picture"];
  EXPECT_NEAR(p["frames"]["wippen"][0].get<double>(), 185, 0.5);
  EXPECT_NEAR(p["built"]["hanging_distance"].get<double>(), 18, 1e-9);
  EXPECT_NEAR(p["built"]["knuckle_diameter"].get<double>(), 10, 1e-9);
  ASSERT_EQ(opened_["leads"].size(), 1u);
  EXPECT_NEAR(opened_["leads"][0][0].get<double>(), 14, 1e-9);
  EXPECT_NEAR(opened_["leads"][0][1].get<double>(), 150, 1e-9);
}

TEST_F(OnMissedHeel, StrokesAreRepeated) {
  bench_.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", opened_["set_ups"][0]}});
  const Json train = bench_.ask({{"ask", "play"}, {"slot", "a"}, {"repeat", "full"}, {"rate", 5}});
  ASSERT_TRUE(train.contains("gap")) << train;
  EXPECT_EQ(train["name"], "repeated full");
  int meetings = 0;
  for (std::size_t k = 1; k < train["gap"].size(); ++k)
    if (train["gap"][k] <= 0 && train["gap"][k - 1] > 0) ++meetings;
  EXPECT_GE(meetings, 4);  // four strokes, each heard at so slow a rate
  EXPECT_TRUE(bench_.ask({{"ask", "picture"}, {"slot", "a"}, {"time", 0.1}}).contains("whole"));
}

TEST(Bench, FirstNumbersComeBeforeTheReadingsAreLeanedOn) {
  Bench bench;
  const std::string text = case_text("work_order");
  const Json quick = bench.ask({{"ask", "open"}, {"text", text}, {"name", "case.toml"}, {"lean", false}});
  ASSERT_TRUE(quick.contains("leans")) << quick;
  EXPECT_TRUE(quick["leans"]);
  EXPECT_FALSE(quick.contains("found"));
  EXPECT_TRUE(
      bench.ask({{"ask", "weigh"}, {"slot", "a"}, {"set_up", quick["set_ups"][0]}}).contains("numbers"));
  const Json plain = bench.ask(
      {{"ask", "open"}, {"text", case_text("missed_heel")}, {"name", "case.toml"}, {"lean", false}});
  EXPECT_FALSE(plain["leans"]);
}

class OnSheet : public ::testing::Test {
 protected:
  Json tell(const Json& cells, const std::string& note = "C4") {
    return bench_.ask({{"ask", "sheet"}, {"note", note}, {"cells", cells}});
  }
  Bench bench_;
};

TEST_F(OnSheet, LinesAreThoseOfThePrintedSheet) {
  const Json lines = bench_.ask({{"ask", "sheet_lines"}})["lines"];
  int first = 0;
  for (const Json& l : lines) {
    if (l["first"]) ++first;
    if (l["number"] == 11) {
      EXPECT_EQ(l["name"], "spread");
      EXPECT_EQ(l["unit"], "mm");
    }
  }
  EXPECT_EQ(first, 15);
}

TEST_F(OnSheet, WhatIsImplausibleIsSaidAndNotTaken) {
  const Json far = tell({{"11", "1125"}});
  EXPECT_FALSE(far["replies"]["11"]["taken"]) << far;
  EXPECT_FALSE(far["replies"]["11"]["says"].empty());
  EXPECT_EQ(far["given"], 0);
  const Json odd = tell({{"11", "131"}});
  EXPECT_FALSE(odd["replies"]["11"]["says"].empty()) << odd;
  const Json good = tell({{"11", "112,5 +- 0,25"}});
  EXPECT_TRUE(good["replies"]["11"]["taken"]) << good;
  EXPECT_TRUE(good["replies"]["11"]["says"].empty()) << good;
  EXPECT_FALSE(tell({{"11", "112.5"}}, "H9")["replies"]["note"]["taken"]);
  EXPECT_TRUE(bench_.ask({{"ask", "sheet_case"}}).contains("text"));
}

TEST_F(OnSheet, MakesTheCaseThatTheCommandLineMakes) {
  const Json cells{{"11", "112.5"}, {"12", "96.5"}, {"62", "26"}, {"64", "14"}, {"65", "150"}, {"71", "4"}};
  const Json told = tell(cells, "D4");
  EXPECT_EQ(told["given"], 6) << told;
  const Json made = bench_.ask({{"ask", "sheet_case"}, {"title", "A trial \"piano\""}});
  ASSERT_TRUE(made.contains("text")) << made;
  const auto d = remedies::read_case_text(made["text"], "case.toml");
  EXPECT_EQ(d.title, "A trial \"piano\"");
  EXPECT_EQ(d.choice("note.name"), "D4");
  EXPECT_DOUBLE_EQ(d.value("measured.spread"), 0.1125);
  EXPECT_EQ(d.leads.size(), 1u);
  // An answer taken back, and the note before: the same text as if they had never been there.
  tell({{"11", "112.5"}}, "D4");
  tell(cells, "F4");
  tell(cells, "D4");
  EXPECT_EQ(bench_.ask({{"ask", "sheet_case"}, {"title", "A trial \"piano\""}})["text"], made["text"]);
}

TEST_F(OnSheet, NothingMeasuredMakesNoCase) {
  tell(Json::object());
  EXPECT_TRUE(bench_.ask({{"ask", "sheet_case"}}).contains("problems"));
}

}  // namespace
}  // namespace leverwright::page
