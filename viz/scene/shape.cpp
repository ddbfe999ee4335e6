#include "viz/scene/shape.h"

#include <algorithm>

namespace leverwright::scene {

Box include(const Box& box, const Point& p) {
  if (box.empty()) return {p.x(), p.y(), p.x(), p.y()};
  return {std::min(box.x0, p.x()), std::min(box.y0, p.y()), std::max(box.x1, p.x()), std::max(box.y1, p.y())};
}

Box include(const Box& a, const Box& b) {
  if (b.empty()) return a;
  return include(include(a, Point(b.x0, b.y0)), Point(b.x1, b.y1));
}

Box grown(const Box& box, double by) { return {box.x0 - by, box.y0 - by, box.x1 + by, box.y1 + by}; }

namespace {

Box of_points(const std::vector<Point>& points) {
  Box box;
  for (const Point& p : points) box = include(box, p);
  return box;
}

struct Bounds {
  Box operator()(const Path& s) const { return of_points(s.points); }
  Box operator()(const Trace& s) const { return of_points(s.points); }
  Box operator()(const Circle& s) const { return grown(include(Box{}, s.centre), s.radius); }
  Box operator()(const Arc& s) const { return grown(include(Box{}, s.centre), s.radius); }
  Box operator()(const Mark& s) const { return include(Box{}, s.at); }
  Box operator()(const Label& s) const { return include(Box{}, s.at); }
  Box operator()(const Arrow& s) const { return include(include(Box{}, s.tail), s.tip); }
};

struct Name {
  template <class S>
  std::string operator()(const S& s) const {
    return s.name;
  }
  std::string operator()(const Label& s) const { return s.text; }
};

}  // namespace

Box bounds(const Shape& shape) { return std::visit(Bounds{}, shape); }

Box bounds(const std::vector<Shape>& shapes) {
  Box box;
  for (const Shape& shape : shapes) box = include(box, bounds(shape));
  return box;
}

std::string name_of(const Shape& shape) { return std::visit(Name{}, shape); }

}  // namespace leverwright::scene
