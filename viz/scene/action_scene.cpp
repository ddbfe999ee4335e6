#include "viz/scene/action_scene.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

#include "sim/base/units.h"
#include "viz/scene/callouts.h"
#include "viz/scene/compress.h"
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

void add_bodies(const ActionShape& shape, const ActionMoment& moment, bool compress,
                std::vector<Shape>& out) {
  std::vector<int> owners;
  for (size_t b = 0; b < shape.bodies.size(); ++b) {
    const Pose& pose = moment.poses[b];
    for (const Piece& piece : shape.bodies[b].pieces) {
      if (piece.shown == Shown::kSolid) continue;
      Path path{piece.name, place_piece(piece, pose, moment.string_rise), !is_line(piece.kind), {}, Stroke{}};
      if (is_line(piece.kind))
        path.stroke = Stroke{piece.kind == PieceKind::kLine ? piece.role : Role::kInk, 0.35, {}};
      else
        path.fill = Fill{piece.role, 1};
      out.push_back(std::move(path));
      owners.push_back(static_cast<int>(b));
    }
    for (const RoundPiece& round : shape.bodies[b].rounds) {
      out.push_back(Circle{round.name, to_millimetres(place(pose, round.centre)), 1e3 * round.radius,
                           Fill{round.role, 1}, Stroke{}});
      owners.push_back(static_cast<int>(b));
    }
  }
  if (compress) press_soft_shapes(&out, owners);
}

void add_springs(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  for (const SpringShape& spring : shape.springs)
    out.push_back(Path{spring.name,
                       place_spring(spring, moment.poses),
                       false,
                       {},
                       spring.straight ? Stroke{Role::kMetal, 0.35, {}} : Stroke{Role::kString, 0.25, {}}});
}

