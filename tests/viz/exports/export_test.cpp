#include "viz/exports/export.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "tests/viz/exports/read_gltf.h"
#include "tests/viz/film/small_study.h"
#include "tests/viz/support/read_back.h"
#include "viz/vtk/write_mesh.h"

namespace leverwright::exports {
namespace {

class Export : public ::testing::Test {
 protected:
  const support::ScratchFolder folder_;
  study_file::StoredStroke stroke() {
    mock::write_small_study(folder_.path("study.h5"));
    return study_file::read_stroke(study_file::StoredStudy(folder_.path("study.h5")), "as found", "mf");
  }
};

TEST_F(Export, CsvHasNamesWithUnitsAndEverySample) {
  const std::string csv = write_stroke_csv(stroke());
  EXPECT_EQ(csv.find("time (ms),key dip (mm),finger force (N)"), 0u);
  EXPECT_NE(csv.find("angle of hammer (deg)"), std::string::npos);
  EXPECT_NE(csv.find("normal force of capstan on heel cloth (N)"), std::string::npos);
  EXPECT_EQ(mock::count(csv, "\n"), 202);
  EXPECT_NE(csv.find("\n100,"), std::string::npos);
}

TEST_F(Export, VtpFilesAreReadByVtkAndMove) {
  const auto files = write_vtk(stroke(), 20e-3, folder_.path(), "stroke_mf");
  ASSERT_EQ(files.size(), 7u);  // 0 to 100 ms, and the list
  const vtk::MeshCounts first = vtk::read_vtp(files[0]), last = vtk::read_vtp(files[5]);
  EXPECT_EQ(first.lines, 2);  // string and heel surface
  EXPECT_GE(first.triangles, 2 + 2 + 2 + 6 + 2);
  EXPECT_TRUE(first.has_body);
  EXPECT_NEAR(first.x_low, -200, 1) << "mm";
  EXPECT_NE(support::read_text(files[0]), support::read_text(files[5]));
  EXPECT_EQ(first.triangles, last.triangles);
  const std::string list = support::read_text(files[6]);
  EXPECT_EQ(mock::count(list, "<DataSet"), 6);
  EXPECT_NE(list.find("timestep=\"0.06\" part=\"0\" file=\"stroke_mf_00003.vtp\""), std::string::npos)
      << list;
}

TEST_F(Export, GltfIsWholeAndItsAnimationTurns) {
  const std::string text = write_gltf(stroke(), 5e-3), path = folder_.write("a.gltf", text);
  EXPECT_EQ(mock::run("/usr/bin/python3 tests/viz/exports/check_gltf.py " + path + " 2>&1"), "");
  EXPECT_EQ(mock::count(text, "\"path\":\"rotation\""), 4);
  std::string bad = text;
  bad.replace(bad.find("\"count\":21"), 10, "\"count\":19");
  folder_.write("bad.gltf", bad);
  EXPECT_NE(
      mock::run("/usr/bin/python3 tests/viz/exports/check_gltf.py " + folder_.path("bad.gltf") + " 2>&1"),
      "");
}

TEST_F(Export, GltfMovesAJointThatSlidesAndAStringThatYields) {
  study_file::StoredStroke s = stroke();
  auto& m = s.motion;
  m.slide.assign(m.shape.bodies.size(), {});
  m.slide_way.assign(m.shape.bodies.size(), scene::Point(0, 1));
  for (const double t : m.time) m.slide[1].push_back(1e-2 * t), m.string_rise.push_back(2e-2 * t);
  for (scene::Piece& piece : m.shape.bodies[0].pieces)
    if (piece.name == "string") piece.yields = {0.5, 1};
  const std::string text = write_gltf(s, 5e-3), path = folder_.write("moves.gltf", text);
  EXPECT_EQ(mock::run("/usr/bin/python3 tests/viz/exports/check_gltf.py " + path + " 2>&1"), "");
  EXPECT_EQ(mock::count(text, "\"path\":\"translation\""), 1);
  EXPECT_EQ(mock::count(text, "\"path\":\"weights\""), 1);
  EXPECT_EQ(mock::count(text, "\"mode\":3"), 1) << "the string is a line";
  const auto files = write_vtk(s, 50e-3, folder_.path(), "moves");
  EXPECT_NE(support::read_text(files[0]), support::read_text(files[1]));
}

// Two springs more: each ends where the scene draws it, at every time, by the rules of the format; a zigzag
// and a wire. General viewers get bands of triangles in glTF and lines in .vtp.
TEST_F(Export, SpringsReachFromBodyToBody) {
  study_file::StoredStroke s = stroke();
  auto& m = s.motion;
  const long bare_points = [&] {
    return read_gltf(folder_.write("bare.gltf", write_gltf(s, 5e-3))).points;
  }();
  const auto body = [&](const std::string& name) {
    for (size_t b = 0; b < m.shape.bodies.size(); ++b)
      if (m.shape.bodies[b].name == name) return static_cast<int>(b);
    return -1;
  };
  m.shape.springs = {{"jack spring", body("wippen"), body("jack"), {-0.03, 0.004}, {0.002, 0.03}, false},
                     {"check wire", body("key"), body("hammer"), {0.24, 0.022}, {0.13, -0.02}, true}};
  const std::string path = folder_.write("springs.gltf", write_gltf(s, 5e-3));
  EXPECT_EQ(mock::run("/usr/bin/python3 tests/viz/exports/check_gltf.py " + path + " 2>&1"), "");
  double stretched = 1;
  for (const scene::SpringShape& spring : m.shape.springs) {
    std::istringstream rows(mock::run("/usr/bin/python3 tests/viz/exports/spring_ends.py " + path + " '" +
                                      spring.name + "' 2>&1"));
    double t = 0, ax = 0, ay = 0, bx = 0, by = 0;
    int count = 0;
    double first = 0;
    while (rows >> t >> ax >> ay >> bx >> by) {
      const auto drawn = scene::place_spring(spring, scene::find_poses(m, t));
      const scene::Point a(1e3 * ax, 1e3 * ay), b(1e3 * bx, 1e3 * by);
      const double near = spring.straight ? 2e-3 : 0.25;  // mm; a zigzag's band ends slantwise
      EXPECT_NEAR((a - drawn.front()).norm(), 0, near) << spring.name << " at " << t << " s";
      EXPECT_NEAR((b - drawn.back()).norm(), 0, near) << spring.name << " at " << t << " s";
      if (count++ == 0) first = (b - a).norm();
      stretched = std::max(stretched, (b - a).norm() / first);
    }
    EXPECT_EQ(count, 21) << spring.name;
  }
  EXPECT_GT(stretched, 1.01) << "else nothing was tried";
  const GltfCounts read = read_gltf(path);
  EXPECT_EQ(read.points - bare_points, 6 * (9 + 1)) << "nine pieces of the zigzag, one wire";
  const auto files = write_vtk(s, 50e-3, folder_.path(), "springs");
  EXPECT_EQ(vtk::read_vtp(files[0]).lines, 2 + 2);
}

TEST_F(Export, GltfIsReadByVtksOwnReader) {
  const std::string path = folder_.write("read.gltf", write_gltf(stroke(), 5e-3));
  const GltfCounts read = read_gltf(path);
  EXPECT_EQ(read.animations, 1);
  EXPECT_GT(read.points, 30);
  EXPECT_NEAR(read.x_low, -0.2, 1e-6) << "m";
  EXPECT_GT(read.x_high, 0.2);
  EXPECT_NEAR(read.seconds, 0.1, 1e-6);
}

}  // namespace
}  // namespace leverwright::exports
