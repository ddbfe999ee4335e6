#include "viz/vtk/solids.h"

#include <algorithm>
#include <cmath>

#include "sim/base/units.h"
#include "viz/vtk/triangles.h"

namespace leverwright::vtk {
namespace {

using scene::Point;
using scene::Role;

constexpr double kSmoothBelow = 0.6;  // rad: sides of an outline that meet flatter are one curved face
constexpr int kRoundPieces = 24;

struct Vec3 {
  double x, y, z;
};
Vec3 minus(const Vec3& a, const Vec3& b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
Vec3 cross(const Vec3& a, const Vec3& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

Corner corner(const Vec3& at, const Vec3& normal) {
  const double n = std::sqrt(normal.x * normal.x + normal.y * normal.y + normal.z * normal.z);
  const double by = n > 0 ? 1 / n : 0;
  return {{static_cast<float>(at.x), static_cast<float>(at.y), static_cast<float>(at.z)},
          {static_cast<float>(by * normal.x), static_cast<float>(by * normal.y),
           static_cast<float>(by * normal.z)}};
}

std::vector<Point> without_doubles(const std::vector<Point>& points) {
  std::vector<Point> out;
  for (const Point& p : points)
    if (out.empty() || (p - out.back()).norm() > 1e-7) out.push_back(p);
  while (out.size() > 1 && (out.front() - out.back()).norm() <= 1e-7) out.pop_back();
  double twice = 0;
  for (size_t k = 0; k < out.size(); ++k) twice += base::cross(out[k], out[(k + 1) % out.size()]);
  if (twice < 0) std::reverse(out.begin(), out.end());
  return out;
}

// Between z = low and z = high.
void extrude(const std::vector<Point>& outline, double low, double high, std::vector<Corner>* out) {
  const std::vector<Point> ring = without_doubles(outline);
  const size_t n = ring.size();
  if (n < 3) return;
  std::vector<Point> in_mm;  // the triangulation works in millimetres
  for (const Point& p : ring) in_mm.push_back(1e3 * p);
  for (Triangle t : fill_polygon(in_mm)) {
    if (base::cross(Point(t[1] - t[0]), Point(t[2] - t[0])) < 0) std::swap(t[1], t[2]);
    for (const size_t k : {0U, 1U, 2U})
      out->push_back(corner({1e-3 * t[k].x(), 1e-3 * t[k].y(), high}, {0, 0, 1}));
    for (const size_t k : {0U, 2U, 1U})
      out->push_back(corner({1e-3 * t[k].x(), 1e-3 * t[k].y(), low}, {0, 0, -1}));
  }
  const auto outwards = [&](size_t side) -> Point {
    return -base::perp(Point((ring[(side + 1) % n] - ring[side]).normalized()));
  };
  for (size_t k = 0; k < n; ++k) {
    const Point here = outwards(k), before = outwards((k + n - 1) % n), after = outwards((k + 1) % n);
    const auto shared = [&](const Point& other) -> Point {
      return here.dot(other) > std::cos(kSmoothBelow) ? Point(here + other) : here;
    };
    const Point na = shared(before), nb = shared(after), a = ring[k], b = ring[(k + 1) % n];
    const Corner a0 = corner({a.x(), a.y(), low}, {na.x(), na.y(), 0}),
                 a1 = corner({a.x(), a.y(), high}, {na.x(), na.y(), 0}),
                 b0 = corner({b.x(), b.y(), low}, {nb.x(), nb.y(), 0}),
                 b1 = corner({b.x(), b.y(), high}, {nb.x(), nb.y(), 0});
    out->insert(out->end(), {a0, b0, b1, a0, b1, a1});
  }
}

// The outline's half on the left of the axis, turned about it.
void turn(const std::vector<Point>& outline, double angle, std::vector<Corner>* out) {
  Point middle(0, 0);
  for (const Point& p : outline) middle += p / static_cast<double>(outline.size());
  const Point along(std::cos(angle), std::sin(angle)), side = base::perp(along);
  struct Ring {
    double s, r;
  };
  // Radius over the way along the axis, from the corners of both sides.
  std::vector<Ring> rings;
  for (const Point& p : outline) rings.push_back({along.dot(p - middle), std::abs(side.dot(p - middle))});
  std::sort(rings.begin(), rings.end(), [](const Ring& a, const Ring& b) { return a.s < b.s; });
  std::vector<Ring> line;
  for (const Ring& r : rings) {
    if (!line.empty() && r.s - line.back().s < 1e-6)
      line.back().r = std::max(line.back().r, r.r);
    else
      line.push_back(r);
  }
  if (line.size() < 2) return;
  line.insert(line.begin(), {line.front().s, 0});
  line.push_back({line.back().s, 0});
  const auto at = [&](const Ring& ring, int k) -> Vec3 {
    const double turn = 2 * base::kPi * k / kRoundPieces;
    const Point flat = middle + ring.s * along + ring.r * std::cos(turn) * side;
    return {flat.x(), flat.y(), ring.r * std::sin(turn)};
  };
  for (size_t i = 0; i + 1 < line.size(); ++i)
    for (int k = 0; k < kRoundPieces; ++k) {
      const Ring &a = line[i], &b = line[i + 1];
      const double slope = b.s - a.s > 1e-9 ? (b.r - a.r) / (b.s - a.s) : 0;
      const bool cap = b.s - a.s <= 1e-9;
      const auto normal = [&](int turn_at) -> Vec3 {
        if (cap) {
          const double way = b.r > a.r ? -1 : 1;
          return {way * along.x(), way * along.y(), 0};
        }
        const double turn = 2 * base::kPi * turn_at / kRoundPieces;
        const Point flat = std::cos(turn) * side - slope * along;
        return {flat.x(), flat.y(), std::sin(turn)};
      };
      const Vec3 n0 = normal(k), n1 = normal(k + 1);
      const Corner a0 = corner(at(a, k), n0), a1 = corner(at(a, k + 1), n1), b0 = corner(at(b, k), n0),
                   b1 = corner(at(b, k + 1), n1);
      if (a.r > 0) out->insert(out->end(), {a0, a1, b0});
      if (b.r > 0) out->insert(out->end(), {a1, b1, b0});
    }
}

void extrude_across(const std::vector<Point>& outline, const scene::Reach& across, std::vector<Corner>* out) {
  if (across.from > 0) {
    extrude(outline, across.from, across.to, out);
    extrude(outline, -across.to, -across.from, out);
  } else {
    extrude(outline, -across.to, across.to, out);
  }
}

std::vector<Point> circle(const Point& centre, double radius) {
  std::vector<Point> out;
  constexpr int kCorners = 48;
  for (int k = 0; k < kCorners; ++k) {
    const double turn = 2 * base::kPi * k / kCorners;
    out.push_back(centre + radius * Point(std::cos(turn), std::sin(turn)));
  }
  return out;
}

}  // namespace

std::vector<Corner> build_rod(const Point& a, const Point& b, double radius) {
  std::vector<Corner> out;
  if ((b - a).norm() <= 0) return out;
  const Point along = (b - a).normalized(), side = radius * base::perp(along);
  turn({a - side, b - side, b + side, a + side}, std::atan2(along.y(), along.x()), &out);
  return out;
}

std::vector<Solid> build_solids(const scene::ActionShape& shape) {
  std::vector<Solid> out;
  constexpr double kWire = 0.5e-3, kPin = 0.65e-3, kPinReach = 5.3e-3;  // m
  for (size_t b = 0; b < shape.bodies.size(); ++b) {
    const scene::BodyShape& body = shape.bodies[b];
    const auto add = [&](const std::string& name, Role role) -> std::vector<Corner>* {
      out.push_back({name, static_cast<int>(b), role, {}, 0, {}});
      return &out.back().corners;
    };
    for (const scene::Piece& piece : body.pieces) {
      if (piece.shown == scene::Shown::kFlat || piece.points.size() < 2) continue;
      if (piece.kind == scene::PieceKind::kHeelSurface) continue;
      if (piece.kind == scene::PieceKind::kLine) {
        if (piece.name.rfind("capstan thread", 0) == 0 || piece.name == "drop screw slot") continue;
        std::vector<Corner>* corners = add(piece.name, piece.role);
        for (size_t k = 0; k + 1 < piece.points.size(); ++k) {
          const std::vector<Corner> rod = build_rod(piece.points[k], piece.points[k + 1], kWire);
          corners->insert(corners->end(), rod.begin(), rod.end());
        }
        continue;
      }
      std::vector<Corner>* corners = add(piece.name, piece.role);
      if (piece.turned_about)
        turn(piece.points, *piece.turned_about, corners);
      else
        extrude_across(piece.points, piece.across, corners);
      if (!piece.turned_about) {
        out.back().edge = piece.points;
        out.back().edge_z = piece.across.to;
      }
    }
    for (const scene::RoundPiece& round : body.rounds) {
      extrude_across(circle(round.centre, round.radius), round.across, add(round.name, round.role));
      out.back().edge = circle(round.centre, round.radius);
      out.back().edge_z = round.across.to;
    }
    if (body.pivot && body.name != "key")
      extrude(circle(*body.pivot, kPin), -kPinReach, kPinReach, add(body.name + " centre", Role::kMetal));
  }
  out.erase(std::remove_if(out.begin(), out.end(), [](const Solid& s) { return s.corners.empty(); }),
            out.end());
  return out;
}

double find_volume(const Solid& solid) {
  double six = 0;
  for (size_t k = 0; k + 2 < solid.corners.size(); k += 3) {
    const auto at = [&](size_t i) -> Vec3 {
      const auto& p = solid.corners[k + i].at;
      return {p[0], p[1], p[2]};
    };
    const Vec3 a = at(0), c = cross(minus(at(1), a), minus(at(2), a));
    six += a.x * c.x + a.y * c.y + a.z * c.z;
  }
  return six / 6;
}

}  // namespace leverwright::vtk