void add_centre_friction(const ActionMoment& moment, const ActionSceneOptions& options,
                         std::vector<Shape>& out) {
  if (!options.forces) return;
  for (const CentreSign& c : moment.centres)
    if (std::abs(c.torque) > options.torque_floor)
      for (Shape& s :
           turning_arrow(c.name + " friction", to_millimetres(c.at), c.torque > 0, Role::kFriction))
        out.push_back(std::move(s));
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

void add_line_of_centres(const ActionShape& shape, const ActionMoment& moment, const char* from,
                         const char* to, std::vector<Shape>& out) {
  size_t a = 0, b = 0;
  const BodyShape* first = find_body(shape, from, &a);
  const BodyShape* second = find_body(shape, to, &b);
  if (first == nullptr || second == nullptr || !first->pivot || !second->pivot) return;
  out.push_back(Path{"line of centres",
                     {to_millimetres(place(moment.poses[a], *first->pivot)),
                      to_millimetres(place(moment.poses[b], *second->pivot))},
                     false,
                     {},
                     Stroke{Role::kLine, 0.25, {10, 3, 2, 3}}});
}

void add_lines_of_centres(const ActionShape& shape, const ActionMoment& moment, std::vector<Shape>& out) {
  add_line_of_centres(shape, moment, "key", "wippen", out);
  add_line_of_centres(shape, moment, "wippen", "hammer", out);
}

// All traces of a moment share one scale of colours, from zero.
double find_trace_high(const ActionMoment& moment) {
  double high = 0;
  for (const BodyTrace& trace : moment.traces)
    for (const double v : trace.values) high = std::max(high, v);
  return high;
}

void add_traces(const ActionMoment& moment, double width, std::vector<Shape>& out, double wanted_high = 0) {
  const double high = wanted_high > 0 ? wanted_high : find_trace_high(moment);
  for (const BodyTrace& trace : moment.traces) {
    if (trace.points.size() < 2) continue;
    assert(trace.points.size() == trace.values.size());
    out.push_back(Trace{trace.name, placed(moment.poses[static_cast<size_t>(trace.body)], trace.points),
                        trace.values, 0, high, width});
  }
}

bool is_on_pivot(const ActionShape& shape, const ActionMoment& moment, const Point& at) {
  constexpr double kNear = 0.2;  // mm
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    if (shape.bodies[b].pivot &&
        (to_millimetres(place(moment.poses[b], *shape.bodies[b].pivot)) - at).norm() < kNear)
      return true;
  return false;
}

void add_contacts(const ActionShape& shape, const ActionMoment& moment, const ActionSceneOptions& options,
                  double scale, std::vector<Shape>& out) {
  const auto add_arrow = [&](const std::string& name, const Point& at, const Point& force, Role role) {
    const double times = role == Role::kFriction ? options.friction_times : 1;
    if (!options.forces || force.norm() <= options.force_floor / times) return;
    for (Shape& arrow : force_arrow(name, at, force, times * scale, false, role))
      out.push_back(std::move(arrow));
  };
  for (const ContactSign& c : moment.contacts) {
    const Point at = to_millimetres(c.at);
    if (is_on_pivot(shape, moment, at)) continue;
    add_arrow(c.name + (c.normal ? " normal force" : " force"), at, c.normal ? *c.normal : c.force,
              Role::kForce);
    if (c.normal) add_arrow(c.name + " friction", at, c.force - *c.normal, Role::kFriction);
    out.push_back(Mark{c.name, at, MarkKind::kDot, 1.3, Role::kContact});
  }
}

void add_labels(const ActionShape& shape, const ActionMoment& moment, bool every_name,
                std::vector<Shape>& out) {
  static const std::vector<std::string> kFew{"key",         "capstan",          "heel",       "wippen",
                                             "jack",        "repetition lever", "knuckle",    "hammer",
                                             "back check",  "let-off button",   "drop screw", "string",
                                             "jack button", "rest cushion",     "damper"};
  const auto add = [&](const std::string& words, const Point& at) {
    if (words.empty() || (!every_name && std::find(kFew.begin(), kFew.end(), words) == kFew.end())) return;
    Label label;
    label.text = words;
    label.at = at;
    label.size = 2.8;
    label.automatic = true;
    out.push_back(std::move(label));
  };
  for (size_t b = 0; b < shape.bodies.size(); ++b) {
    for (const Piece& piece : shape.bodies[b].pieces) {
      if (piece.label.empty()) continue;
      const std::vector<Point> points = placed(moment.poses[b], piece.points);
      add(piece.label, is_line(piece.kind) ? points.front() : find_inner_point(points));
    }
    for (const RoundPiece& round : shape.bodies[b].rounds)
      add(round.label, to_millimetres(place(moment.poses[b], round.centre)));
  }
}

constexpr double kTraceWidth = 0.9, kInsetTraceWidth = 1.4;  // mm on paper

// An arrow of a round number of newtons for each kind of force shown.
void add_force_key(const ActionMoment& moment, const ActionSceneOptions& options, double scale,
                   Scene* scene) {
  if (!options.forces || moment.contacts.empty()) return;
  double newtons = 1;  // 8 to 40 mm of the action plane
  while (newtons * scale > 40) newtons *= 0.5;
  while (newtons * scale < 8) newtons *= 2;
  const bool split = std::any_of(moment.contacts.begin(), moment.contacts.end(),
                                 [](const ContactSign& c) { return c.normal.has_value(); });
  scene->legend.push_back({fmt::format("{} {:g} N ({:.0f} gf)", split ? "normal force" : "force", newtons,
                                       newtons / base::kGramForce),
                           Role::kForce,
                           {},
                           true,
                           newtons * scale});
  if (split)
    scene->legend.push_back(
        {fmt::format(
             "friction {:g} N{} (about a centre: its way only)", newtons / options.friction_times,
             options.friction_times > 1 ? fmt::format(", {:g} times the scale", options.friction_times) : ""),
         Role::kFriction,
         {},
         true,
         newtons * scale});
  scene->legend.push_back({"contact", Role::kContact, {}, false, 0});
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

std::vector<Point> place_piece(const Piece& piece, const Pose& pose, double string_rise) {
  std::vector<Point> out = placed(pose, piece.points);
  for (size_t k = 0; k < out.size() && k < piece.yields.size(); ++k)
    out[k] += to_millimetres(Point(0, string_rise * piece.yields[k]));
  return out;
}

// A spring is a zigzag of a fixed number of turns between its two ends, a wire the line between them.
std::vector<Point> spring_line(bool straight, double length) {
  if (straight) return {Point(0, 0), Point(length, 0)};
  constexpr int kTurns = 9;
  constexpr double kSide = 1.1;  // mm
  std::vector<Point> out{Point(0, 0)};
  for (int i = 1; i < kTurns; ++i) out.emplace_back(length * i / kTurns, i % 2 == 0 ? kSide : -kSide);
  out.emplace_back(length, 0);
  return out;
}

std::vector<Point> place_spring(const SpringShape& spring, const std::vector<Pose>& poses) {
  const Point a = to_millimetres(place(poses[static_cast<size_t>(spring.body_a)], spring.on_a));
  const Point b = to_millimetres(place(poses[static_cast<size_t>(spring.body_b)], spring.on_b));
  const double length = (b - a).norm();
  if (!(length > 0)) return {a, b};
  const Point along = (b - a) / length;
  std::vector<Point> out;
  for (const Point& p : spring_line(spring.straight, length))
    out.push_back(a + p.x() * along + p.y() * base::perp(along));
  return out;
}

double find_force_scale(const std::vector<ContactSign>& contacts) {
  double most = 0;
  for (const ContactSign& c : contacts) most = std::max(most, c.force.norm());
  if (!(most > 0)) return 1;
  const double wanted = 30 / most, power = std::pow(10, std::floor(std::log10(wanted)));
  return power * (wanted / power >= 5 ? 5 : wanted / power >= 2 ? 2 : 1);
}

Scene build_action_scene(const ActionShape& shape, const ActionMoment& moment,
                         const ActionSceneOptions& options) {
  assert(moment.poses.size() == shape.bodies.size());
  Scene scene;
  scene.title = options.title;
  scene.clock = clock_text(moment);
  scene.scale_bar = options.scale_bar;
  add_bodies(shape, moment, options.compress, scene.shapes);
  scene.view = options.view ? *options.view : grown(bounds(scene.shapes), 4);
  if (options.bodies)
    add_springs(shape, moment, scene.shapes);
  else
    scene.shapes.clear();
  add_lines_of_centres(shape, moment, scene.shapes);
  add_traces(moment, kTraceWidth, scene.shapes, options.trace_high);
  add_pivots(shape, moment, scene.shapes);
  const double force_scale =
      options.millimetres_per_newton > 0 ? options.millimetres_per_newton : find_force_scale(moment.contacts);
  add_contacts(shape, moment, options, force_scale, scene.shapes);
  add_centre_friction(moment, options, scene.shapes);
  if (options.labels) add_labels(shape, moment, options.every_name, scene.shapes);
  scene.legend.push_back({"line of centres", Role::kLine, {10, 3, 2, 3}, true, 0});
  add_force_key(moment, options, force_scale, &scene);
  if (!options.trace_words.empty() && find_trace_high(moment) > 0)
    scene.value_legend = ValueLegend{options.trace_words, 0, find_trace_high(moment)};
  return scene;
}

std::vector<Shape> build_close_up(const ActionShape& shape, const ActionMoment& moment,
                                  const ActionSceneOptions& options) {
  std::vector<Shape> out;
  add_bodies(shape, moment, options.compress, out);
  add_lines_of_centres(shape, moment, out);
  add_traces(moment, kInsetTraceWidth, out, options.trace_high);
  add_contacts(
      shape, moment, options,
      options.millimetres_per_newton > 0 ? options.millimetres_per_newton : find_force_scale(moment.contacts),
      out);
  return out;
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
  add_bodies(set_ups.front().shape, set_ups.front().moment, true, out);
  add_lines_of_centres(set_ups.front().shape, set_ups.front().moment, out);
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
  add_traces(set_ups.front().moment, kInsetTraceWidth, out);
  for (size_t i = 0; i < set_ups.size(); ++i)
    for (const ContactSign& c : set_ups[i].moment.contacts)
      if (c.name == "capstan on heel cloth")
        out.push_back(Mark{set_ups[i].name + ": contact", to_millimetres(c.at), MarkKind::kDiamond, 2.0,
                           set_up_role(static_cast<int>(i))});
  return out;
}

namespace {

const RoundPiece* find_knuckle(const ActionShape& shape, size_t* body) {
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    for (const RoundPiece& round : shape.bodies[b].rounds)
      if (round.name == "knuckle") {
        *body = b;
        return &round;
      }
  return nullptr;
}

// The knuckle enlarged, right of `beside`, unless it would hide the stack.
void add_knuckle_inset(const SetUpMoment& set_up, const ActionSceneOptions& options, double magnification,
                       const Box& beside, Scene* scene) {
  size_t body = 0;
  const RoundPiece* knuckle = find_knuckle(set_up.shape, &body);
  if (knuckle == nullptr) return;
  Inset inset;
  inset.from = find_knuckle_region(set_up.shape, set_up.moment, 8, 7);
  const double w = magnification * inset.from.width(), h = magnification * inset.from.height();
  const double gap = 8;
  inset.to = {beside.x1 + gap, beside.y1 - h, beside.x1 + gap + w, beside.y1};
  double stack = INFINITY;  // where the wippen and what it carries begin
  for (size_t b = 1; b < set_up.shape.bodies.size(); ++b) {
    if (set_up.shape.bodies[b].name == "key") continue;
    for (const Piece& piece : set_up.shape.bodies[b].pieces)
      for (const Point& p : placed(set_up.moment.poses[b], piece.points)) stack = std::min(stack, p.x());
  }
  if (inset.to.x1 + gap > stack) return;
  inset.title = fmt::format("knuckle, {:g} times", magnification);
  ActionSceneOptions marks_only = options;
  marks_only.forces = false;
  marks_only.compress = true;
  inset.shapes = build_close_up(set_up.shape, set_up.moment, marks_only);
  scene->insets.push_back(std::move(inset));
}

}  // namespace

Box find_knuckle_region(const ActionShape& shape, const ActionMoment& moment, double half_width,
                        double half_height) {
  size_t body = 0;
  const RoundPiece* knuckle = find_knuckle(shape, &body);
  if (knuckle == nullptr) return {};
  const Point middle = to_millimetres(place(moment.poses[body], knuckle->centre)) - Point(0, 2);
  return {middle.x() - half_width, middle.y() - half_height, middle.x() + half_width,
          middle.y() + half_height};
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
  const Box beside = inset.to;
  scene.insets.push_back(std::move(inset));
  add_knuckle_inset(set_ups.front(), options, 0.75 * magnification, beside, &scene);
  for (size_t i = 0; i < set_ups.size(); ++i)
    scene.legend.push_back(
        {set_ups[i].name, set_up_role(static_cast<int>(i)), set_up_dash(static_cast<int>(i)), true, 0});
  return scene;
}

}  // namespace leverwright::scene
