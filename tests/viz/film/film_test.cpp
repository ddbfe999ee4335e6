#include "viz/film/film.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <sstream>

#include "sim/base/error.h"
#include "tests/viz/film/small_study.h"
#include "tests/viz/support/read_back.h"
#include "viz/film/encoder.h"
#include "viz/paper/raster.h"

namespace leverwright::film {
namespace {

class Film : public ::testing::Test {
 protected:
  static void SetUpTestSuite() { mock::write_small_study(study_); }
  static FilmRequest request(Arrangement arrangement) {
    FilmRequest r;
    r.strokes.push_back(study_file::read_stroke(study_file::StoredStudy(study_), "as found", "mf"));
    if (arrangement != Arrangement::kAlone)
      r.strokes.push_back(study_file::read_stroke(study_file::StoredStudy(study_), "moved", "mf"));
    r.arrangement = arrangement;
    r.stroke = "mf";
    r.width = 320;
    r.height = 180;
    return r;
  }
  static inline const support::ScratchFolder folder_;
  static inline const std::string study_ = folder_.path("study.h5");
};

TEST_F(Film, PosesFollowTheStoredAnglesBetweenSamplesToo) {
  const study_file::StoredStroke s =
      study_file::read_stroke(study_file::StoredStudy(study_), "as found", "mf");
  for (const double t : {0.0, 0.0307, 0.0402, 0.05511, 0.2}) {
    const auto poses = scene::find_poses(s.motion, t);
    ASSERT_EQ(poses.size(), 5u);
    EXPECT_NEAR(poses[4].theta, mock::small_hammer_angle(t), 2e-6) << t;
    const double wippen = -0.3 * (mock::small_hammer_angle(t) + 0.3);
    EXPECT_NEAR(poses[3].x, 0.2 - 0.09 * std::cos(wippen), 1e-6) << "the jack rides on the wippen";
    EXPECT_NEAR(poses[3].y, 0.06 - 0.09 * std::sin(wippen), 1e-6);
  }
}

TEST_F(Film, DrawnContactIsWhereTheCapMeetsTheHeel) {
  const study_file::StoredStroke s =
      study_file::read_stroke(study_file::StoredStudy(study_), "as found", "mf");
  const auto poses = scene::find_poses(s.motion, 0);
  const auto contact = scene::find_drawn_contact(s.motion.shape, poses, "capstan on heel cloth");
  ASSERT_TRUE(contact);
  EXPECT_NEAR(contact->at.y(), 50, 1e-9) << "the cap's top; the heel lies 1 mm above it";
  EXPECT_NEAR(contact->depth, -1, 1e-9);
  EXPECT_GT(contact->at.x(), 128 - 1e-9);
  EXPECT_LT(contact->at.x(), 138 + 1e-9);
  EXPECT_NEAR(contact->push.y(), 1, 1e-9);
  const auto signs = scene::find_contact_signs(s.motion, poses, 0.01, 0.1);
  ASSERT_EQ(signs.size(), 1u);
  EXPECT_NEAR(signs[0].normal->y(), 4, 1e-9);
  EXPECT_NEAR(signs[0].force.x(), -0.8, 1e-9) << "friction on the heel: T perp(n)";
  EXPECT_TRUE(scene::find_contact_signs(s.motion, poses, 0.09, 0.1).empty());
}

TEST_F(Film, SpanComesFromTheEventsOrTheRequest) {
  FilmRequest r = request(Arrangement::kAlone);
  EXPECT_NEAR(find_span(r).from, 0.01, 1e-12);
  EXPECT_NEAR(find_span(r).to, 0.1, 1e-12) << "60 ms after the string, but the series ends at 100 ms";
  r.from = 0.03;
  r.to = 0.05;
  EXPECT_EQ(count_frames(r), 1 + 30);  // 20 ms, 50 times slower, 30 a second
  EXPECT_NEAR(time_of_frame(r, 15), 0.04, 1e-12);
  r.from = 0.2;
  EXPECT_THROW(find_span(r), base::UserError);
}

TEST_F(Film, SlideIsTheIntegralOfTheSlip) {
  const study_file::StoredStroke s =
      study_file::read_stroke(study_file::StoredStudy(study_), "as found", "mf");
  EXPECT_NEAR(s.capstan_slide.back(), 2e-3 * 0.1, 1e-12);
}

TEST_F(Film, FramesShowTheMotionAndNothingElseMoves) {
  for (const Arrangement a : {Arrangement::kAlone, Arrangement::kBeside, Arrangement::kGhost}) {
    const FilmRequest r = request(a);
    const FilmScene scenes(r);
    const auto bounds_of = [&](double t, const std::string& name) {
      std::vector<scene::Box> out;
      for (const auto& inset : scenes.build(t).insets)
        for (const auto& shape : inset.shapes)
          if (name_of(shape) == name) out.push_back(scene::bounds(shape));
      return out;
    };
    const auto before = bounds_of(0.02, "hammer"), after = bounds_of(0.06, "hammer");
    ASSERT_EQ(before.size(), a == Arrangement::kAlone ? 2u : 4u) << "in the window and in the heel enlarged";
    for (size_t k = 0; k < before.size(); ++k) EXPECT_GT(after[k].y1 - before[k].y1, 20);
    EXPECT_EQ(bounds_of(0.02, "string")[0].y0, bounds_of(0.06, "string")[0].y0);
    EXPECT_EQ(bounds_of(0.062, "hammer")[0].y1, bounds_of(0.09, "hammer")[0].y1) << "it stands still";
  }
}

// An invented motion that has all a newer results file says.
scene::ActionMotion told_motion(const std::string& study) {
  scene::ActionMotion m = study_file::read_stroke(study_file::StoredStudy(study), "as found", "mf").motion;
  const size_t n = m.time.size();
  scene::PlaceForces& heel = m.places[0];
  heel.x.assign(n, 0.131);
  heel.y.assign(n, 0.051);
  heel.direction.assign(n, 1.2);
  for (size_t k = n / 2; k < n; ++k) heel.x[k] = heel.y[k] = heel.direction[k] = std::nan("");
  m.slide.assign(m.shape.bodies.size(), {});
  m.slide_way.assign(m.shape.bodies.size(), scene::Point(0, 0));
  m.slide[1].assign(n, 2e-3);
  m.slide_way[1] = scene::Point(0, 1);
  m.centres.push_back({"hammer centre", 4, std::vector<double>(n, -1e-3)});
  m.string_rise.assign(n, 1.5e-3);
  for (scene::BodyShape& body : m.shape.bodies)
    for (scene::Piece& piece : body.pieces)
      if (piece.name == "string") piece.yields = {0.25, 1};
  return m;
}

TEST_F(Film, WhatTheFileSaysOfPlacesAndOptionsIsShown) {
  const scene::ActionMotion m = told_motion(study_);
  const scene::ActionMoment at = find_moment(m, 0.0201, 0.1);
  ASSERT_EQ(at.contacts.size(), 1u);
  const scene::ContactSign& c = at.contacts[0];
  EXPECT_NEAR(c.at.x(), 0.131, 1e-12);
  EXPECT_NEAR(c.normal->x(), 4 * std::cos(1.2), 1e-12);
  EXPECT_NEAR((c.force - *c.normal).x(), -0.8 * std::sin(1.2), 1e-12) << "T perp(n)";
  EXPECT_NEAR((c.force - *c.normal).y(), 0.8 * std::cos(1.2), 1e-12);
  EXPECT_NEAR(at.poses[1].y, 2e-3, 1e-12) << "the key's joint has slid";
  EXPECT_NEAR(at.poses[4].x, at.centres[0].at.x(), 1e-12);
  EXPECT_TRUE(find_moment(m, 0.055, 0.1).contacts.empty()) << "the file says it is open";
  scene::ActionSceneOptions options;
  options.friction_times = 4;
  options.millimetres_per_newton = 5;
  const scene::Scene picture = build_action_scene(m.shape, at, options);
  int arcs = 0;
  for (const scene::Shape& shape : picture.shapes) {
    if (const auto* path = std::get_if<scene::Path>(&shape)) {
      if (path->name == "string") {
        EXPECT_NEAR(path->points[0].y(), 200 + 0.375, 1e-9);
        EXPECT_NEAR(path->points[1].y(), 200 + 1.5, 1e-9);
      }
      if (path->name == "hammer centre friction, head") {
        // Clockwise (torque below zero): the arrow ends at its upper right corner and points to the right of
        // the way from the centre.
        const scene::Point from = 1e3 * at.centres[0].at, head = path->points[0];
        const scene::Point foot = 0.5 * (path->points[1] + path->points[2]);
        EXPECT_LT(base::cross(foot - from, head - foot), 0);
      }
    }
    if (const auto* arrow = std::get_if<scene::Arrow>(&shape))
      if (arrow->name == "capstan on heel cloth friction") {
        EXPECT_NEAR((arrow->tip - arrow->tail).norm(), 0.8 * 5 * 4, 1e-9);
      }
    arcs += std::holds_alternative<scene::Arc>(shape) ? 1 : 0;
  }
  EXPECT_EQ(arcs, 1);
}

TEST_F(Film, WornPathIsInTheBodysFrameAndEndsWhereTheSurfacesPart) {
  const scene::ActionMotion m = told_motion(study_);
  const auto paths = scene::find_worn_paths(m);
  ASSERT_EQ(paths.size(), 1u);
  EXPECT_EQ(m.shape.bodies[static_cast<size_t>(paths[0].body)].name, "wippen");
  for (size_t k = 0; k < paths[0].time.size(); k += 17) {
    const auto pose = scene::find_poses(m, paths[0].time[k])[static_cast<size_t>(paths[0].body)];
    EXPECT_NEAR((place(pose, paths[0].place[k]) - scene::Point(0.131, 0.051)).norm(), 0, 1e-12);
  }
  const auto traces = scene::find_traces(paths, 0.01, 0.03);
  ASSERT_EQ(traces.size(), 1u);
  EXPECT_EQ(traces[0].points.size(), 41u);  // every 0.5 ms
  EXPECT_TRUE(scene::find_traces(paths, 0.06, 0.09).empty());
}

TEST_F(Film, WithoutH264AFreeKindIsTakenAndNamed) {
  ASSERT_EQ(mock::run("which ffmpeg | wc -l"), "1\n") << "install ffmpeg";
  for (const auto& [without, ending] : {std::pair{"264", ".webm"}, std::pair{"264\\|vpx", ".ogv"}}) {
    const std::string program = folder_.write(
        "no_h264", "#!/bin/sh\nif [ \"$2\" = -encoders ]; then ffmpeg -hide_banner -encoders | grep -v '" +
                       std::string(without) + "'; else exec ffmpeg \"$@\"; fi\n");
    std::filesystem::permissions(program, std::filesystem::perms::owner_all);
    setenv("LEVERWRIGHT_FFMPEG", program.c_str(), 1);
    const std::string path = find_film_path(folder_.path("clip_free.mp4"));
    EXPECT_EQ(path, folder_.path(std::string("clip_free") + ending));
    FilmRequest r = request(Arrangement::kAlone);
    r.from = 0.02;
    r.to = 0.03;
    r.slow = 10;  // 4 frames
    EXPECT_EQ(write_film(r, {path, ""}).frames, 4);
    unsetenv("LEVERWRIGHT_FFMPEG");
    EXPECT_EQ(
        mock::run("ffprobe -v error -count_frames -show_entries stream=nb_read_frames -of csv=p=0 " + path),
        "4\n");
  }
  EXPECT_EQ(find_film_path("a.mp4"), "a.mp4");
}

TEST_F(Film, Mp4HasTheFramesSizeAndMotionAskedFor) {
  ASSERT_EQ(mock::run("which ffmpeg ffprobe | wc -l"), "2\n") << "install ffmpeg";
  FilmRequest r = request(Arrangement::kBeside);
  r.from = 0.02;
  r.to = 0.06;
  r.slow = 10;  // 13 frames
  const support::ScratchFolder frames;
  for (const std::string kind : {".mp4", ".webm"}) {
    const std::string path = folder_.path("clip" + kind);
    double last = -1;
    const Written written = write_film(r, {path, kind == ".mp4" ? frames.path() : ""}, [&](double share) {
      EXPECT_GT(share, last);
      last = share;
      return true;
    });
    EXPECT_EQ(written.frames, 13);
    EXPECT_EQ(written.files.size(), kind == ".mp4" ? 14u : 1u);
    const std::string found = mock::run(
        "ffprobe -v error -count_frames -show_entries stream=codec_name,width,height,pix_fmt,nb_read_frames "
        "-of csv=p=0 " +
        path);
    EXPECT_NE(found.find(kind == ".mp4" ? "h264,320,180,yuv420p" : "vp9,320,180,yuv420p"), std::string::npos)
        << found;
    EXPECT_NE(found.find(",13"), std::string::npos) << found;
    // Decoded again, first and last frame differ in the upper part, where the action is.
    const auto picture = [&](int frame) {
      return mock::run("ffmpeg -v error -i " + path + " -vf \"select=eq(n\\," + std::to_string(frame) +
                       "),crop=320:110:0:16\" -frames:v 1 -f rawvideo -pix_fmt gray - | od -An -v -tu1 -w1");
    };
    std::istringstream a(picture(0)), b(picture(12));
    int differ = 0, count = 0, x = 0, y = 0;
    while (a >> x && b >> y) differ += std::abs(x - y) > 40, ++count;
    EXPECT_EQ(count, 320 * 110);
    EXPECT_GT(differ, 400) << kind;
  }
  EXPECT_EQ(frames.names().size(), 13u);
  EXPECT_EQ(mock::png_size(frames.path("frame_00012.png")).width, 320);
  EXPECT_NE(support::read_text(frames.path("frame_00000.png")),
            support::read_text(frames.path("frame_00012.png")));
}

TEST_F(Film, StoppedPartWayKeepsAPlayableFilm) {
  FilmRequest r = request(Arrangement::kAlone);
  const std::string path = folder_.path("stopped.mp4");
  const Written written = write_film(r, {path, ""}, [](double share) { return share < 0.04; });
  EXPECT_TRUE(written.stopped);
  EXPECT_GT(written.frames, 2);
  EXPECT_LT(written.frames, 12);
  EXPECT_NE(
      mock::run("ffprobe -v error -count_frames -show_entries stream=nb_read_frames -of csv=p=0 " + path)
          .find(std::to_string(written.frames)),
      std::string::npos);
}

TEST_F(Film, WithoutTheProgramItSaysWhatToInstallAndLeavesNothing) {
  const support::ScratchFolder empty;
  setenv("LEVERWRIGHT_FFMPEG", "/nowhere/ffmpeg", 1);
  for (const bool kind_only : {true, false}) {
    try {
      if (kind_only)
        find_film_kind();
      else
        write_film(request(Arrangement::kAlone), {empty.path("a.mp4"), ""});
      ADD_FAILURE() << "no error";
    } catch (const base::UserError& e) {
      EXPECT_NE(std::string(e.what()).find("package ffmpeg"), std::string::npos) << e.what();
    }
  }
  unsetenv("LEVERWRIGHT_FFMPEG");
  setenv("LEVERWRIGHT_FFMPEG", "/bin/false", 1);
  EXPECT_THROW(find_film_kind(), base::UserError);
  unsetenv("LEVERWRIGHT_FFMPEG");
  EXPECT_EQ(empty.names().size(), 0u);
}

TEST_F(Film, WrongNamesAreTold) {
  for (const auto& [set_up, stroke, wanted] :
       std::vector<std::array<std::string, 3>>{{"as fund", "mf", "moved"}, {"moved", "ff", "mf"}}) {
    try {
      study_file::read_stroke(study_file::StoredStudy(study_), set_up, stroke);
      ADD_FAILURE() << set_up;
    } catch (const base::UserError& e) {
      EXPECT_NE(std::string(e.what()).find(wanted), std::string::npos) << e.what();
    }
  }
}

TEST(FilmWords, AreFoundAgainInTheFileAndNowhereElse) {
  const std::string words = "One stroke at mf, 50 times slower than life: \u201cas found\u201d.";
  EXPECT_EQ(find_words("\0\1moov" + as_comment(words) + "mdat"), words);
  EXPECT_EQ(find_words("a film of somebody else's"), "");
  EXPECT_EQ(find_words(" [shows: never ends"), "");
}

}  // namespace
}  // namespace leverwright::film
