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

}  // namespace
}  // namespace leverwright::page
