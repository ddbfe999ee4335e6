#include "viz/scene/compress.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "sim/base/units.h"
#include "viz/scene/inside.h"

namespace leverwright::scene {
namespace {

constexpr double kStep = 0.15;  // mm, between points of a soft outline

bool is_soft(Role role) { return role == Role::kFelt || role == Role::kLeather; }

bool apart(const Box& a, const Box& b) { return a.x1 < b.x0 || b.x1 < a.x0 || a.y1 < b.y0 || b.y1 < a.y0; }

// The jack stands in the lever's window, between what the lever carries: seen from the side they cross.
bool pass_beside(const std::string& hard, const std::string& soft) {
  return hard == "jack" && soft == "drop leather";
}

double signed_area(const std::vector<Point>& outline) {
  double twice = 0;
  for (size_t i = 0; i < outline.size(); ++i)
    twice += base::cross(outline[i], outline[(i + 1) % outline.size()]);
  return 0.5 * twice;
}

}  // namespace

std::vector<Point> refine(const std::vector<Point>& outline, bool closed, double step) {
  std::vector<Point> out;
  const size_t n = outline.size();
  for (size_t i = 0; i < n; ++i) {
    out.push_back(outline[i]);
    if (!closed && i + 1 == n) break;
    const Point& a = outline[i];
    const Point& b = outline[(i + 1) % n];
    const int pieces = static_cast<int>(std::ceil((b - a).norm() / step));
    for (int k = 1; k < pieces; ++k) out.push_back(a + (b - a) * (static_cast<double>(k) / pieces));
  }
  return out;
}

NearestPoint find_nearest(const std::vector<Point>& outline, const Point& p) {
  NearestPoint best;
  double least = INFINITY;
  Point side(0, 0);
  for (size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline[i];
    const Point d = outline[(i + 1) % outline.size()] - a;
    const double along = d.squaredNorm() > 0 ? std::clamp((p - a).dot(d) / d.squaredNorm(), 0.0, 1.0) : 0;
    const Point q = a + along * d;
    if ((q - p).squaredNorm() < least && d.squaredNorm() > 0) {
      least = (q - p).squaredNorm();
      best.at = q;
      side = d;
    }
  }
  best.distance = std::sqrt(least);
  const double way = signed_area(outline) > 0 ? -1 : 1;  // anticlockwise: outwards is to the right
  if (side.norm() > 0) best.outward = way * base::perp(side).normalized();
  return best;
}

double press(std::vector<Point>* soft, const std::vector<Point>& hard) {
  Box box;
  for (const Point& p : hard) box = include(box, p);
  double most = 0;
  for (Point& p : *soft) {
    if (p.x() < box.x0 || p.x() > box.x1 || p.y() < box.y0 || p.y() > box.y1 || !is_inside(hard, p)) continue;
    const Point q = find_nearest(hard, p).at;
    most = std::max(most, (q - p).norm());
    p = q;
  }
  return most;
}

void press_soft_shapes(std::vector<Shape>* shapes, const std::vector<int>& body) {
  assert(shapes->size() == body.size());
  std::vector<Box> boxes;
  for (const Shape& s : *shapes) boxes.push_back(bounds(s));
  const auto is_hard = [&](size_t k) {
    const auto* path = std::get_if<Path>(&(*shapes)[k]);
    return path != nullptr && path->closed && path->fill && !is_soft(path->fill->role);
  };
  for (size_t k = 0; k < shapes->size(); ++k) {
    Path soft;
    if (const auto* path = std::get_if<Path>(&(*shapes)[k])) {
      const bool surface = !path->closed && path->name == "heel surface";
      if (!surface && !(path->closed && path->fill && is_soft(path->fill->role))) continue;
      soft = *path;
    } else if (const auto* circle = std::get_if<Circle>(&(*shapes)[k])) {
      if (!circle->fill || !is_soft(circle->fill->role)) continue;
      soft = Path{circle->name, {}, true, circle->fill, circle->stroke};
      const int n = std::max(48, static_cast<int>(2 * base::kPi * circle->radius / kStep));
      for (int i = 0; i < n; ++i)
        soft.points.push_back(circle->centre + circle->radius * Point(std::cos(2 * base::kPi * i / n),
                                                                      std::sin(2 * base::kPi * i / n)));
    } else {
      continue;
    }
    bool refined = false;
    for (size_t h = 0; h < shapes->size(); ++h) {
      if (body[h] == body[k] || !is_hard(h) || apart(boxes[h], boxes[k])) continue;
      if (pass_beside(name_of((*shapes)[h]), soft.name)) continue;
      if (!refined) soft.points = refine(soft.points, soft.closed, kStep), refined = true;
      if (press(&soft.points, std::get<Path>((*shapes)[h]).points) > 0) (*shapes)[k] = soft;
    }
  }
}

}  // namespace leverwright::scene
