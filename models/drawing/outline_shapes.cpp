#include "models/drawing/outline_shapes.h"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/box.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::drawing {

std::vector<Vec2> box(double x0, double y0, double x1, double y1) {
  return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

std::vector<Vec2> offset(const std::vector<Vec2>& points, const Vec2& by) {
  std::vector<Vec2> out;
  for (const Vec2& p : points) out.push_back(p + by);
  return out;
}

std::vector<Vec2> turned(const std::vector<Vec2>& points, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  std::vector<Vec2> out;
  for (const Vec2& p : points) out.emplace_back(c * p.x() - s * p.y(), s * p.x() + c * p.y());
  return out;
}

std::vector<Vec2> bar(const Vec2& a, const Vec2& b, double width) {
  const Vec2 side = 0.5 * width * base::perp(Vec2((b - a).normalized()));
  return {a - side, b - side, b + side, a + side};
}

std::vector<Vec2> coil(const Vec2& centre, double outer, double inner, double turns, double start) {
  std::vector<Vec2> out;
  const int count = static_cast<int>(turns * 16);
  for (int k = 0; k <= count; ++k) {
    const double share = static_cast<double>(k) / count, radius = outer + share * (inner - outer);
    const double angle = start + 2 * base::kPi * turns * share;
    out.push_back(centre + radius * Vec2(std::cos(angle), std::sin(angle)));
  }
  return out;
}

std::vector<Vec2> clipped(const std::vector<Vec2>& polygon, double x0, double y0, double x1, double y1) {
  namespace bg = boost::geometry;
  using Point = bg::model::d2::point_xy<double>;
  using Polygon = bg::model::polygon<Point>;
  Polygon whole;
  for (const Vec2& p : polygon) bg::append(whole, Point(p.x(), p.y()));
  bg::correct(whole);
  std::vector<Polygon> pieces;
  bg::intersection(whole, bg::model::box<Point>({x0, y0}, {x1, y1}), pieces);
  std::vector<Vec2> out;
  const auto largest = std::max_element(pieces.begin(), pieces.end(), [](const Polygon& a, const Polygon& b) {
    return bg::area(a) < bg::area(b);
  });
  if (largest == pieces.end()) return out;
  for (const Point& p : largest->outer()) out.emplace_back(p.x(), p.y());
  out.pop_back();  // closed there
  return out;
}

std::vector<Vec2> smoothed(const std::vector<Vec2>& polygon, int pieces, double corner) {
  const std::size_t n = polygon.size();
  const auto at = [&](std::size_t k) { return polygon[k % n]; };
  // The way the line takes at a corner; none at a sharp one, whose sides stay as they are.
  const auto way = [&](std::size_t k, const Vec2& side) -> Vec2 {
    const Vec2 in = at(k) - at(k + n - 1), out = at(k + 1) - at(k);
    const double turn = std::abs(std::atan2(base::cross(in, out), in.dot(out)));
    if (turn > corner) return side;
    const Vec2 mean = in.normalized() + out.normalized();
    return Vec2(side.norm() * mean.normalized());
  };
  std::vector<Vec2> out;
  for (std::size_t k = 0; k < n; ++k) {
    const Vec2 a = at(k), b = at(k + 1), side = b - a, from = way(k, side), to = way(k + 1, side);
    for (int i = 0; i < pieces; ++i) {
      const double t = static_cast<double>(i) / pieces, u = 1 - t;
      out.push_back(u * u * (1 + 2 * t) * a + t * t * (3 - 2 * t) * b + t * u * u * from - t * t * u * to);
    }
  }
  return out;
}

std::vector<Vec2> beside(const std::vector<Vec2>& line, double distance) {
  std::vector<Vec2> out;
  for (std::size_t k = 0; k < line.size(); ++k) {
    const Vec2 along = line[std::min(k + 1, line.size() - 1)] - line[k > 0 ? k - 1 : 0];
    out.push_back(line[k] + distance * base::perp(Vec2(along.normalized())));
  }
  return out;
}

}  // namespace leverwright::drawing
