// The page against what is published: what falls out stays in and is marked, values stand with their source,
// curves with every stroke.
#include "viz/table/validation_page.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <limits>

#include "models/case_file/read_case.h"
#include "sim/base/error.h"
#include "tests/support/scratch_folder.h"

namespace leverwright::table {
namespace {

study::PlayedTouch stroke(double speed, double bottom) {
  study::PlayedTouch t;
  t.wanted_speed = speed;
  t.found.found = true;
  t.stroke.measures.hammer_speed = speed;
  t.stroke.measures.key_bottom_after_string = bottom;
  t.stroke.measures.travel_time = 0.1 / speed;
  return t;
}

ValidationPage small_page() {
  ValidationPage page;
  page.title = "An invented note";
  page.set_up = "as found";
  page.command = "leverwright validation x.toml";
  page.commit = "abc1234";
  page.bands = {{"down_weight", "down weight", "", 45, 55, "gf", "somebody 1998"},
                {"up_weight", "up weight", "", 20, 30, "gf", "somebody else"},
                {"friction", "friction", "", 8, 18, "gf", "a third"}};
  page.values["down_weight"] = {52.6, 52.6, "slow path", {}};
  page.values["up_weight"] = {31.5, 31.5, "slow path", {}};
  page.published = {{"hammer_mass", "hammer: mass", "11.74", "g", "a thesis", ""},
                    {"least_speed", "least speed", "a root", "m/s", "closed form", "tests/x.cpp"},
                    {"unknown", "nothing", "1", "1", "nowhere", ""}};
  page.ours["hammer_mass"] = 12.43;
  page.curves = {{"struck by a finger", {stroke(1.0, 3e-3), stroke(2.0, -1e-3)}}};
  page.curves[0].strokes.push_back({});
  page.curves[0].strokes.back().wanted_speed = 9;
  page.slow = {{1e-3, 0.5, 0.25}};
  return page;
}

TEST(ValidationPage, KeepsWhatIsOutAndMarksIt) {
  const std::string text = write_validation_page(small_page());
  const auto has = [&](const std::string& piece) { return text.find(piece) != std::string::npos; };
  EXPECT_TRUE(has("| down weight |  | 52.6 | 45 to 55 | gf | in | slow path | somebody 1998 |")) << text;
  EXPECT_TRUE(has("| up weight |  | 31.5 | 20 to 30 | gf | **OUT** |"));
  EXPECT_TRUE(has("| friction |  |  | 8 to 18 | gf | no value |"));
  EXPECT_TRUE(has("1 rows in, 1 out, 1 without a value"));
  EXPECT_TRUE(has("at commit abc1234"));
  EXPECT_TRUE(has("| hammer: mass | 11.74 | 12.4 | g | a thesis |"));
  EXPECT_TRUE(has("see `tests/x.cpp`"));
  EXPECT_TRUE(has("| nothing | 1 | none |  | nowhere |"));
  EXPECT_TRUE(has("| 1 | 51.0 | 25.5 |"));  // N in gf
  EXPECT_TRUE(has("| 2.00 | 50.0 |"));
  EXPECT_TRUE(has("| 9 | not reached |"));
}

// A row out by less than 1.96 of its own standard deviations says so; one out by more does not.
TEST(ValidationPage, UncertaintyThatReachesTheRangeIsTold) {
  ValidationPage page = small_page();
  page.bands = {{"check", "check after string", "", 5, 30, "ms", "somebody"}};
  page.values.clear();
  page.values["check"] = {23.0, 34.0, "p, mf", {{"p", 34.0}, {"mf", 23.0}}};
  page.spread_inputs = true;
  std::map<std::string, double> sigmas = flatten_band_values(page.values);
  ASSERT_EQ(sigmas.size(), 2u);
  EXPECT_EQ(sigmas.at("check/p"), 34.0);
  for (const auto& [p, reaches] : {std::pair{2.1, true}, std::pair{2.0, false}}) {
    sigmas = {{"check/p", p}, {"check/mf", 0.5}};
    put_sigmas(sigmas, page.values);
    const auto rows = find_band_rows(page.bands, page.values);
    ASSERT_EQ(rows.size(), 2u);
    EXPECT_EQ(rows[0].ours, "23 +- 0.5");
    EXPECT_EQ(rows[1].judged, "OUT");
    EXPECT_EQ(rows[1].reaches, reaches) << p;
    EXPECT_EQ(write_validation_page(page).find("**OUT**, uncertainty reaches") != std::string::npos, reaches);
  }
}

TEST(ValidationPage, ZeroLiesBetweenTheStrokesThatEncloseIt) {
  const auto bottom = [](const study::PlayedTouch& t) { return t.stroke.measures.key_bottom_after_string; };
  playing::TouchCurve c{"", {stroke(1.0, 3e-3), stroke(1.5, std::nan("")), stroke(2.0, -1e-3)}};
  EXPECT_NEAR(playing::find_zero_speed(c, bottom), 1.75, 1e-12);
  c.strokes.pop_back();
  EXPECT_TRUE(std::isnan(playing::find_zero_speed(c, bottom)));
}

TEST(ValidationPage, EveryPublishedRowHasASourceAndFilesItNamesExist) {
  const auto rows = read_published(case_file::default_models_directory() + "/handbook/published.csv");
  EXPECT_GE(rows.size(), 15u);
  for (const PublishedRow& r : rows) {
    EXPECT_FALSE(r.source.empty()) << r.id;
    if (r.shown_by.empty()) continue;
    EXPECT_TRUE(std::ifstream(r.shown_by).good()) << r.shown_by;
  }
}

TEST(ValidationPage, WrongTableIsToldWithItsLine) {
  const support::ScratchFolder folder;
  const std::string path =
      folder.write("published.csv", "id,quantity,published,unit,source,shown_by\na,b,c\n");
  try {
    read_published(path);
    FAIL();
  } catch (const base::UserError& e) {
    ASSERT_EQ(e.problems().size(), 1u);
    EXPECT_EQ(e.problems()[0].line, 2);
  }
}

}  // namespace
}  // namespace leverwright::table
