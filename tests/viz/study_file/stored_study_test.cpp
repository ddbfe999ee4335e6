#include <gtest/gtest.h>

#include <cmath>

#include "sim/base/error.h"
#include "sim/store/study_writer.h"
#include "tests/support/scratch_folder.h"
#include "viz/study_file/curves.h"
#include "viz/study_file/words.h"

namespace leverwright::study_file {
namespace {

// A results file written through the store comes back as the charts' data.
class StudyRead : public ::testing::Test {
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

TEST_F(StudyRead, EverythingComesBack) {
  write(true);
  const StudyFigures study = read_curves(StoredStudy(path_));
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

TEST_F(StudyRead, WhatIsMissingIsLeftOut) {
  write(false);
  const StudyFigures study = read_curves(StoredStudy(path_));
  EXPECT_EQ(study.force_dip.size(), 1u);
  EXPECT_TRUE(study.slide_paths.empty());
  EXPECT_TRUE(study.ledgers.empty());
  EXPECT_EQ(read_words(StoredStudy(path_)).set_ups.size(), 1u);
}

TEST_F(StudyRead, NotAStudyIsAUserError) {
  EXPECT_THROW(StoredStudy(folder_.path("none.h5")), base::UserError);
}

// What cannot be undone is marked in every legend; what failed is named, and is no set-up to be found.
TEST_F(StudyRead, SaysWhichSetUpsThereAre) {
  {
    store::StudyHeader header;
    header.software_version = "test";
    header.case_text = "invented";
    store::StudyWriter out(path_, header);
    out.begin_set_up("as found", "invented");
    out.finish_set_up();
    const std::string at = out.begin_set_up("drilled", "invented");
    out.write_attribute(at, "undone", "NOT REVERSIBLE");
    out.finish_set_up();
    out.begin_set_up("too far", "invented");
    out.fail_set_up("the screw ends");
    out.finish();
  }
  const StoredStudy study(path_);
  ASSERT_EQ(study.set_ups().size(), 2u);
  EXPECT_EQ(study.set_ups()[0].label(), "as found");
  EXPECT_EQ(study.set_ups()[1].label(), "drilled (NOT REVERSIBLE)");
  ASSERT_EQ(study.failed().size(), 1u);
  EXPECT_EQ(study.failed()[0], "too far: the screw ends");
  EXPECT_EQ(&study.find_set_up(""), &study.set_ups()[0]);
  try {
    static_cast<void>(study.find_set_up("too far"));
    ADD_FAILURE() << "found";
  } catch (const base::UserError& e) {
    EXPECT_NE(std::string(e.what()).find("\"drilled\""), std::string::npos) << e.what();
  }
}

}  // namespace
}  // namespace leverwright::study_file
