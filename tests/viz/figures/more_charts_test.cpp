#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/viz/support/mock_study.h"
#include "tests/viz/support/read_back.h"
#include "viz/chart/layout.h"
#include "viz/figures/draw_figures.h"
#include "viz/scene/drawing.h"

namespace leverwright::figures {
namespace {

study_file::Stroke stroke_with_energies() {
  study_file::Stroke s;
  s.set_up = "as found";
  s.touch = "mf";
  s.energy_names = {"work", "lost", "kinetic", "gravity", "springs", "cloth", "stuck friction", "string"};
  s.energies.resize(s.energy_names.size());
  for (int k = 0; k <= 100; ++k) {
    const double t = 1e-3 * k;
    s.time.push_back(t);
    s.key_dip.push_back(0.1 * t);
    s.key_speed.push_back(0.1);
    s.hammer_distance.push_back(46e-3 - 0.4 * t);
    s.hammer_speed.push_back(0.4);
    const double parts[] = {0, 0.11 * t, 0.13 * t, 0.17 * t, 0.19 * t, 0.23 * t, 0.29 * t, 0.31 * t};
    double sum = 0;
    for (size_t c = 1; c < s.energies.size(); ++c) {
      s.energies[c].push_back(parts[c] + (c == 4 ? 5e-3 : 0));  // a spring is tight from the start
      sum += parts[c];
    }
    s.energies[0].push_back(sum);
  }
  s.events = {{"key start", 0.01}, {"jack trips", 0.05}, {"string contact", 0.06}, {"check", 0.08}};
  return s;
}

TEST(MoreCharts, EnergyStripsLieOnOneAnotherAndReachTheWorkPutIn) {
  const chart::Chart c = build_energy("", stroke_with_energies());
  ASSERT_EQ(c.panels.size(), 1u);
  const auto& series = c.panels[0].series;
  ASSERT_EQ(series.size(), 7u);  // the work and six strips, the uppermost first
  for (size_t k = 1; k + 1 < series.size(); ++k)
    for (size_t r = 0; r < series[k].x.size(); ++r) EXPECT_EQ(series[k].low[r], series[k + 1].high[r]);
  for (size_t r = 0; r < series.front().y.size(); ++r)
    EXPECT_NEAR(series[1].high[r], series.front().y[r], 1e-9) << "what is stored at the start is no work";
  EXPECT_EQ(series[1].name, "string");
  EXPECT_NEAR(series[6].high[50] - series[6].low[50], 0.11 * series[6].x[50], 1e-9) << "mJ";
  EXPECT_NEAR(c.panels[0].x.low, 5, 1e-9);
  EXPECT_NEAR(c.panels[0].x.high, 90, 1e-9);
  EXPECT_EQ(c.events.size(), 3u);
}

TEST(MoreCharts, PhaseIsSpeedOverPlaceBetweenStartAndCheck) {
  const std::vector<study_file::Stroke> strokes{stroke_with_energies()};
  const chart::Chart key = build_phase("", strokes, PhaseOf::kKey),
                     hammer = build_phase("", strokes, PhaseOf::kHammer);
  const chart::Series& k = key.panels[0].series[0];
  EXPECT_NEAR(k.x.front(), 0.5, 1e-9);  // 5 ms: 0.5 mm
  EXPECT_NEAR(k.x.back(), 9, 1e-9);
  EXPECT_NEAR(k.y[10], 0.1, 1e-12);
  EXPECT_TRUE(hammer.panels[0].x.reversed);
  EXPECT_NEAR(hammer.panels[0].series[0].x.front(), 44, 1e-9);
}

TEST(MoreCharts, ChangesHaveTheirBandANumberAndOnePanelForEachMeasure) {
  const std::vector<study_file::Change> changes{{"moved", "down weight", "gf", -3.5, 0.7},
                                                {"moved", "aftertouch", "mm", -0.4, 0.04},
                                                {"treated", "down weight", "gf", -4.9, 3.0},
                                                {"treated", "aftertouch", "mm", 0.01, 0}};
  const chart::Chart c = build_changes("", changes);
  ASSERT_EQ(c.panels.size(), 2u);
  EXPECT_EQ(c.panels[0].title, "down weight");
  ASSERT_EQ(c.panels[0].bars.size(), 2u);
  EXPECT_NEAR(c.panels[0].bars[0].low, -3.5 - 1.96 * 0.7, 1e-9);
  EXPECT_NEAR(c.panels[0].bars[1].high, -4.9 + 1.96 * 3, 1e-9);
  EXPECT_TRUE(std::isnan(c.panels[1].bars[1].low)) << "no uncertainty known: no line";
  EXPECT_LE(c.panels[0].x.low, -4.9 - 1.96 * 3);
  EXPECT_LT(c.panels[0].x.high, 3) << "no room on the side where nothing is";
  ASSERT_EQ(c.panels[0].notes.size(), 2u);
  EXPECT_EQ(c.panels[0].notes[0].text, "\u22123.5");
  EXPECT_EQ(build_changes("", changes, "as found").title, "change against as found");
  EXPECT_EQ(c.panels[0].y.ticks[0].text, "moved");
  EXPECT_TRUE(c.panels[0].bands.empty()) << "what can be noticed is not known";
}

TEST(MoreCharts, ChangesSayTheFindingShadeWhatNobodyNoticesAndKeepTheirNumbersApart) {
  std::vector<study_file::Change> changes{{"moved", "aftertouch", "mm", -0.45, 0.05, 0.1},
                                          {"leaned", "aftertouch", "mm", 0.1, 0.12, 0.1}};
  for (const char* other : {"down weight", "up weight", "friction"})
    changes.push_back({"moved", other, "gf", -3.3, 1.1, 2});
  const chart::Chart c = build_changes("", changes, "as found", "Measure first, change nothing yet");
  EXPECT_EQ(c.title, "Measure first, change nothing yet");
  EXPECT_NE(c.remark.find("change against as found"), std::string::npos);
  ASSERT_EQ(c.panels[0].bands.size(), 1u);
  EXPECT_NEAR(c.panels[0].bands[0].from, -0.1, 1e-12);
  EXPECT_NEAR(c.panels[0].bands[0].to, 0.1, 1e-12);
  const chart::PanelBox box = chart::lay_out(c).panels[0];
  const auto& ticks = c.panels[0].x.ticks;
  ASSERT_GE(ticks.size(), 2u);
  for (std::size_t k = 1; k < ticks.size(); ++k) {
    const double apart = (ticks[k].at - ticks[k - 1].at) / (box.x.high - box.x.low) * (box.right - box.left);
    const double widths = scene::text_width(ticks[k].text) + scene::text_width(ticks[k - 1].text);
    EXPECT_GT(apart, 0.5 * chart::kTextSize * widths + 0.5) << ticks[k].text;
  }
}

TEST(MoreCharts, EqualLinesAreMergedAndTheBaseIsDrawnLast) {
  const std::vector<double> dip{1e-3, 2e-3, 3e-3};
  const chart::Chart c = build_ratio(
      "",
      {{"as found", dip, {5.1, 5.2, 5.4}}, {"twin", dip, {5.1, 5.2, 5.4}}, {"other", dip, {5.2, 5.4, 5.7}}});
  ASSERT_EQ(c.panels.size(), 2u);
  const std::vector<chart::Series>& lines = c.panels[0].series;
  ASSERT_EQ(lines.size(), 3u);
  EXPECT_EQ(lines.back().name, "as found");
  EXPECT_EQ(lines.back().key_name, "as found = twin");
  EXPECT_TRUE(lines[0].hidden) << "the twin";
  EXPECT_FALSE(lines[1].hidden);
  for (const chart::Series& s : c.panels[1].series)
    if (s.name.rfind("other", 0) == 0) {
      EXPECT_NEAR(s.y[0], 0.1, 1e-12);
      EXPECT_NEAR(s.y[2], 0.3, 1e-12);
    }
}

TEST(MoreCharts, AllKindsAreWrittenWithTheirData) {
  const support::ScratchFolder folder;
  study_file::StudyFigures study;
  study.strokes = {stroke_with_energies()};
  study.ratios = {{"as found", {1e-3, 2e-3, 3e-3}, {5.1, 5.2, 5.4}}};
  study.changes = {{"moved", "down weight", "gf", -3.5, 0.7}};
  std::vector<Picture> more;
  for (const Picture& p : all_pictures())
    if (std::string(p.name) != "strokes") more.push_back(p);
  const Files files = draw_pictures(more, study, folder.path());
  EXPECT_EQ(files.size(), 20u);
  for (const char* name : {"distance_ratio", "changes", "phase_key_mf", "phase_hammer_mf", "energy_mf"})
    for (const char* ending : {".png", ".svg", ".pdf", ".csv"})
      EXPECT_GT(support::read_text(folder.path(std::string(name) + ending)).size(), 40u) << name << ending;
  EXPECT_NE(support::read_text(folder.path("distance_ratio.csv")).find(",2,5.2"), std::string::npos);
  for (const char* name : {"distance_ratio", "changes", "energy_mf"}) {
    const std::string fonts = mock::run("pdffonts " + folder.path(std::string(name) + ".pdf"));
    EXPECT_GE(mock::count(fonts, "yes yes"), 1) << fonts;
    EXPECT_EQ(mock::count(fonts, "yes yes"), mock::count(fonts, "DejaVu")) << fonts;
    EXPECT_NE(support::read_text(folder.path(std::string(name) + ".svg")).find("<text"), std::string::npos);
  }
}

}  // namespace
}  // namespace leverwright::figures
