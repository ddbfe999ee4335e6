#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "sim/base/error.h"
#include "sim/store/study_writer.h"
#include "tests/viz/support/mock_study.h"
#include "tests/viz/support/read_back.h"
#include "viz/figures/draw_figures.h"
#include "viz/figures/read_study.h"
#include "viz/figures/study_charts.h"

namespace leverwright::figures {
namespace {

TEST(Figures, ForceCurvesAreInMillimetresAndGramForce) {
  const StudyFigures study = mock::invented_study();
  const chart::Chart c = build_force_dip(study.title, study.force_dip);
  ASSERT_EQ(c.panels.size(), 1u);
  ASSERT_EQ(c.panels[0].series.size(), 2 * study.force_dip.size() + 1);  // down and up each, and let-off
  const chart::Series& down = c.panels[0].series[0];
  EXPECT_NEAR(down.x.back(), 10.2, 1e-9);
  EXPECT_NEAR(down.y.front(), 52.5, 1e-9);
  EXPECT_TRUE(down.in_key);
  EXPECT_FALSE(c.panels[0].series[1].in_key);
  EXPECT_LT(c.panels[0].y.high, 100) << "the bottom of the key must not set the force scale";
}

TEST(Figures, LedgerRowsStandInTheSameOrderInEverySetUp) {
  std::vector<Ledger> ledgers = mock::invented_study().ledgers;
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
  EXPECT_LE(c.panels[0].x.low, -70);
  EXPECT_GE(c.panels[0].x.high, -62);
  EXPECT_NEAR(c.panels[1].bands[0].from, -70, 1e-9);
  EXPECT_TRUE(c.panels[1].y.reversed);
}

// Straight lines, so that what a mark should show is known.
Stroke straight_stroke(const std::string& set_up, double late) {
  Stroke s;
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
  const std::vector<Stroke> strokes{straight_stroke("as found", 0), straight_stroke("other", 1e-3)};
  const chart::Chart blow = build_stroke("", strokes, StrokePart::kBlow);
  ASSERT_EQ(blow.panels.size(), 3u);
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
  StudyFigures study = mock::invented_study();
  study.action.moments.resize(1);
  const Files files = draw_study(study, folder.path());
  EXPECT_EQ(files.size(), folder.names().size());
  for (const char* name : {"action_rest.png", "action_rest.svg", "action_rest.pdf", "force_against_dip.svg",
                           "slide_path.csv", "friction_ledger.pdf", "stroke_p.png", "stroke_f.csv"})
    EXPECT_NE(std::find(files.begin(), files.end(), folder.path(name)), files.end()) << name;
  EXPECT_EQ(mock::png_size(folder.path("action_rest.png")).width, 1600);
}

// A picture as DEVELOPERS.md says how to add one.
Files draw_title(const StudyFigures& study, const std::string& folder) {
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

Files draw_wrongly(const StudyFigures&, const std::string&) { throw base::UserError("no such font", ""); }

TEST(Pictures, OneMoreIsDrawnInItsPlace) {
  const support::ScratchFolder folder;
  StudyFigures study;
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
  StudyFigures study;
  study.title = "a study";
  EXPECT_THROW(draw_pictures({{"wrong", draw_wrongly}, {"title", draw_title}}, study, folder.path()),
               base::UserError);
  EXPECT_EQ(folder.names().size(), 4u);
}

TEST(Pictures, TheListNamesEachOnce) {
  std::set<std::string> names;
  for (const Picture& p : all_pictures()) EXPECT_TRUE(names.insert(p.name).second) << p.name;
}

// A results file written through the store comes back as the figures' data.
class ReadStudy : public ::testing::Test {
 protected:
  const support::ScratchFolder folder_;
  std::string path_ = folder_.path("study.h5");

  void write(bool with_everything) {
    using store::make_meta;
    store::StudyHeader header;
    header.software_version = "test";
    header.case_text = "invented";
    store::StudyWriter out(path_, header);
    const std::string at = out.begin_set_up("as found", "invented");
    const auto mm = make_meta("m", "mm", "none", "x");
    const auto gf = make_meta("N", "gf", "none", "x");
    const std::vector<double> dip{0.5e-3, 2e-3, 4e-3, 9.5e-3}, up{9.5e-3, 4e-3, 2e-3, 0.5e-3};
    out.write_series(at + "/statics/down", "dip", dip, mm);
    out.write_series(at + "/statics/down", "force", std::vector<double>{0.52, 0.5, 0.47, 0.6}, gf);
    out.write_series(at + "/statics/up", "dip", up, mm);
    out.write_series(at + "/statics/up", "force", std::vector<double>{0.3, 0.24, 0.25, 0.26}, gf);
    store::Number down, upw;
    down.name = "down weight";
    down.value = 0.5;
    down.unit = upw.unit = "N";
    down.display_unit = upw.display_unit = "gf";
    upw.name = "up weight";
    upw.value = 0.24;
    out.write_numbers(at, "numbers", {down, upw}, "measures");
    out.write_numbers(at, "screws", {}, "screws");
    out.write_strings(at, "warnings", {}, "none");
    if (with_everything) {
      out.write_attribute(at + "/statics/down", "button_dip", 8e-3);
      out.write_attribute(at + "/statics/down", "let_off_dip", 9e-3);
      out.write_series(at + "/statics/window", "ledger", std::vector<double>{0.03, 0.06, 0.01}, 3, gf,
                       {{"capstan on heel cloth", "wippen centre", "stored energy"}, {}, {}});
      out.write_series(at + "/slide/C3", "dip", dip, mm);
      out.write_series(at + "/slide/C3", "place_on_heel",
                       std::vector<double>{-0.067, -0.0665, -0.066, -0.0668}, mm);
      out.write_series(at + "/slide/C3", "normal_force", std::vector<double>{3, 3, 3.1, 3.4}, gf);
      const std::string bodies = at + "/scene/bodies/";
      out.write_series(bodies + "key", "outline", std::vector<double>{-0.2, 0, 0.2, 0, 0.2, 0.02}, 2, mm);
      out.write_attribute(bodies + "key", "colour_role", "key wood");
      out.write_attribute(bodies + "key", "pivot_x", 0.0);
      out.write_attribute(bodies + "key", "pivot_y", 0.001);
      out.write_series(bodies + "wippen", "outline", std::vector<double>{-0.1, 0, 0, 0, 0, 0.01}, 2, mm);
      const std::string surface = at + "/scene/features/heel_surface";
      out.write_series(surface, "points", std::vector<double>{-0.075, -0.019, -0.066, -0.02, -0.057, -0.019},
                       2, mm);
      out.write_attribute(surface, "body", "wippen");
      out.write_attribute(surface, "kind", "heel surface");
      out.write_attribute(surface, "face_from", -0.07);
      out.write_attribute(surface, "face_to", -0.062);
      const std::string positions = at + "/scene/positions";
      out.write_strings(positions, "bodies", {"key", "wippen"}, "rows");
      const auto meta = make_meta("per column", "per column", "W", "x, y, angle");
      const store::Columns columns{{"x", "y", "theta"}, {"m", "m", "rad"}, {"mm", "mm", "deg"}};
      for (const char* moment : {"rest", "half_stroke", "let_off"})
        out.write_series(positions, moment, std::vector<double>{0, 0, 0.01, 0.201, 0.06, -0.02}, 3, meta,
                         columns);
      out.write_attribute(positions, "dip_half_stroke", 4.5e-3);
      out.write_strings(at + "/scene/contacts", "names", {"capstan on heel cloth", "jack on knuckle"},
                        "rows");
      const store::Columns six{{"x", "y", "fx", "fy", "nx", "ny"},
                               {"m", "m", "N", "N", "N", "N"},
                               {"mm", "mm", "gf", "gf", "gf", "gf"}};
      auto open = store::make_meta_unknown_allowed("per column", "per column", "W", "contacts");
      const double nan = std::nan("");
      out.write_series(at + "/scene/contacts", "half_stroke",
                       std::vector<double>{0.135, 0.041, 0.3, 4, 0.1, 3.9, nan, nan, nan, nan, nan, nan}, 6,
                       open, six);
    }
    out.finish_set_up();
    out.finish();
  }
};

TEST_F(ReadStudy, EverythingComesBack) {
  write(true);
  const StudyFigures study = read_study(path_);
  ASSERT_EQ(study.force_dip.size(), 1u);
  EXPECT_EQ(study.force_dip[0].set_up, "as found");
  EXPECT_DOUBLE_EQ(study.force_dip[0].force_down[2], 0.47);
  EXPECT_DOUBLE_EQ(*study.force_dip[0].let_off_dip, 9e-3);
  ASSERT_EQ(study.ledgers.size(), 1u);
  ASSERT_EQ(study.ledgers[0].rows.size(), 2u);
  EXPECT_EQ(study.ledgers[0].rows[0].place, "capstan on heel cloth");
  EXPECT_NEAR(study.ledgers[0].rows[0].force, 0.03, 1e-12);
  EXPECT_NEAR(study.ledgers[0].rows[1].force, 0.06, 1e-12);
  EXPECT_NEAR(*study.ledgers[0].weighed, 0.13, 1e-12);
  ASSERT_EQ(study.slide_paths.size(), 1u);
  EXPECT_DOUBLE_EQ(*study.slide_paths[0].face_to, -0.062);
  EXPECT_EQ(study.slide_paths[0].heel_surface.size(), 3u);
  ASSERT_EQ(study.action.moments.size(), 3u);
  ASSERT_EQ(study.action.moments[1].size(), 1u);
  const scene::SetUpMoment& half = study.action.moments[1][0];
  EXPECT_EQ(half.moment.name, "half stroke");
  EXPECT_DOUBLE_EQ(half.moment.dip, 4.5e-3);
  ASSERT_EQ(half.shape.bodies.size(), 3u);  // ground, key, wippen
  EXPECT_DOUBLE_EQ(half.moment.poses[2].x, 0.201);
  EXPECT_EQ(half.shape.bodies[1].pieces[0].role, scene::Role::kKeyWood);
  EXPECT_DOUBLE_EQ(half.shape.bodies[1].pivot->y(), 0.001);
  EXPECT_EQ(half.shape.bodies[2].pieces.back().kind, scene::PieceKind::kHeelSurface);
  ASSERT_EQ(half.moment.contacts.size(), 1u);  // the open contact is left out
  EXPECT_EQ(half.moment.contacts[0].name, "capstan on heel cloth");
  EXPECT_DOUBLE_EQ(half.moment.contacts[0].force.y(), 4);
  ASSERT_TRUE(half.moment.contacts[0].normal);
  EXPECT_DOUBLE_EQ(half.moment.contacts[0].normal->x(), 0.1);
  ASSERT_EQ(half.moment.traces.size(), 1u);
  EXPECT_EQ(half.moment.traces[0].name, "capstan on the heel cloth");
  EXPECT_EQ(half.moment.traces[0].body, 2);
  EXPECT_EQ(half.moment.traces[0].values, (std::vector<double>{3, 3, 3.1, 3.4}));
  EXPECT_NEAR(half.moment.traces[0].points[0].y(), -0.019 - 0.001 * 8 / 9, 1e-12) << "on the cloth's surface";
}

TEST_F(ReadStudy, WhatIsMissingIsLeftOut) {
  write(false);
  const StudyFigures study = read_study(path_);
  EXPECT_EQ(study.force_dip.size(), 1u);
  EXPECT_TRUE(study.slide_paths.empty());
  EXPECT_TRUE(study.ledgers.empty());
  const support::ScratchFolder pictures;
  EXPECT_EQ(draw_study(path_, pictures.path()).size(), 4u);
}

TEST_F(ReadStudy, NotAStudyIsAUserError) {
  EXPECT_THROW(read_study(folder_.path("none.h5")), base::UserError);
}

}  // namespace
}  // namespace leverwright::figures
