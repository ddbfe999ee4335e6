#include "viz/scene/part_overlay.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "viz/scene/compress.h"

namespace leverwright::scene {
namespace {

const char* const kContact = "capstan contact";  // where the two meet: no property of a part alone

int find_body(const ActionShape& shape, const std::string& name) {
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    if (shape.bodies[b].name == name) return static_cast<int>(b);
  return -1;
}

// A point of W in the frame of a pose, with the pivot at the origin; mm.
Point seen_from(const Pose& pose, const Point& pivot, const Point& in_w) {
  const double c = std::cos(pose.theta), s = std::sin(pose.theta), dx = in_w.x() - pose.x,
               dy = in_w.y() - pose.y;
  return to_millimetres(Point(c * dx + s * dy, -s * dx + c * dy) - pivot);
}

struct Part {  // of one set-up
  const SetUpMoment& set_up;
  const BodyShape* body = nullptr;
  Pose pose;
  Point pivot{0, 0};
  Part(const SetUpMoment& s, const std::string& name) : set_up(s) {
    const int b = find_body(s.shape, name);
    if (b < 0) return;
    body = &s.shape.bodies[static_cast<size_t>(b)];
    pose = s.moment.poses[static_cast<size_t>(b)];
    pivot = body->pivot.value_or(Point(0, 0));
  }
  std::vector<Point> own(const std::vector<Point>& points) const {
    std::vector<Point> out;
    for (const Point& p : points) out.push_back(to_millimetres(p - pivot));
    return out;
  }
  // Of a piece of another body, at this moment, seen from this part.
  std::optional<std::vector<Point>> other(PieceKind kind) const {
    for (size_t b = 0; b < set_up.shape.bodies.size(); ++b)
      for (const Piece& piece : set_up.shape.bodies[b].pieces) {
        if (piece.kind != kind) continue;
        std::vector<Point> out;
        for (const Point& p : piece.points)
          out.push_back(seen_from(pose, pivot, place(set_up.moment.poses[b], p)));
        return out;
      }
    return std::nullopt;
  }
};

Point top_of(const std::vector<Point>& points) {
  return *std::max_element(points.begin(), points.end(),
                           [](const Point& a, const Point& b) { return a.y() < b.y(); });
}
Point foot_of(const std::vector<Point>& points) {
  return *std::min_element(points.begin(), points.end(),
                           [](const Point& a, const Point& b) { return a.y() < b.y(); });
}
Point middle_of(const std::vector<Point>& points) {
  Box box;
  for (const Point& p : points) box = include(box, p);
  return box.centre();
}

using Named = std::vector<std::pair<std::string, Point>>;

Named find_points(const Part& part, const std::string& name) {
  Named out;
  const ActionShape& shape = part.set_up.shape;
  if (name == "wippen")
    for (const char* rider : {"jack", "repetition lever"}) {
      const int b = find_body(shape, rider);
      if (b < 0 || !shape.bodies[static_cast<size_t>(b)].pivot) continue;
      const Point in_w = place(part.set_up.moment.poses[static_cast<size_t>(b)],
                               *shape.bodies[static_cast<size_t>(b)].pivot);
      out.emplace_back(std::string(rider) + " centre", seen_from(part.pose, part.pivot, in_w));
    }
  if (name == "wippen" || name == "key")
    for (const ContactSign& c : part.set_up.moment.contacts)
      if (c.name == "capstan on heel cloth")
        out.emplace_back(kContact, seen_from(part.pose, part.pivot, c.at));
  for (const Piece& piece : part.body->pieces) {
    const std::vector<Point> points = part.own(piece.points);
    if (points.empty()) continue;
    if (piece.kind == PieceKind::kCap) out.emplace_back("capstan, middle", middle_of(points));
    if (piece.kind == PieceKind::kHeelSurface) out.emplace_back("heel, lowest place", foot_of(points));
    if (name == "hammer" && piece.name == "hammer") {
      out.emplace_back("crown", top_of(points));
      out.emplace_back("tail", foot_of(points));
    }
  }
  for (const RoundPiece& round : part.body->rounds)
    out.emplace_back(round.name + ", middle", part.own({round.centre}).front());
  return out;
}

void add_part(const Part& part, bool filled, std::vector<Shape>* out) {
  const Stroke other{set_up_role(1), 0.45, set_up_dash(1)};
  for (const Piece& piece : part.body->pieces) {
    const bool closed = piece.kind == PieceKind::kSolid || piece.kind == PieceKind::kCap;
    Path path{
        part.set_up.name + ": " + piece.name, part.own(piece.points), closed, {}, filled ? Stroke{} : other};
    if (filled && closed) path.fill = Fill{piece.role, 1};
    out->push_back(std::move(path));
  }
  for (const RoundPiece& round : part.body->rounds) {
    Circle circle{part.set_up.name + ": " + round.name,
                  part.own({round.centre}).front(),
                  1e3 * round.radius,
                  {},
                  filled ? Stroke{} : other};
    if (filled) circle.fill = Fill{round.role, 1};
    out->push_back(std::move(circle));
  }
}

std::string signed_mm(double v) { return fmt::format("{:+.1f}", std::abs(v) < 0.05 ? 0.0 : v); }

}  // namespace

std::vector<PartPoint> find_part_points(const SetUpMoment& first, const SetUpMoment& second,
                                        const std::string& part) {
  const Part a(first, part), b(second, part);
  std::vector<PartPoint> out;
  if (a.body == nullptr || b.body == nullptr) return out;
  Named of_b = find_points(b, part);
  for (const auto& [name, at] : find_points(a, part)) {
    const std::string& wanted = name;
    const auto found =
        std::find_if(of_b.begin(), of_b.end(), [&](const auto& p) { return p.first == wanted; });
    if (found == of_b.end()) continue;
    out.push_back({name, at, found->second});
    of_b.erase(found);  // several of one name (leads) pair in their order
  }
  return out;
}

double find_part_difference(const SetUpMoment& first, const SetUpMoment& second, const std::string& part) {
  const Part a(first, part), b(second, part);
  double most = 0;
  if (a.body == nullptr || b.body == nullptr) return 0;
  for (const PartPoint& p : find_part_points(first, second, part))
    if (p.name != kContact) most = std::max(most, p.change().norm());
  const size_t n = std::min(a.body->pieces.size(), b.body->pieces.size());
  for (size_t k = 0; k < n; ++k) {
    const Piece &piece = a.body->pieces[k], &other = b.body->pieces[k];
    if (piece.name != other.name || other.points.size() < 3) continue;
    const std::vector<Point> outline = b.own(other.points);
    for (const Point& p : a.own(piece.points)) most = std::max(most, find_nearest(outline, p).distance);
  }
  return most;
}

Scene build_part_overlay(const SetUpMoment& first, const SetUpMoment& second, const std::string& part,
                         const std::string& title) {
  const Part a(first, part), b(second, part);
  Scene scene;
  scene.title = (title.empty() ? "" : title + ": ") + part + ", pivots together";
  scene.clock = first.moment.name;
  if (a.body == nullptr || b.body == nullptr) return scene;
  add_part(a, true, &scene.shapes);
  add_part(b, false, &scene.shapes);
  scene.view = grown(bounds(scene.shapes), part == "key" ? 14 : 8);
  scene.scale_bar = scene.view.width() > 250 ? 50 : 20;
  scene.shapes.push_back(Mark{"pivot", {0, 0}, MarkKind::kPivot, 2.2, Role::kInk});
  scene.legend.push_back({first.name, set_up_role(0), {}, true, 0});
  scene.legend.push_back({second.name, set_up_role(1), set_up_dash(1), true, 0});
  int named = 0;
  for (const PartPoint& p : find_part_points(first, second, part)) {
    scene.shapes.push_back(Mark{p.name, p.first, MarkKind::kDot, 1.2, Role::kContact});
    const Point d = p.change();
    if (d.norm() < kPartDifference) continue;
    scene.shapes.push_back(Mark{p.name, p.second, MarkKind::kDiamond, 1.6, set_up_role(1)});
    scene.shapes.push_back(Arrow{p.name, p.first, p.second, Stroke{Role::kContact, 0.4, {}}, 1.6, false});
    Label label;
    label.text = fmt::format("{} {:.1f} mm", p.name, d.norm());
    label.at = p.second;
    label.size = 2.8;
    label.automatic = true;
    scene.shapes.push_back(std::move(label));
    scene.notes.push_back(
        fmt::format("{}: {} mm towards the strings, {} mm up", p.name, signed_mm(d.x()), signed_mm(d.y())));
    ++named;
  }
  if (named == 0)
    scene.notes.push_back(fmt::format("No point differs by more than {:g} mm.", kPartDifference));

  // Heel and capstan enlarged, where this part has one of them.
  const PieceKind own = part == "wippen" ? PieceKind::kHeelSurface : PieceKind::kCap,
                  mate = part == "wippen" ? PieceKind::kCap : PieceKind::kHeelSurface;
  const auto mine = a.other(own), meets_a = a.other(mate), meets_b = b.other(mate);
  if ((part == "wippen" || part == "key") && mine && meets_a && meets_b) {
    Inset inset;
    const Point middle = part == "wippen" ? top_of(*meets_a) : top_of(*mine);
    const double half_w = 12, half_h = 7, enlarged = part == "wippen" ? 4 : 10;
    inset.from = {middle.x() - half_w, middle.y() - half_h, middle.x() + half_w, middle.y() + half_h};
    const double width = 2 * half_w * enlarged, height = 2 * half_h * enlarged;
    const double top = scene.view.y1;
    scene.view.y1 += height + 10;
    inset.to = {scene.view.x0, top + 10, scene.view.x0 + width, top + 10 + height};
    scene.view.x1 = std::max(scene.view.x1, inset.to.x1);
    inset.title = fmt::format("heel and capstan, {:g} times enlarged", enlarged);
    add_part(a, true, &inset.shapes);
    inset.shapes.push_back(
        Path{first.name + ": mate", *meets_a, mate == PieceKind::kCap, {}, Stroke{set_up_role(0), 0.45, {}}});
    add_part(b, false, &inset.shapes);
    inset.shapes.push_back(Path{second.name + ": mate",
                                *meets_b,
                                mate == PieceKind::kCap,
                                {},
                                Stroke{set_up_role(1), 0.45, set_up_dash(1)}});
    for (const PartPoint& p : find_part_points(first, second, part))
      if (p.name == kContact) {
        inset.shapes.push_back(Mark{p.name, p.first, MarkKind::kDot, 1.8, Role::kContact});
        inset.shapes.push_back(Mark{p.name, p.second, MarkKind::kDiamond, 2.2, set_up_role(1)});
        if (p.change().norm() >= kPartDifference) {
          inset.shapes.push_back(
              Arrow{p.name, p.first, p.second, Stroke{Role::kContact, 0.4, {}}, 1.8, false});
          Label label;
          // The greater part of the change and its way; both stand in the note below.
          const Point d = p.change();
          label.text = std::abs(d.x()) >= std::abs(d.y())
                           ? fmt::format("{} mm", signed_mm(d.x()))
                           : fmt::format("{:.1f} mm {}", std::abs(d.y()), d.y() > 0 ? "up" : "down");
          label.at = p.second;
          label.offset = Point(0, -4);
          label.across = Across::kCentre;
          label.size = 2.8;
          inset.shapes.push_back(std::move(label));
        }
      }
    scene.insets.push_back(std::move(inset));
  }
  return scene;
}

}  // namespace leverwright::scene
