#include <cmath>

#include "models/drawing/outlines.h"
#include "viz/model_scene/model_scene.h"

namespace leverwright::model_scene {

using scene::Point;

namespace {

// Of the forces of one group of contacts (Action::shown_sign).
double shown_sign(const action::Action& a, int group) {
  const auto& m = a.mechanism;
  for (std::size_t i = 0; i < m.contacts.size(); ++i)
    if (m.group_of(static_cast<int>(i)) == group) return a.shown_sign(*m.contacts[i]);
  return 1;
}

// Height of a surface, a line climbing in x, at x; not a number beside it.
double height_at(const std::vector<Point>& surface, double x) {
  for (std::size_t i = 0; i + 1 < surface.size(); ++i) {
    const Point &a = surface[i], &b = surface[i + 1];
    if ((x - a.x()) * (x - b.x()) <= 0 && a.x() != b.x())
      return a.y() + (b.y() - a.y()) * (x - a.x()) / (b.x() - a.x());
  }
  return std::nan("");
}

// The place on the mate at each point of the path, in pieces where the surfaces were apart.
template <class At>
void add_trace(const std::string& name, int body, const analysis::SlidePath& path, const At& at,
               std::vector<scene::BodyTrace>* out) {
  scene::BodyTrace trace{name, body, {}, {}};
  const auto end_piece = [&] {
    if (trace.points.size() > 1) out->push_back(trace);
    trace.points.clear();
    trace.values.clear();
  };
  for (const auto& point : path.points) {
    const Point p = point.touching ? at(point.s_b) : Point(std::nan(""), 0);
    if (!std::isfinite(p.x()) || !std::isfinite(p.y())) {
      end_piece();
      continue;
    }
    trace.points.push_back(p);
    trace.values.push_back(point.normal);
  }
  end_piece();
}

}  // namespace

scene::SetUpMoment find_slow_moment(const action::Action& a, const run::StaticSample& s,
                                    const std::string& name) {
  scene::SetUpMoment out = find_moment(a, s.state.q, name, true);
  out.moment.dip = s.travel;
  planar::Scratch scratch(a.mechanism);
  scratch.q = s.state.q;
  a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
  const auto& groups = a.mechanism.groups();
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const int group = static_cast<int>(g);
    const auto c = analysis::find_slide_point(a.mechanism, s, group, scratch);
    if (!c.at_a_place) continue;
    const double sign = shown_sign(a, group);
    out.moment.contacts.push_back({groups[g], c.p, Point(sign * c.force), Point(sign * c.normal_force)});
  }
  for (const std::size_t i : drawing::find_centres(a.mechanism)) {
    const auto& pivot = a.mechanism.pivots[i];
    const Point at = scratch.poses[static_cast<std::size_t>(pivot.body)].o;
    bool known = false;  // two pins of one body, the key's, count together
    for (auto& centre : out.moment.centres)
      if ((centre.at - at).norm() < 1e-6) {
        centre.torque -= s.pivot_torque[i];
        known = true;
      }
    if (!known) out.moment.centres.push_back({pivot.name, at, -s.pivot_torque[i]});
  }
  return out;
}

std::vector<scene::BodyTrace> find_slow_traces(const scene::ActionShape& shape,
                                               const action::PathFacts& facts) {
  std::vector<scene::BodyTrace> out;
  const int wippen = index_of(shape, "wippen"), hammer = index_of(shape, "hammer");
  for (const auto& piece : shape.bodies[static_cast<std::size_t>(wippen)].pieces)
    if (piece.kind == scene::PieceKind::kHeelSurface)
      add_trace(
          "capstan on the heel cloth", wippen, facts.slides[0],
          [&](double x) { return Point(x, height_at(piece.points, x)); }, &out);
  for (const auto& round : shape.bodies[static_cast<std::size_t>(hammer)].rounds) {
    if (round.name != "knuckle") continue;
    const auto on_circle = [&](double s) {
      return Point(round.centre +
                   round.radius * Point(std::sin(s / round.radius), -std::cos(s / round.radius)));
    };
    add_trace("jack on the knuckle", hammer, facts.slides[1], on_circle, &out);
    add_trace("lever on the knuckle", hammer, facts.slides[2], on_circle, &out);
  }
  return out;
}

}  // namespace leverwright::model_scene
