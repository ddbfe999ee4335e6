#include "viz/scene/callouts.h"

#include <fmt/format.h>

#include <cmath>

#include "sim/base/units.h"

namespace leverwright::scene {

std::vector<Shape> dimension(const Point& a, const Point& b, double away, const std::string& words) {
  const double length = (b - a).norm();
  if (length <= 0) return {};
  const Point side = base::perp(b - a) / length;
  const Point from = a + away * side, to = b + away * side;
  const double over = 0.12 * away;  // extension lines run a little past the arrow
  const Stroke thin{Role::kInk, 0.15, {}};
  Label label;
  label.text = words.empty() ? fmt::format("{:.1f} mm", length) : words;
  label.at = 0.5 * (from + to);
  label.across = Across::kCentre;
  label.size = 2.8;
  double angle = std::atan2(b.y() - a.y(), b.x() - a.x()) / base::kDegree;
  if (angle > 90) angle -= 180;  // never upside down
  if (angle <= -90) angle += 180;
  label.angle_deg = angle;
  return {Path{"extension line", {a, from + over * side}, false, {}, thin},
          Path{"extension line", {b, to + over * side}, false, {}, thin},
          Arrow{"dimension", from, to, Stroke{Role::kInk, 0.2, {}}, 1.8, true}, label};
}

std::vector<Shape> force_arrow(const std::string& name, const Point& at, const Point& force,
                               double millimetres_per_newton, bool with_number, Role role) {
  if (force.norm() <= 0) return {};
  const Point tip = at + millimetres_per_newton * force;
  std::vector<Shape> out{Arrow{name, at, tip, Stroke{role, 0.5, {}}, 2.2, false}};
  if (!with_number) return out;
  Label label;
  label.text = fmt::format("{:.0f} gf", force.norm() / base::kGramForce);
  label.at = tip;
  label.offset = 2.2 * force.normalized();
  label.across = std::abs(force.x()) < 0.5 * std::abs(force.y()) ? Across::kCentre
                 : force.x() > 0                                 ? Across::kLeft
                                                                 : Across::kRight;
  label.size = 2.6;
  label.role = role;
  out.emplace_back(label);
  return out;
}

std::vector<Shape> turning_arrow(const std::string& name, const Point& about, bool anticlockwise, Role role) {
  constexpr double kRadius = 3.4, kHead = 1.7;
  const double from = 0.25 * base::kPi, to = 1.75 * base::kPi;  // open towards the right
  const double end = anticlockwise ? to : from, way = anticlockwise ? 1 : -1;
  const Point out(std::cos(end), std::sin(end)), along(way * base::perp(out));
  const Point foot = about + kRadius * out;
  return {Arc{name, about, kRadius, from, to, Stroke{role, 0.4, {}}},
          Path{name + ", head",
               {foot + kHead * along, foot + 0.5 * kHead * out, foot - 0.5 * kHead * out},
               true,
               Fill{role, 1},
               std::nullopt}};
}

std::vector<Shape> note(const std::string& words, const Point& about, const Point& words_at) {
  Label label;
  label.text = words;
  label.at = words_at;
  label.across = words_at.x() < about.x() ? Across::kRight : Across::kLeft;
  label.offset = Point(words_at.x() < about.x() ? -0.8 : 0.8, 0);
  return {Path{"note line", {about, words_at}, false, {}, Stroke{Role::kInk, 0.15, {}}},
          Mark{"note", about, MarkKind::kDot, 0.7, Role::kInk}, label};
}

}  // namespace leverwright::scene
