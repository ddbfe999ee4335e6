// Ledger and slide path of a real case, held against the samples they are made from.
#include "viz/table/weigh_table.h"

#include <gtest/gtest.h>

#include <cmath>

#include "models/remedies/read_case.h"
#include "models/study/quantities.h"
#include "viz/table/bands.h"
#include "viz/table/touch_table.h"

namespace leverwright::table {
namespace {

const study::Comparison& weighed() {
  static const study::Comparison once = [] {
    auto d = remedies::read_case("cases/steep_heel/case.toml");
    d.set_ups.resize(2);
    study::CompareOptions options;
    options.uncertainty = false;
    return study::compare(d, options);
  }();
  return once;
}

TEST(Ledger, RowsAndStoredEnergyAddUpToTheForces) {
  for (const auto& s : weighed().set_ups) {
    const LedgerMeans ledger = find_ledger_means(s);
    double sum = ledger.stored;
    for (const auto& row : ledger.rows) sum += row.whole();
    EXPECT_GT(ledger.half_difference, 0.02);
    EXPECT_NEAR(sum, ledger.half_difference, 1e-6 * ledger.half_difference) << s.name;
  }
}

TEST(Ledger, HalfDifferenceIsThatOfTheMeanForces) {
  for (const auto& s : weighed().set_ups)
    EXPECT_NEAR(find_ledger_means(s).half_difference, (s.weighing.mean_down - s.weighing.mean_up) / 2,
                1e-6 * s.weighing.mean_down)
        << s.name;
}

TEST(Ledger, LargestComesFirst) {
  const auto rows = find_ledger_means(weighed().set_ups[0]).rows;
  ASSERT_GT(rows.size(), 5u);
  for (std::size_t k = 1; k < rows.size(); ++k) EXPECT_GE(rows[k - 1].whole(), rows[k].whole());
}

TEST(Slides, ContactSlidesAtLeastAsFarAsItsMarkIsFromRolling) {
  for (const auto& s : weighed().set_ups)
    for (const auto& line : find_slide_lines(s)) {
      EXPECT_LE(line.least, line.most);
      EXPECT_GE(line.slid_to_let_off, 0);
      EXPECT_GE(line.slid, line.slid_to_let_off);
      EXPECT_LE(line.normal_least, line.normal_most);
      // Friction's work lies between its bounds: coefficient at most 1, force and distance at their extremes.
      EXPECT_LE(line.work, line.normal_most * line.slid) << line.place;
    }
}

TEST(Slides, CapstanTravelsOnItsHeel) {
  const auto& s = weighed().set_ups[0];
  const auto lines = find_slide_lines(s);
  ASSERT_FALSE(lines.empty());
  const SlideLine& heel = lines.front();
  EXPECT_EQ(heel.place, action::kContactNames[action::kCapstanHeel]);
  EXPECT_GT(heel.least, 0.05) << "m from the wippen centre";
  EXPECT_LT(heel.most, 0.08);
  EXPECT_EQ(heel.slid_to_let_off, s.measures[study::kCapstanSlide]);
  EXPECT_EQ(heel.slid, study::read_quantity(study::kQuantities[study::kCapstanSlideToDip], s).value);
}

TEST(Bands, ListIsWholeAndSourced) {
  const auto bands = read_bands(case_file::default_models_directory() + "/handbook/bands.csv");
  EXPECT_GE(bands.size(), 20u);
  std::map<std::string, int> ids;
  for (const auto& b : bands) {
    ++ids[b.id];
    EXPECT_LT(b.low, b.high) << b.id;
    EXPECT_FALSE(b.source.empty()) << b.id;
  }
  for (const auto& [id, count] : ids) EXPECT_EQ(count, 1) << id;
  for (const auto& [id, value] : find_band_values(weighed().set_ups[0])) EXPECT_EQ(ids.count(id), 1u) << id;
}

TEST(Bands, InAndOutAreToldApartAtTheirEdges) {
  const std::vector<Band> bands = {{"a", "dip", "", 9.0, 11.0, "mm", "invented"},
                                   {"b", "blow", "", 40, 48, "mm", "invented"},
                                   {"c", "drop", "", 0, 2, "mm", "invented"}};
  const std::string csv = write_bands_csv(bands, {{"a", {9.4, 11.0, "p"}}, {"b", {47, 48.01}}});
  EXPECT_NE(csv.find("a,dip,,mm,9.4,11,9,11,in,p,"), std::string::npos) << csv;
  EXPECT_NE(csv.find("b,blow,,mm,47,48.01,40,48,out,"), std::string::npos) << csv;
  EXPECT_NE(csv.find("c,drop,,mm,,,0,2,no value,"), std::string::npos) << csv;
  EXPECT_NE(write_bands(bands, {{"a", {9.4, 11.0, "p"}}, {"b", {47, 48.01}}}, {})
                .find("1 in, 1 out, 1 not reached"),
            std::string::npos);
}

TEST(Bands, InsideAWidthOfOurOwnIsMissed) {
  const std::vector<Band> bands = {{"a", "dip", "", 9.0, 11.0, "mm", "invented", "own"},
                                   {"b", "blow", "", 40, 48, "mm", "invented", "check"}};
  const std::map<std::string, BandValue> values = {{"a", {9.4, 11.0, "p"}}, {"b", {47, 47}}};
  EXPECT_EQ(judge_band(bands[0], values), "own width");
  EXPECT_EQ(judge_band(bands[0], {{"a", {9.4, 11.1, "p"}}}), "out");
  EXPECT_NE(write_bands_csv(bands, values).find("9,11,missed: own width,p,"), std::string::npos);
  const std::string text = write_bands(bands, values, {});
  EXPECT_NE(text.find("1 in, 0 out, 0 not reached"), std::string::npos) << text;
  EXPECT_NE(text.find("1 more lie inside a range whose width"), std::string::npos) << text;
}

PlayedTouch invented_touch(const char* name, double hammer_speed, double key_bottom_after_string,
                           double check_time) {
  PlayedTouch t;
  t.name = name;
  t.found.found = true;
  t.stroke.event.fill(std::nan(""));
  t.stroke.event[action::kStringContact] = 0.05;
  t.stroke.measures.hammer_speed = hammer_speed;
  t.stroke.measures.key_bottom_after_string = key_bottom_after_string;
  t.stroke.measures.check_time = check_time;
  return t;
}

TEST(Bands, TouchesGiveRangesAndACrossing) {
  const auto values =
      find_band_values({invented_touch("pp", 0.5, 12e-3, 40e-3), invented_touch("mf", 2.0, 3e-3, 25e-3),
                        invented_touch("f", 4.5, -1e-3, 15e-3), invented_touch("ff", 6.0, -3e-3, 11e-3)});
  EXPECT_EQ(values.count("key_bottom_soft"), 0u) << "very soft is softer than pp: it is played by itself";
  EXPECT_NEAR(values.at("key_bottom_loud").high, -3, 1e-9);
  EXPECT_NEAR(values.at("key_bottom_zero").low, 2.0 + 2.5 * 3.0 / 4.0, 1e-9)
      << "a straight line from +3 at 2 to -1 at 4.5 m/s";
  EXPECT_NEAR(values.at("check_after_string").low, 11, 1e-9);
  EXPECT_NEAR(values.at("check_after_string").high, 25, 1e-9) << "the softest does not count";
  EXPECT_EQ(values.count("key_descent"), 0u) << "nothing is said of what no touch gave";
}

TEST(Bands, TouchesThatAreInStandApartFromThoseThatAreOut) {
  const std::vector<Band> bands = {{"check_after_string", "check", "hammer above 0.9 m/s", 5, 30, "ms", "x"}};
  const auto values =
      find_band_values({invented_touch("p", 1.0, 3e-3, 34e-3), invented_touch("mf", 2.0, 3e-3, 22e-3),
                        invented_touch("f", 4.5, -1e-3, 15e-3)});
  EXPECT_EQ(judge_band(bands[0], values), "out");
  const std::string csv = write_bands_csv(bands, values);
  EXPECT_NE(csv.find("ms,15,22,5,30,in,\"mf, f\",,x"), std::string::npos) << csv;
  EXPECT_NE(csv.find("ms,34,34,5,30,out,p,"), std::string::npos) << csv;
  EXPECT_NE(write_bands(bands, values, {}).find("0 in, 1 out"), std::string::npos)
      << "a row in two parts is out";
}

TEST(Bands, RowsSayWhyTheyAreOutOrWhatIsMissing) {
  const std::vector<Band> bands = {
      {"let_off_resistance", "let-off resistance", "slow key", 0.1, 0.4, "N", "x"},
      {"repetition", "repetition", "full key return", 10, 14, "1/s", "y"},
      {"hammer_speed", "hammer speed reachable", "all", 0.2, 6.5, "m/s", "z"}};
  const std::map<std::string, BandValue> values = {{"let_off_resistance", {1.0, 1.0, "slow path"}},
                                                   {"hammer_speed", {0.3, 6.5, "sought"}}};
  EXPECT_EQ(judge_band(bands[0], values), "out");
  EXPECT_EQ(judge_band(bands[1], values), "not reached: repeated blows on one note");
  EXPECT_EQ(judge_band(bands[2], values), "out")
      << "speeds that must be reachable are covered or they are not";
  EXPECT_EQ(judge_band(bands[2], {{"hammer_speed", {0.1999, 6.501, ""}}}), "in");
  const std::string text = write_bands(bands, values, {});
  EXPECT_NE(text.find("- let-off resistance (slow key): no reason is known"), std::string::npos) << text;
  EXPECT_NE(text.find("- repetition (full key return): not reached: repeated blows"), std::string::npos)
      << text;
}

TEST(Touches, ComparedSideBySideWithTheBase) {
  study::Comparison c;
  c.set_ups.resize(2);
  const char* names[] = {"as found", "capstan moved"};
  for (std::size_t k = 0; k < 2; ++k) {
    c.set_ups[k].name = names[k];
    for (const char* touch : {"p", "mf"}) {
      PlayedTouch t = invented_touch(touch, 2.0, 3e-3, 25e-3);
      t.stroke.measures.key_descent_time = 54.1e-3 - 1.2e-3 * static_cast<double>(k);
      c.set_ups[k].touches.push_back(t);
    }
  }
  c.set_ups[1].touches[1].stroke.faults.push_back(action::Fault::kDoubleHit);
  const std::string text = write_compared_touches(c, {}, false);
  EXPECT_NE(text.find("54.1     52.9 -1.2\n"), std::string::npos) << text;
  EXPECT_NE(text.find("double hit"), std::string::npos) << text;
  EXPECT_EQ(text.find("p, pressed"), std::string::npos);
  EXPECT_NE(text.find("not propagated"), std::string::npos);
  EXPECT_NE(write_compared_touches(c, {}, true).find("p, pressed"), std::string::npos);
  for (auto& s : c.set_ups) s.touches.clear();
  EXPECT_EQ(write_compared_touches(c, {}, true), "");
}

TEST(Touches, SayWhatHappenedAndWhatWentWrong) {
  PlayedTouch t = invented_touch("p", 1.0, 5e-3, 20e-3);
  EXPECT_EQ(stroke_words(t), "reaches the string");
  t.stroke.event[action::kCheck] = 0.08;
  t.stroke.event[action::kJackTrips] = 0.045;
  EXPECT_EQ(stroke_words(t), "lets off, reaches the string, is caught");
  t.stroke.faults.push_back(action::Fault::kDoubleHit);
  EXPECT_EQ(stroke_words(t), std::string("lets off, reaches the string, is caught, FAULT: ") +
                                 action::name_of(action::Fault::kDoubleHit));
  t.found.found = false;
  t.found.advice = "too soft for this friction";
  EXPECT_EQ(stroke_words(t), "this touch was not found: too soft for this friction");
}

}  // namespace
}  // namespace leverwright::table
