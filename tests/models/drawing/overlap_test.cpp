// No two drawn things that reach across the same place are drawn through one another: on no frame of any set-up
// of any case by more than the contact between their bodies is pressed in there, and 0.1 mm.
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"  // in Boost.Geometry, not so
#include <gtest/gtest.h>

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <cmath>
#include <filesystem>
#include <map>

#include "models/drawing/outline_shapes.h"
#include "models/drawing/outlines.h"
#include "models/remedies/read_case.h"
#include "models/study/set_up_solver.h"
#include "sim/base/units.h"

namespace leverwright::drawing {
namespace {

namespace bg = boost::geometry;
using FlatPoint = bg::model::d2::point_xy<double>;
using Polygon = bg::model::polygon<FlatPoint>;

constexpr double kAllowed = 0.1e-3;  // beside the compression [m]
// Where the mechanism has one place of contact and the drawing a face, more is allowed, and how much is guarded.
struct Looser {
  const char *one, *other;
  double by;  // [m]
  const char* why;
};
constexpr Looser kLooser[] = {
    {"capstan", "heel cloth", 0.15e-3, "a flat cap that leans meets the cloth over a width"},
    {"key", "front punching", 0.42e-3,
     "the key tilts on a punching 18 mm wide; the contact is in its middle"},
    {"hammer", "back check", 0.25e-3, "the tail lies along the leather; the contact is one place of it"},
    {"hammer moulding", "back check", 0.25e-3, "the same piece of wood"},
    {"jack", "jack button", 0.18e-3, "the button is a face, the stop an angle"},
};
double find_allowed(const std::string& one, const std::string& other) {
  for (const Looser& l : kLooser)
    if ((one == l.one && other == l.other) || (one == l.other && other == l.one)) return l.by;
  return kAllowed;
}

struct Drawn {
  std::string name;
  int body = 0;        // place among the drawn bodies; -1: ground
  int mechanism = -1;  // body of the mechanism, -1: ground
  Across across;
  std::vector<Vec2> points;
};

std::vector<Drawn> drawn_things(const action::Action& a, const std::vector<BodyOutline>& bodies) {
  std::vector<Drawn> out;
  std::map<std::string, int> place;
  for (std::size_t b = 0; b < bodies.size(); ++b) {
    place[bodies[b].body] = static_cast<int>(b);
    if (bodies[b].shown != Shown::kFlat)
      out.push_back(
          {bodies[b].body, static_cast<int>(b), bodies[b].index, bodies[b].across, bodies[b].outline});
  }
  for (const Feature& f : find_features(a)) {
    if (f.shown == Shown::kFlat || (f.kind != "solid" && f.kind != "cap" && f.kind != "circle")) continue;
    const bool ground = f.body == "ground";
    const int at = ground ? -1 : place.at(f.body);
    std::vector<Vec2> points = f.points;
    if (f.kind == "circle") {
      points.clear();
      for (int k = 0; k < 48; ++k)
        points.push_back(f.points[0] +
                         f.radius * Vec2(std::cos(k * base::kPi / 24), std::sin(k * base::kPi / 24)));
    }
    out.push_back({f.name, at, ground ? -1 : bodies[static_cast<std::size_t>(at)].index, f.across, points});
  }
  return out;
}

Polygon placed(const std::vector<Vec2>& points, const planar::Pose& p) {
  const double c = std::cos(p.angle), s = std::sin(p.angle);
  Polygon out;
  for (const Vec2& r : points)
    bg::append(out, FlatPoint(p.o.x() + c * r.x() - s * r.y(), p.o.y() + s * r.x() + c * r.y()));
  bg::correct(out);
  return out;
}

// The least width of a common piece is how far one would have to be moved out of the other.
double find_overlap(const Polygon& one, const Polygon& other) {
  std::vector<Polygon> pieces;
  bg::intersection(one, other, pieces);
  double most = 0;
  for (const Polygon& piece : pieces) {
    double least = 1;
    for (int k = 0; k < 36; ++k) {
      const Vec2 way(std::cos(k * base::kPi / 36), std::sin(k * base::kPi / 36));
      double low = 1e9, high = -1e9;
      for (const FlatPoint& p : piece.outer()) {
        low = std::min(low, way.dot(Vec2(p.x(), p.y())));
        high = std::max(high, way.dot(Vec2(p.x(), p.y())));
      }
      least = std::min(least, high - low);
    }
    most = std::max(most, least);
  }
  return most;
}

bool are_nested(const std::string& one, const std::string& other) {
  for (const NestedPair& p : find_nested_pairs())
    if ((p.one == one && p.other == other) || (p.one == other && p.other == one)) return true;
  return false;
}

// Everything that is drawn through something else on a stroke, with the worst overlap of each pair.
std::map<std::string, double> find_faults(const action::Action& a, const action::StrokeSeries& s) {
  const std::vector<BodyOutline> bodies = find_body_outlines(a);
  const std::vector<Drawn> things = drawn_things(a, bodies);
  planar::Scratch scratch(a.mechanism);
  std::map<std::string, double> out;
  double last = -1;
  for (std::size_t k = 0; k < s.time.size(); ++k) {
    if (s.time[k] - last < 2e-3 && k > 0) continue;  // a frame every 2 ms
    last = s.time[k];
    for (int b = 0; b < a.mechanism.n(); ++b) scratch.q[b] = s.position[static_cast<std::size_t>(b)][k];
    scratch.v.setZero();
    a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
    std::vector<planar::Pose> poses;
    for (const BodyOutline& b : bodies) poses.push_back(find_drawn_pose(a, b, scratch.poses));
    std::vector<Polygon> polygons;
    std::vector<bg::model::box<FlatPoint>> boxes;
    for (const Drawn& d : things) {
      polygons.push_back(
          placed(d.points, d.body < 0 ? planar::Pose() : poses[static_cast<std::size_t>(d.body)]));
      boxes.push_back(bg::return_envelope<bg::model::box<FlatPoint>>(polygons.back()));
    }
    const auto pressed = [&](int one, int other) {
      double deepest = 0;
      for (std::size_t c = 0; c < a.mechanism.contacts.size(); ++c) {
        const planar::Contact& contact = *a.mechanism.contacts[c];
        if (!((contact.body_a == one && contact.body_b == other) ||
              (contact.body_a == other && contact.body_b == one)))
          continue;
        const auto group = static_cast<std::size_t>(a.mechanism.group_of(static_cast<int>(c)));
        if (std::isfinite(s.places[group].depth[k])) deepest = std::max(deepest, s.places[group].depth[k]);
      }
      return deepest;
    };
    for (std::size_t i = 0; i < things.size(); ++i)
      for (std::size_t j = i + 1; j < things.size(); ++j) {
        const Drawn &one = things[i], &other = things[j];
        if (one.body == other.body) continue;
        if (std::max(one.across.from, other.across.from) >= std::min(one.across.to, other.across.to) - 1e-9)
          continue;
        if (!bg::intersects(boxes[i], boxes[j]) || are_nested(one.name, other.name)) continue;
        const double overlap = find_overlap(polygons[i], polygons[j]);
        if (overlap <= kAllowed) continue;
        const double too_much =
            overlap - pressed(one.mechanism, other.mechanism) - find_allowed(one.name, other.name);
        if (too_much <= 0) continue;
        double& worst = out[one.name + " and " + other.name];
        worst = std::max(worst, 1e3 * too_much);
      }
  }
  return out;
}

class Overlap : public testing::TestWithParam<std::string> {};

TEST_P(Overlap, OutlinesOfOneWidthAreNotDrawnThroughOneAnother) {
  const case_file::CaseDescription d = remedies::read_case("cases/" + GetParam() + "/case.toml");
  const study::SetUpSolver solver(d);
  study::SolveOptions options;
  options.by_playing = true;
  options.whole_stroke = false;
  options.touches = {"f"};
  for (const case_file::SetUp& s : d.set_ups) {
    const study::SetUpResult r = solver.try_solve(d, s, options);
    for (const study::PlayedTouch& t : r.touches)
      for (const auto& [pair, mm] : find_faults(r.action, t.stroke.series))
        ADD_FAILURE() << GetParam() << ", " << s.name << ", " << t.name << ": " << pair << " by " << mm
                      << " mm";
  }
}

std::vector<std::string> all_cases() {
  std::vector<std::string> out;
  for (const auto& entry : std::filesystem::directory_iterator("cases"))
    if (std::filesystem::exists(entry.path() / "case.toml")) out.push_back(entry.path().filename().string());
  std::sort(out.begin(), out.end());
  return out;
}
INSTANTIATE_TEST_SUITE_P(Cases, Overlap, testing::ValuesIn(all_cases()),
                         [](const auto& one) { return one.param; });

TEST(OverlapMeasure, OfTwoBoxesIsHowFarTheyReachIntoOneAnother) {
  const Polygon one = placed(box(0, 0, 0.02, 0.01), planar::Pose());
  planar::Pose moved;
  moved.o = Vec2(0.001, 0.0093);
  EXPECT_NEAR(find_overlap(one, placed(box(0, 0, 0.02, 0.01), moved)), 0.7e-3, 1e-8);
  moved.o = Vec2(0, 0.0101);
  EXPECT_EQ(find_overlap(one, placed(box(0, 0, 0.02, 0.01), moved)), 0);
}

TEST(OverlapMeasure, EveryNestedPairSaysWhyAndIsDrawn) {
  for (const NestedPair& p : find_nested_pairs()) EXPECT_GT(p.why.size(), 10u) << p.one << " " << p.other;
}

}  // namespace
}  // namespace leverwright::drawing
