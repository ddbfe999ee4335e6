#include "viz/scene/action_scene.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

#include "viz/scene/callouts.h"
#include "viz/scene/inside.h"

namespace leverwright::scene {
namespace {

std::vector<Point> placed(const Pose& pose, const std::vector<Point>& points) {
  std::vector<Point> out;
  out.reserve(points.size());
  for (const Point& p : points) out.push_back(to_millimetres(place(pose, p)));
  return out;
}

bool is_line(PieceKind kind) { return kind == PieceKind::kLine || kind == PieceKind::kHeelSurface; }

void add_bodies(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  for (size_t b = 0; b < shape.bodies.size(); ++b) {
    const Pose& pose = moment.poses[b];
    for (const Piece& piece : shape.bodies[b].pieces) {
      Path path{piece.name, placed(pose, piece.points), !is_line(piece.kind), {}, Stroke{}};
      if (is_line(piece.kind))
        path.stroke = Stroke{piece.kind == PieceKind::kLine ? piece.role : Role::kInk, 0.35, {}};
      else
        path.fill = Fill{piece.role, 1};
      out.push_back(std::move(path));
    }
    for (const RoundPiece& round : shape.bodies[b].rounds)
      out.push_back(Circle{round.name, to_millimetres(place(pose, round.centre)), 1e3 * round.radius,
                           Fill{round.role, 1}, Stroke{}});
  }
}

// A spring is a zigzag of fixed pitch between its two ends.
void add_springs(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  constexpr int kTurns = 9;
  for (const SpringShape& spring : shape.springs) {
    const Point a = to_millimetres(place(moment.poses[static_cast<size_t>(spring.body_a)], spring.on_a));
    const Point b = to_millimetres(place(moment.poses[static_cast<size_t>(spring.body_b)], spring.on_b));
    const Point side = (b - a).norm() > 0 ? Point(1.1 * base::perp(b - a).normalized()) : Point(0, 0);
    Path path{spring.name, {a}, false, {}, Stroke{Role::kString, 0.25, {}}};
    for (int i = 1; i < kTurns; ++i)
      path.points.push_back(a + (b - a) * (static_cast<double>(i) / kTurns) +
                            (i % 2 == 0 ? 1.0 : -1.0) * side);
    path.points.push_back(b);
    out.push_back(std::move(path));
  }
}

void add_pivots(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    if (shape.bodies[b].pivot)
      out.push_back(Mark{shape.bodies[b].name + " centre",
                         to_millimetres(place(moment.poses[b], *shape.bodies[b].pivot)), MarkKind::kPivot,
                         1.7, Role::kInk});
}

const BodyShape* find_body(const ActionShape& shape, const std::string& name, size_t* index) {
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    if (shape.bodies[b].name == name) {
      *index = b;
      return &shape.bodies[b];
    }
  return nullptr;
}

void add_line_of_centres(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  size_t k = 0, p = 0;
  const BodyShape* key = find_body(shape, "key", &k);
  const BodyShape* wippen = find_body(shape, "wippen", &p);
  if (key == nullptr || wippen == nullptr || !key->pivot || !wippen->pivot) return;
  out.push_back(Path{"line of centres",
                     {to_millimetres(place(moment.poses[k], *key->pivot)),
                      to_millimetres(place(moment.poses[p], *wippen->pivot))},
                     false,
                     {},
                     Stroke{Role::kLine, 0.25, {10, 3, 2, 3}}});
}

void add_traces(const ActionMoment& moment, std::vector<Shape>& out) {
  for (const BodyTrace& trace : moment.traces) {
    if (trace.points.size() < 2) continue;
    assert(trace.points.size() == trace.values.size());
    const auto range = std::minmax_element(trace.values.begin(), trace.values.end());
    out.push_back(Trace{trace.name, placed(moment.poses[static_cast<size_t>(trace.body)], trace.points),
                        trace.values, *range.first, *range.second, 0.9});
  }
}

void add_contacts(const ActionMoment& moment, const ActionSceneOptions& options, std::vector<Shape>& out) {
  for (const ContactSign& c : moment.contacts) {
    const Point at = to_millimetres(c.at);
    if (options.forces && c.force.norm() > options.force_floor)
      for (Shape& shape : force_arrow(c.name + " force", at, c.force, options.millimetres_per_newton, false))
        out.push_back(std::move(shape));
    out.push_back(Mark{c.name, at, MarkKind::kDot, 1.3, Role::kContact});
  }
}

void add_labels(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    for (const Piece& piece : shape.bodies[b].pieces) {
      if (!piece.labelled) continue;
      Label label;
      label.text = piece.name;
      label.at = find_inner_point(placed(moment.poses[b], piece.points));
      label.size = 2.8;
      label.automatic = true;
      out.push_back(std::move(label));
    }
}

std::string clock_text(const ActionMoment& moment) {
  std::string text = moment.name;
  text += fmt::format("{}dip {:.1f} mm", text.empty() ? "" : ", ", 1e3 * moment.dip);
  if (moment.time) text += fmt::format(", {:.1f} ms", 1e3 * *moment.time);
  return text;
}

}  // namespace

Point place(const Pose& pose, const Point& p) {
  const double c = std::cos(pose.theta), s = std::sin(pose.theta);
  return {pose.x + c * p.x() - s * p.y(), pose.y + s * p.x() + c * p.y()};
}

Point to_millimetres(const Point& metres) { return 1e3 * metres; }

Scene build_action_scene(const ActionShape& shape, const ActionMoment& moment,
                         const ActionSceneOptions& options) {
  assert(moment.poses.size() == shape.bodies.size());
  Scene scene;
  scene.title = options.title;
  scene.clock = clock_text(moment);
  scene.scale_bar = options.scale_bar;
  add_bodies(shape, moment, scene.shapes);
  scene.view = options.view ? *options.view : grown(bounds(scene.shapes), 4);
  add_springs(shape, moment, scene.shapes);
  add_line_of_centres(shape, moment, scene.shapes);
  add_traces(moment, scene.shapes);
  add_pivots(shape, moment, scene.shapes);
  add_contacts(moment, options, scene.shapes);
  if (options.labels) add_labels(shape, moment, scene.shapes);
  scene.legend.push_back({"line of centres", Role::kLine, {10, 3, 2, 3}, true});
  if (options.forces && !moment.contacts.empty())
    scene.notes.push_back(fmt::format("force arrows: {:g} mm of the scale bar stand for 1 N (102 gf)",
                                      options.millimetres_per_newton));
  return scene;
}

Box find_heel_region(const ActionShape& shape, const ActionMoment& moment, double half_width,
                     double half_height) {
  Box cap;
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    for (const Piece& piece : shape.bodies[b].pieces)
      if (piece.kind == PieceKind::kCap)
        for (const Point& p : placed(moment.poses[b], piece.points)) cap = include(cap, p);
  if (cap.empty()) return cap;
  const Point middle(cap.centre().x(), cap.y1);  // the top of the cap
  return {middle.x() - half_width, middle.y() - half_height, middle.x() + half_width,
          middle.y() + half_height};
}

std::vector<Shape> build_heel_overlay(const std::vector<SetUpMoment>& set_ups) {
  std::vector<Shape> out;
  if (set_ups.empty()) return out;
  add_bodies(set_ups.front().shape, set_ups.front().moment, out);
  add_line_of_centres(set_ups.front().shape, set_ups.front().moment, out);
  for (size_t i = 0; i < set_ups.size(); ++i) {
    const SetUpMoment& s = set_ups[i];
    const int index = static_cast<int>(i);
    const Stroke line{set_up_role(index), 0.55, set_up_dash(index)};
    for (size_t b = 0; b < s.shape.bodies.size(); ++b)
      for (const Piece& piece : s.shape.bodies[b].pieces)
        if (piece.kind == PieceKind::kCap || piece.kind == PieceKind::kHeelSurface)
          out.push_back(Path{s.name + ": " + piece.name,
                             placed(s.moment.poses[b], piece.points),
                             piece.kind == PieceKind::kCap,
                             {},
                             line});
  }
  for (size_t i = 0; i < set_ups.size(); ++i)
    for (const ContactSign& c : set_ups[i].moment.contacts)
      if (c.name == "capstan on heel cloth")
        out.push_back(Mark{set_ups[i].name + ": contact", to_millimetres(c.at), MarkKind::kDiamond, 2.4,
                           set_up_role(static_cast<int>(i))});
  return out;
}

Scene build_overlay_scene(const std::vector<SetUpMoment>& set_ups, const ActionSceneOptions& options,
                          double magnification) {
  assert(!set_ups.empty() && magnification > 1);
  Scene scene = build_action_scene(set_ups.front().shape, set_ups.front().moment, options);
  Inset inset;
  inset.from = find_heel_region(set_ups.front().shape, set_ups.front().moment, 12, 7);
  if (inset.from.empty()) return scene;
  // The corner above the keys on the player's side is empty in every grand action.
  const double w = magnification * inset.from.width(), h = magnification * inset.from.height();
  scene.view.y1 = std::max(scene.view.y1, inset.from.y1 + h);
  inset.to = {scene.view.x0, scene.view.y1 - h, scene.view.x0 + w, scene.view.y1};
  inset.title = fmt::format("heel and capstan, {:g} times enlarged", magnification);
  inset.shapes = build_heel_overlay(set_ups);
  scene.insets.push_back(std::move(inset));
  for (size_t i = 0; i < set_ups.size(); ++i)
    scene.legend.push_back(
        {set_ups[i].name, set_up_role(static_cast<int>(i)), set_up_dash(static_cast<int>(i)), true});
  return scene;
}

}  // namespace leverwright::scene
