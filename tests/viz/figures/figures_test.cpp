#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/base/error.h"
#include "sim/store/study_writer.h"
#include "tests/viz/support/mock_study.h"
#include "tests/viz/support/read_back.h"
#include "viz/chart/layout.h"
#include "viz/figures/draw_figures.h"
#include "viz/figures/study_charts.h"
#include "viz/scene/part_overlay.h"

namespace leverwright::figures {
namespace {

TEST(Figures, ForceCurvesAreInMillimetresAndGramForce) {
  const study_file::StudyFigures study = mock::invented_study();
  const chart::Chart c = build_force_dip(study.title, study.force_dip);
  ASSERT_EQ(c.panels.size(), 1u);
  ASSERT_EQ(c.panels[0].series.size(), 2 * study.force_dip.size() + 1);  // down and up each, and let-off
  const auto named = [&](const std::string& name) -> const chart::Series& {
    for (const chart::Series& s : c.panels[0].series)
      if (s.name == name) return s;
    ADD_FAILURE() << name;
    return c.panels[0].series[0];
  };
  const std::string base = study.force_dip.front().set_up;
  const chart::Series& down = named(base);
  EXPECT_NEAR(down.x.back(), 10.2, 1e-9);
  EXPECT_NEAR(down.y.front(), 52.5, 1e-9);
  EXPECT_TRUE(down.in_key);
  EXPECT_FALSE(named(base + ", coming up").in_key);
  EXPECT_EQ(c.panels[0].series.back().role, scene::set_up_role(0)) << "what is compared with lies on top";
  EXPECT_LT(c.panels[0].y.high, 100) << "the bottom of the key must not set the force scale";
}

TEST(Figures, LedgerRowsStandInTheSameOrderInEverySetUp) {
  std::vector<study_file::Ledger> ledgers = mock::invented_study().ledgers;
  ledgers[1].rows.push_back({"new place", 0.004903325});
  const chart::Chart c = build_ledger("", ledgers);
  ASSERT_EQ(c.panels.size(), ledgers.size());
  const std::vector<chart::Tick>& rows = c.panels[0].y.ticks;
  EXPECT_EQ(rows.front().text, "jack on knuckle");
  EXPECT_EQ(rows[rows.size() - 2].text, "new place");
  for (const chart::Panel& p : c.panels) {
    ASSERT_EQ(p.y.ticks.size(), rows.size());
    for (size_t i = 0; i < rows.size(); ++i) EXPECT_EQ(p.y.ticks[i].text, rows[i].text);
  }
  EXPECT_NEAR(c.panels[1].bars.back().x1, 0.5, 1e-12);
  EXPECT_EQ(c.panels[0].bars.back().x1, 0);
  double sum = 0;
  for (const chart::Bar& b : c.panels[0].bars) sum += b.x1 - b.x0;
  EXPECT_NEAR(sum, 14.5, 0.2);
}

TEST(Figures, SlidePathShowsTheLiftingFaceWhole) {
  const chart::Chart c = build_slide_path("", mock::invented_study().slide_paths);
  ASSERT_EQ(c.panels.size(), 2u);
  EXPECT_GE(c.panels[0].x.high, 70) << "mm from the wippen centre count upwards";
  EXPECT_LE(c.panels[0].x.low, 62);
  EXPECT_TRUE(c.panels[0].x.reversed) << "player on the left";
  EXPECT_NEAR(c.panels[0].bars[0].x0, 62, 1e-9) << "lifting face";
  EXPECT_NEAR(c.panels[0].bars[0].x1, 70, 1e-9);
  const chart::Layout l = chart::lay_out(c);
  const chart::PanelBox& b = l.panels[0];
  EXPECT_NEAR((b.right - b.left) / (b.x.high - b.x.low), (b.top - b.bottom) / (b.y.high - b.y.low), 0.02)
      << "to scale";
  EXPECT_TRUE(c.panels[1].y.reversed);
}

// Straight lines, so that what a mark should show is known.
study_file::Stroke straight_stroke(const std::string& set_up, double late) {
  study_file::Stroke s;
  s.set_up = set_up;
  s.touch = "mf";
  for (int k = 0; k <= 600; ++k) {
    const double t = 1e-3 * k;
    s.time.push_back(t);
    s.key_dip.push_back(0.1 * t);
    s.hammer_distance.push_back(46e-3 - 0.05 * t);
    s.hammer_speed.push_back(0.05);
  }
  s.events = {{"key start", 0.03 + late},   {"jack trips", 0.07 + late}, {"string contact", 0.08 + late},
              {"key bottom", 0.082 + late}, {"check", 0.1 + late},       {"jack reset", 0.45 + late}};
  return s;
}

TEST(Figures, StrokeShowsTheBlowAndThenTheKeyLetGo) {
  const std::vector<study_file::Stroke> strokes{straight_stroke("as found", 0),
                                                straight_stroke("other", 1e-3)};
  const chart::Chart blow = build_stroke("", strokes, StrokePart::kBlow);
  ASSERT_EQ(blow.panels.size(), 4u) << "key, hammer, difference, speed";
  EXPECT_NEAR(blow.panels[0].x.low, 20, 1e-9) << "10 ms before the first key start";
  EXPECT_NEAR(blow.panels[0].x.high, 121, 1e-9) << "40 ms after the later string contact, beyond the check";
  EXPECT_EQ(blow.events.size(), 5u) << "the reset is not in this picture";
  for (const chart::Panel& p : blow.panels)
    for (const chart::Series& s : p.series)
      EXPECT_TRUE(s.x.front() >= 19 - 1e-9 && s.x.back() <= 122 + 1e-9) << s.name;
  const auto find = [](const chart::Panel& p, const std::string& name) {
    const auto at =
        std::find_if(p.series.begin(), p.series.end(), [&](const auto& s) { return s.name == name; });
    return at == p.series.end() ? chart::Series{} : *at;
  };
  const chart::Series check = find(blow.panels[1], "other, check");
  ASSERT_EQ(check.x.size(), 1u);
  EXPECT_NEAR(check.x[0], 101, 1e-9);
  EXPECT_NEAR(check.y[0], 46 - 50 * 0.101, 1e-6) << "on that set-up's own curve";
  EXPECT_TRUE(find(blow.panels[1], "check").in_key);

  const chart::Chart back = build_stroke("", strokes, StrokePart::kReturn);
  EXPECT_NEAR(back.panels[0].x.low, 400, 1e-9);
  EXPECT_NEAR(back.panels[0].x.high, 571, 1e-9);
  ASSERT_EQ(back.events.size(), 1u);
  EXPECT_EQ(back.events[0].label, "jack reset");
}

TEST(Figures, RepetitionShowsBothReturnsInPercentOverTheLaddersOwnRates) {
  const RepetitionLadder a{"as found", {7, 10, 13}, {1, 0.95, 0.2}, {1, 1, 0.9}, 9.7e-3, 5.8e-3, 10.4, 13},
      b{"other", {7, 10, 13}, {1, 0.5, 0.1}, {1, 0.7, 0}, 9.9e-3, 5.9e-3, 8.1, 9};
  const chart::Chart c = build_repetition("", {a, b});
  ASSERT_EQ(c.panels.size(), 2u);
  EXPECT_EQ(c.panels[0].title, "full return, 9.7 mm at the finger");
  EXPECT_EQ(c.panels[1].title, "partial return, 5.8 mm at the finger");
  EXPECT_NEAR(c.panels[0].x.high, 13, 1e-12);
  const auto& full = c.panels[0].series;
  ASSERT_EQ(full.size(), 3u) << "the line at 90 % and two set-ups";
  EXPECT_NEAR(full[0].y[1], 90, 1e-12);
  EXPECT_NEAR(full[1].y[1], 95, 1e-12);
  EXPECT_NEAR(c.panels[1].series[2].y[1], 70, 1e-12);
  EXPECT_NE(full[1].dashes, full[2].dashes);
}

TEST(Figures, StudyMakesEveryPictureAndSaysWhatItWrote) {
  const support::ScratchFolder folder;
  study_file::StudyFigures study = mock::invented_study();
  study.action.moments.resize(1);
  const Files files = draw_study(study, folder.path());
  EXPECT_EQ(files.size(), folder.names().size());
  for (const char* name : {"action_rest.png", "action_rest.svg", "action_rest.pdf", "force_against_dip.svg",
                           "slide_path.csv", "friction_ledger.pdf", "stroke_p.png", "stroke_f.csv"})
    EXPECT_NE(std::find(files.begin(), files.end(), folder.path(name)), files.end()) << name;
  EXPECT_EQ(mock::png_size(folder.path("action_rest.png")).width, 1600);
}

// What cannot be undone is marked in the picture; the file keeps the set-up's bare name.
TEST(Figures, PartsOfAMarkedSetUpAreNamedWithoutTheMark) {
  const support::ScratchFolder folder;
  study_file::StudyFigures study = mock::invented_study();
  ASSERT_FALSE(study.action.moments.empty());
  study.action.moments.resize(1);
  auto& set_ups = study.action.moments[0];
  set_ups.resize(1);
  set_ups[0].moment.name = "half stroke";
  scene::SetUpMoment drilled = set_ups[0];
  drilled.name = "drilled (NOT REVERSIBLE)";
  drilled.set_up = "drilled";
  for (scene::BodyShape& body : drilled.shape.bodies)
    for (scene::Piece& piece : body.pieces)
      for (scene::Point& p : piece.points) p.x() += 2 * scene::kPartDifference;
  set_ups.push_back(drilled);
  const Files files = draw_study(study, folder.path());
  EXPECT_NE(std::find(files.begin(), files.end(), folder.path("parts_key_drilled.png")), files.end());
  for (const std::string& name : folder.names())
    EXPECT_EQ(name.find("reversible"), std::string::npos) << name;
}

// A picture as DEVELOPERS.md says how to add one.
Files draw_title(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.title.empty()) return {};
  chart::Chart c;
  c.title = study.title;
  c.panels.resize(1);
  c.panels[0].x.label = c.panels[0].y.label = "nothing";
  chart::Series s;
  s.name = "a line";
  s.x = s.y = {0, 1};
  c.panels[0].series.push_back(s);
  return chart::draw_chart(c, folder + "/title");
}

Files draw_wrongly(const study_file::StudyFigures&, const std::string&) {
  throw base::UserError("no such font", "");
}

TEST(Pictures, OneMoreIsDrawnInItsPlace) {
  const support::ScratchFolder folder;
  study_file::StudyFigures study;
  study.title = "a study";
  study.ledgers = mock::invented_study().ledgers;
  std::vector<Picture> pictures = all_pictures();
  pictures.insert(pictures.begin(), {"title", draw_title});
  const Files files = draw_pictures(pictures, study, folder.path());
  ASSERT_EQ(files.size(), 8u);
  EXPECT_EQ(files.front(), folder.path("title.png"));
  EXPECT_EQ(files.back(), folder.path("friction_ledger.csv"));
}

TEST(Pictures, OneThatFailsDoesNotKeepTheOthersBack) {
  const support::ScratchFolder folder;
  study_file::StudyFigures study;
  study.title = "a study";
  EXPECT_THROW(draw_pictures({{"wrong", draw_wrongly}, {"title", draw_title}}, study, folder.path()),
               base::UserError);
  EXPECT_EQ(folder.names().size(), 4u);
}

TEST(Pictures, TheListNamesEachOnce) {
  std::set<std::string> names;
  for (const Picture& p : all_pictures()) EXPECT_TRUE(names.insert(p.name).second) << p.name;
}

}  // namespace
}  // namespace leverwright::figures
