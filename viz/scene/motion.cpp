#include "viz/scene/motion.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/units.h"
#include "viz/scene/compress.h"
#include "viz/scene/inside.h"

namespace leverwright::scene {
namespace {

// Index of the last sample not after t, and how far t is on the way to the next.
struct At {
  size_t k = 0;
  double share = 0;
};

At find_at(const std::vector<double>& time, double t) {
  if (time.size() < 2 || t <= time.front()) return {0, 0};
  if (t >= time.back()) return {time.size() - 1, 0};
  const auto after = std::upper_bound(time.begin(), time.end(), t);
  const auto k = static_cast<size_t>(after - time.begin()) - 1;
  return {k, (t - time[k]) / (time[k + 1] - time[k])};
}

double hermite(double a, double da, double b, double db, double h, double s) {
  const double s2 = s * s, s3 = s2 * s;
  return (2 * s3 - 3 * s2 + 1) * a + (s3 - 2 * s2 + s) * h * da + (3 * s2 - 2 * s3) * b + (s3 - s2) * h * db;
}

struct Surfaces {
  const char* contact;
  const char* soft;
  const char* hard;
  int driven;             // +1: the force shown acts on the soft one's body, -1: on the hard one's
  bool friction = false;  // the sign of the stored friction is that of perp(push) on the soft one
};
constexpr std::array<Surfaces, 9> kSurfaces{{
    {"capstan on heel cloth", "heel surface", "capstan", 1, true},
    {"jack on knuckle", "knuckle", "jack", 1, true},
    {"repetition lever on knuckle", "knuckle", "repetition lever", 1, true},
    {"jack tender on let-off button", "let off button", "jack", -1},
    {"repetition lever on drop screw", "drop leather", "drop screw", 1},
    {"hammer tail on back check", "back check", "hammer", -1, true},
    {"key on front punching", "front punching", "key", -1},
    {"key on back-rail cloth", "back rail cloth", "key", -1},
    {"shank on rest cushion", "rest cushion", "hammer", -1},
}};

// A piece placed in W, mm; circles as polygons. Empty: there is no such piece.
std::vector<Point> find_piece(const ActionShape& shape, const std::vector<Pose>& poses,
                              const std::string& name, bool* closed) {
  std::vector<Point> out;
  for (size_t b = 0; b < shape.bodies.size(); ++b) {
    for (const Piece& piece : shape.bodies[b].pieces) {
      if (piece.name != name) continue;
      for (const Point& p : piece.points) out.push_back(to_millimetres(place(poses[b], p)));
      *closed = piece.kind == PieceKind::kSolid || piece.kind == PieceKind::kCap;
      return out;
    }
    for (const RoundPiece& round : shape.bodies[b].rounds) {
      if (round.name != name) continue;
      constexpr int kCorners = 360;
      for (int i = 0; i < kCorners; ++i) {
        const double a = 2 * base::kPi * i / kCorners;
        out.push_back(
            to_millimetres(place(poses[b], round.centre + round.radius * Point(std::cos(a), std::sin(a)))));
      }
      *closed = true;
      return out;
    }
  }
  return out;
}

}  // namespace

std::vector<Pose> find_poses(const ActionMotion& m, double t) {
  const At at = find_at(m.time, t);
  std::vector<Pose> out(m.shape.bodies.size());
  for (size_t b = 1; b < out.size(); ++b) {
    const Pose& parent = out[static_cast<size_t>(m.parent[b])];
    Point joint = m.joint[b];
    if (b < m.slide.size() && !m.slide[b].empty())
      joint += find_value(m.time, m.slide[b], t) * m.slide_way[b];
    const Point origin = place(parent, joint);
    double theta = parent.theta;
    if (!m.angle[b].empty()) {
      theta = m.angle[b][at.k];
      if (at.share > 0)
        theta = hermite(theta, m.speed[b][at.k], m.angle[b][at.k + 1], m.speed[b][at.k + 1],
                        m.time[at.k + 1] - m.time[at.k], at.share);
    }
    out[b] = {origin.x(), origin.y(), theta};
  }
  return out;
}

double find_value(const std::vector<double>& time, const std::vector<double>& values, double t) {
  if (values.empty()) return 0;
  const At at = find_at(time, t);
  if (at.k + 1 >= values.size()) return values.back();
  return values[at.k] + at.share * (values[at.k + 1] - values[at.k]);
}

std::optional<DrawnContact> find_drawn_contact(const ActionShape& shape, const std::vector<Pose>& poses,
                                               const std::string& contact) {
  bool closed = false;
  if (contact == "hammer on string") {  // the string is level: the highest point of the hammer
    const std::vector<Point> hammer = find_piece(shape, poses, "hammer", &closed);
    bool line = false;
    const std::vector<Point> string = find_piece(shape, poses, "string", &line);
    if (hammer.empty() || string.empty()) return std::nullopt;
    const Point top = *std::max_element(hammer.begin(), hammer.end(),
                                        [](const Point& a, const Point& b) { return a.y() < b.y(); });
    return DrawnContact{top, Point(0, -1), top.y() - string.front().y()};
  }
  const auto known = std::find_if(kSurfaces.begin(), kSurfaces.end(),
                                  [&](const Surfaces& s) { return contact == s.contact; });
  if (known == kSurfaces.end()) return std::nullopt;
  bool hard_closed = false;
  const std::vector<Point> hard = find_piece(shape, poses, known->hard, &hard_closed);
  std::vector<Point> soft = find_piece(shape, poses, known->soft, &closed);
  if (hard.size() < 3 || soft.size() < 2 || !hard_closed) return std::nullopt;
  constexpr double kStep = 0.2;  // mm
  Box near;
  for (const Point& p : hard) near = include(near, p);
  near = grown(near, 2);
  DrawnContact best;
  best.depth = -1e9;
  for (const Point& p : refine(soft, closed, kStep)) {
    if (p.x() < near.x0 || p.x() > near.x1 || p.y() < near.y0 || p.y() > near.y1) continue;
    const NearestPoint n = find_nearest(hard, p);
    const double depth = is_inside(hard, p) ? n.distance : -n.distance;
    if (depth <= best.depth) continue;
    best = {n.at, n.outward, depth};
  }
  if (best.depth < -1e8) return std::nullopt;
  return best;
}

std::vector<ContactSign> find_contact_signs(const ActionMotion& m, const std::vector<Pose>& poses, double t,
                                            double floor) {
  std::vector<ContactSign> out;
  for (const PlaceForces& place_forces : m.places) {
    const double normal = find_value(m.time, place_forces.normal, t);
    if (!(normal >= floor)) continue;
    if (!place_forces.direction.empty()) {
      const At at = find_at(m.time, t);
      const size_t last = place_forces.direction.size() - 1;
      size_t k = std::min(at.share < 0.5 ? at.k : at.k + 1, last);
      if (!std::isfinite(place_forces.direction[k])) k = std::min(at.share < 0.5 ? at.k + 1 : at.k, last);
      if (!std::isfinite(place_forces.direction[k])) continue;
      const double a = place_forces.direction[k];
      const Point n(std::cos(a), std::sin(a));
      const double friction = find_value(m.time, place_forces.friction, t);
      out.push_back({place_forces.name,
                     {place_forces.x[k], place_forces.y[k]},
                     normal * n + friction * base::perp(n),
                     normal * n});
      continue;
    }
    const auto contact = find_drawn_contact(m.shape, poses, place_forces.name);
    if (!contact) continue;
    const auto known = std::find_if(kSurfaces.begin(), kSurfaces.end(),
                                    [&](const Surfaces& s) { return place_forces.name == s.contact; });
    const int sign = known == kSurfaces.end() ? 1 : known->driven;
    const double friction =
        known != kSurfaces.end() && known->friction ? find_value(m.time, place_forces.friction, t) : 0;
    const Point along = sign * normal * contact->push;
    const Point total = along + sign * friction * base::perp(contact->push);
    out.push_back({place_forces.name, 1e-3 * contact->at, total, along});
  }
  return out;
}

std::vector<CentreSign> find_centre_signs(const ActionMotion& m, const std::vector<Pose>& poses, double t) {
  std::vector<CentreSign> out;
  for (const CentreFriction& c : m.centres) {
    const Pose& pose = poses[static_cast<size_t>(c.body)];
    const Point at(pose.x, pose.y);
    const double torque = find_value(m.time, c.torque, t);
    // Two pins of one body (the key's) count together.
    const auto same =
        std::find_if(out.begin(), out.end(), [&](const CentreSign& s) { return (s.at - at).norm() < 1e-9; });
    if (same == out.end())
      out.push_back({c.name, at, torque});
    else
      same->torque += torque;
  }
  return out;
}

std::vector<WornPath> find_worn_paths(const ActionMotion& m) {
  constexpr std::array<std::array<const char*, 3>, 3> kWorn{
      {{"capstan on heel cloth", "wippen", "capstan on the heel cloth"},
       {"jack on knuckle", "hammer", "jack on the knuckle"},
       {"repetition lever on knuckle", "hammer", "lever on the knuckle"}}};
  std::vector<WornPath> out;
  for (const auto& [contact, body, name] : kWorn)
    for (const PlaceForces& p : m.places)
      for (size_t b = 1; b < m.shape.bodies.size(); ++b) {
        if (p.name != contact || m.shape.bodies[b].name != body || p.direction.empty()) continue;
        WornPath path{name, static_cast<int>(b), {}, {}, {}};
        for (size_t k = 0; k < m.time.size(); ++k) {
          if (!std::isfinite(p.direction[k])) continue;
          const Pose pose = find_poses(m, m.time[k])[b];
          const double c = std::cos(pose.theta), s = std::sin(pose.theta);
          const double dx = p.x[k] - pose.x, dy = p.y[k] - pose.y;
          path.time.push_back(m.time[k]);
          path.force.push_back(p.normal[k]);
          path.place.emplace_back(c * dx + s * dy, -s * dx + c * dy);
        }
        out.push_back(std::move(path));
      }
  return out;
}

std::vector<BodyTrace> find_traces(const std::vector<WornPath>& paths, double from, double to) {
  constexpr double kApart = 1.2e-3;  // s; samples stand closer than this while the surfaces touch
  std::vector<BodyTrace> out;
  for (const WornPath& path : paths) {
    BodyTrace piece{path.name, path.body, {}, {}};
    const auto end_piece = [&] {
      if (piece.points.size() > 1) out.push_back(piece);
      piece.points.clear();
      piece.values.clear();
    };
    for (size_t k = 0; k < path.time.size(); ++k) {
      if (path.time[k] < from || path.time[k] > to) continue;
      if (!piece.points.empty() && path.time[k] - path.time[k - 1] > kApart) end_piece();
      piece.points.push_back(path.place[k]);
      piece.values.push_back(path.force[k]);
    }
    end_piece();
  }
  return out;
}

ActionMoment find_moment(const ActionMotion& motion, double t, double floor) {
  ActionMoment out;
  out.poses = find_poses(motion, t);
  out.contacts = find_contact_signs(motion, out.poses, t, floor);
  out.centres = find_centre_signs(motion, out.poses, t);
  out.string_rise = find_value(motion.time, motion.string_rise, t);
  return out;
}

}  // namespace leverwright::scene
