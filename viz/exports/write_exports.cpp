#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/exports/export.h"
#include "viz/scene/base64.h"
#include "viz/scene/output_file.h"
#include "viz/vtk/triangles.h"
#include "viz/vtk/write_mesh.h"

namespace leverwright::exports {
namespace {
using scene::Point;

std::vector<Point> corners_of(const scene::RoundPiece& round) {
  std::vector<Point> out;
  constexpr int kCorners = 48;
  for (int i = 0; i < kCorners; ++i) {
    const double a = 2 * base::kPi * i / kCorners;
    out.push_back(round.centre + round.radius * Point(std::cos(a), std::sin(a)));
  }
  return out;
}

bool is_closed(scene::PieceKind kind) {
  return kind == scene::PieceKind::kSolid || kind == scene::PieceKind::kCap;
}

// A line as a band of triangles, m: viewers draw bare lines a pixel thin, or not at all.
std::vector<float> band_of(const std::vector<Point>& line_mm, double half_mm, float z) {
  std::vector<float> out;
  for (size_t k = 0; k + 1 < line_mm.size(); ++k) {
    const Point &a = line_mm[k], &b = line_mm[k + 1];
    const Point side = half_mm * base::perp((b - a).normalized());
    for (const Point& p : {Point(a - side), Point(b - side), Point(b + side), Point(a - side),
                           Point(b + side), Point(a + side)})
      out.insert(out.end(), {static_cast<float>(1e-3 * p.x()), static_cast<float>(1e-3 * p.y()), z});
  }
  return out;
}

// The two ends of a spring at a time: how its line lies in the frame of the body it starts on.
struct SpringPlace {
  double length = 0, angle = 0;  // m, rad
};
SpringPlace find_spring(const scene::ActionMotion& m, const scene::SpringShape& spring, double t) {
  const auto poses = scene::find_poses(m, t);
  const scene::Pose& on = poses[static_cast<size_t>(spring.body_a)];
  const Point d = place(poses[static_cast<size_t>(spring.body_b)], spring.on_b) - place(on, spring.on_a);
  return {d.norm(), std::atan2(d.y(), d.x()) - on.theta};
}

std::vector<double> times_of(const study_file::StoredStroke& s, double every) {
  std::vector<double> out;
  const double from = s.motion.time.front(), to = s.motion.time.back();
  for (int k = 0; from + k * every <= to + 1e-12; ++k) out.push_back(from + k * every);
  return out;
}

struct Buffer {  // of 32-bit floats, and what lies in it
  std::string bytes, views, accessors;
  int count = 0;
  int add(const std::vector<float>& values, const char* type, size_t width, bool vertices) {
    std::vector<float> low(width, INFINITY), high(width, -INFINITY);
    for (size_t k = 0; k < values.size(); ++k) {
      low[k % width] = std::min(low[k % width], values[k]);
      high[k % width] = std::max(high[k % width], values[k]);
    }
    views += fmt::format("{}{{\"buffer\":0,\"byteOffset\":{},\"byteLength\":{}{}}}", count > 0 ? "," : "",
                         bytes.size(), 4 * values.size(), vertices ? ",\"target\":34962" : "");
    accessors += fmt::format(
        "{}{{\"bufferView\":{},\"componentType\":5126,\"count\":{},\"type\":\"{}\","
        "\"min\":[{}],\"max\":[{}]}}",
        count > 0 ? "," : "", count, values.size() / width, type, fmt::join(low, ","), fmt::join(high, ","));
    const size_t at = bytes.size();
    bytes.resize(at + 4 * values.size());
    std::memcpy(bytes.data() + at, values.data(), 4 * values.size());
    return count++;
  }
};

}  // namespace

std::string write_stroke_csv(const study_file::StoredStroke& s) {
  std::string out = "time (ms),key dip (mm),finger force (N),capstan slid (mm),jack on knuckle slid (mm)";
  for (size_t b = 1; b < s.motion.shape.bodies.size(); ++b)
    out += fmt::format(",angle of {} (deg)", s.motion.shape.bodies[b].name);
  for (const auto& p : s.motion.places)
    out += fmt::format(",normal force of {0} (N),friction of {0} (N)", p.name);
  out += "\n";
  const auto add = [&](const std::vector<double>& v, size_t k, double factor) {
    out += k < v.size() && std::isfinite(v[k]) ? fmt::format(",{:.9g}", factor * v[k]) : ",";
  };
  for (size_t k = 0; k < s.motion.time.size(); ++k) {
    out += fmt::format("{:.9g}", 1e3 * s.motion.time[k]);
    add(s.key_dip, k, 1e3);
    add(s.finger_force, k, 1);
    add(s.capstan_slide, k, 1e3);
    add(s.knuckle_slide, k, 1e3);
    for (size_t b = 1; b < s.motion.shape.bodies.size(); ++b) add(s.motion.angle[b], k, 1 / base::kDegree);
    for (const auto& p : s.motion.places) add(p.normal, k, 1), add(p.friction, k, 1);
    out += "\n";
  }
  return out;
}

std::vector<std::string> write_vtk(const study_file::StoredStroke& s, double every, const std::string& folder,
                                   const std::string& stem) {
  std::vector<std::string> files;
  std::string index =
      "<?xml version=\"1.0\"?>\n<VTKFile type=\"Collection\" version=\"0.1\" "
      "byte_order=\"LittleEndian\">\n<Collection>\n";
  int number = 0;
  for (const double t : times_of(s, every)) {
    const auto poses = scene::find_poses(s.motion, t);
    const double rise = scene::find_value(s.motion.time, s.motion.string_rise, t);
    std::vector<vtk::MeshPiece> pieces;
    for (size_t b = 0; b < poses.size(); ++b) {
      const auto add = [&](std::vector<Point> points, bool closed) {
        pieces.push_back({std::move(points), closed, static_cast<int>(b)});
      };
      for (const scene::Piece& p : s.motion.shape.bodies[b].pieces)
        if (p.shown != scene::Shown::kSolid) add(scene::place_piece(p, poses[b], rise), is_closed(p.kind));
      for (const scene::RoundPiece& r : s.motion.shape.bodies[b].rounds) {
        std::vector<Point> corners;
        for (const Point& p : corners_of(r))
          corners.push_back(scene::to_millimetres(scene::place(poses[b], p)));
        add(std::move(corners), true);
      }
    }
    for (const scene::SpringShape& spring : s.motion.shape.springs)
      pieces.push_back({scene::place_spring(spring, poses), false, spring.body_a});
    const std::string name = fmt::format("{}_{:05d}.vtp", stem, number++);
    vtk::write_vtp(pieces, folder + "/" + name);
    files.push_back(folder + "/" + name);
    index += fmt::format("<DataSet timestep=\"{:.9g}\" part=\"0\" file=\"{}\"/>\n", t, name);
  }
  index += "</Collection>\n</VTKFile>\n";
  scene::OutputFile list(folder + "/" + stem + ".pvd");
  list.write(index);
  list.keep();
  files.push_back(folder + "/" + stem + ".pvd");
  return files;
}

std::string write_gltf(const study_file::StoredStroke& s, double every) {
  const auto& m = s.motion;
  const size_t n = m.shape.bodies.size();
  Buffer buffer;
  std::string nodes, meshes, channels, samplers, materials, roots;
  std::vector<scene::Role> roles;
  int mesh_count = 0, sampler_count = 0;
  const auto add_channel = [&](size_t node, const char* path, const std::vector<float>& values,
                               const char* type, size_t width, int clock) {
    samplers += fmt::format("{}{{\"input\":{},\"output\":{},\"interpolation\":\"LINEAR\"}}",
                            sampler_count > 0 ? "," : "", clock, buffer.add(values, type, width, false));
    channels += fmt::format("{}{{\"sampler\":{},\"target\":{{\"node\":{},\"path\":\"{}\"}}}}",
                            sampler_count > 0 ? "," : "", sampler_count, node, path);
    ++sampler_count;
  };
  const auto material_of = [&](scene::Role role) {
    auto known = std::find(roles.begin(), roles.end(), role);
    if (known == roles.end()) known = roles.insert(roles.end(), role);
    return known - roles.begin();
  };
  std::string yielding;   // a line that yields is a node of its own, with one morph target: up by 1 m
  size_t extra_node = 0;  // 0: there is none
  const std::vector<double> times = times_of(s, every);
  std::vector<float> clock;
  for (const double t : times) clock.push_back(static_cast<float>(t - times.front()));
  const int clock_at = buffer.add(clock, "SCALAR", 1, false);
  const auto add_turns = [&](size_t node, const std::vector<double>& angles) {
    std::vector<float> turns;  // quaternions about z, against the parent
    for (const double a : angles)
      for (const double v : {0.0, 0.0, std::sin(0.5 * a), std::cos(0.5 * a)})
        turns.push_back(static_cast<float>(v));
    add_channel(node, "rotation", turns, "VEC4", 4, clock_at);
  };
  for (size_t b = 0; b < n; ++b) {
    std::string primitives;
    float depth = 0;  // later pieces lie nearer to the eye
    const auto add = [&](const std::vector<Point>& points, scene::Role role) {
      std::vector<float> corners;
      depth += 1e-4F;
      for (const vtk::Triangle& t : vtk::fill_polygon(points))
        for (const Point& p : t) {
          corners.push_back(static_cast<float>(p.x()));
          corners.push_back(static_cast<float>(p.y()));
          corners.push_back(depth + 2e-3F * static_cast<float>(b));
        }
      if (corners.empty()) return;
      primitives +=
          fmt::format("{}{{\"attributes\":{{\"POSITION\":{}}},\"material\":{}}}",
                      primitives.empty() ? "" : ",", buffer.add(corners, "VEC3", 3, true), material_of(role));
    };
    const auto add_line = [&](const scene::Piece& piece) {
      constexpr int kLineStrip = 3;
      std::vector<float> corners, up;
      for (size_t k = 0; k < piece.points.size(); ++k) {
        const Point& p = piece.points[k];
        corners.insert(corners.end(), {static_cast<float>(p.x()), static_cast<float>(p.y()),
                                       depth + 2e-3F * static_cast<float>(b)});
        up.insert(up.end(), {0, k < piece.yields.size() ? static_cast<float>(piece.yields[k]) : 0, 0});
      }
      const bool yields = !piece.yields.empty() && !m.string_rise.empty() && extra_node == 0;
      const std::string primitive =
          fmt::format("{{\"attributes\":{{\"POSITION\":{}}},\"mode\":{},\"material\":{}",
                      buffer.add(corners, "VEC3", 3, true), kLineStrip, material_of(piece.role));
      if (!yields) {
        primitives += (primitives.empty() ? "" : ",") + primitive + "}";
        return;
      }
      extra_node = n;
      yielding =
          primitive + fmt::format(",\"targets\":[{{\"POSITION\":{}}}]}}", buffer.add(up, "VEC3", 3, true));
    };
    for (const scene::Piece& p : m.shape.bodies[b].pieces) {
      if (p.shown == scene::Shown::kSolid) continue;
      if (is_closed(p.kind))
        add(p.points, p.role);
      else if (p.kind == scene::PieceKind::kLine)
        add_line(p);
    }
    for (const scene::RoundPiece& r : m.shape.bodies[b].rounds) add(corners_of(r), r.role);
    std::string children;
    for (size_t c = 1; c < n; ++c)
      if (m.parent[c] == static_cast<int>(b)) children += fmt::format("{}{}", children.empty() ? "" : ",", c);
    if (b == 0 && extra_node > 0) children += fmt::format("{}{}", children.empty() ? "" : ",", extra_node);
    for (size_t k = 0; k < m.shape.springs.size(); ++k)  // after the string
      if (m.shape.springs[k].body_a == static_cast<int>(b))
        children += fmt::format("{}{}", children.empty() ? "" : ",", n + (extra_node > 0 ? 1 : 0) + k);
    nodes += fmt::format("{}{{\"name\":\"{}\",\"translation\":[{:.9g},{:.9g},0]{}{}}}", b > 0 ? "," : "",
                         m.shape.bodies[b].name, m.joint[b].x(), m.joint[b].y(),
                         primitives.empty() ? "" : fmt::format(",\"mesh\":{}", mesh_count),
                         children.empty() ? "" : ",\"children\":[" + children + "]");
    if (!primitives.empty()) {
      meshes += fmt::format("{}{{\"primitives\":[{}]}}", mesh_count > 0 ? "," : "", primitives);
      ++mesh_count;
    }
    if (b == 0 || m.angle[b].empty()) continue;
    std::vector<double> turns;
    for (const double t : times) {
      const auto poses = scene::find_poses(m, t);
      turns.push_back(poses[b].theta - poses[static_cast<size_t>(m.parent[b])].theta);
    }
    add_turns(b, turns);
    if (b >= m.slide.size() || m.slide[b].empty()) continue;
    std::vector<float> places;  // of a joint that moves
    for (const double t : times) {
      const Point p = m.joint[b] + scene::find_value(m.time, m.slide[b], t) * m.slide_way[b];
      places.insert(places.end(), {static_cast<float>(p.x()), static_cast<float>(p.y()), 0.0F});
    }
    add_channel(b, "translation", places, "VEC3", 3, clock_at);
  }
  if (extra_node > 0) {
    nodes += fmt::format(",{{\"name\":\"string\",\"mesh\":{}}}", mesh_count);
    meshes += fmt::format("{}{{\"primitives\":[{}],\"weights\":[0]}}", mesh_count > 0 ? "," : "", yielding);
    std::vector<float> rise;
    for (const double t : times)
      rise.push_back(static_cast<float>(scene::find_value(m.time, m.string_rise, t)));
    add_channel(extra_node, "weights", rise, "SCALAR", 1, clock_at);
    ++mesh_count;
  }
  // A spring hangs on the body it starts on, turns towards its other end and is stretched to reach it.
  for (size_t k = 0; k < m.shape.springs.size(); ++k) {
    const scene::SpringShape& spring = m.shape.springs[k];
    const double drawn = find_spring(m, spring, times.front()).length;
    if (!(drawn > 0))
      throw base::UserError("the spring " + spring.name + " has no length: it cannot be drawn");
    constexpr double kSpringHalf = 0.25, kWireHalf = 0.6;  // mm, for the eye
    const float depth = 1e-3F + 2e-3F * static_cast<float>(n);
    const std::vector<float> band = band_of(scene::spring_line(spring.straight, 1e3 * drawn),
                                            spring.straight ? kWireHalf : kSpringHalf, depth);
    const size_t node = n + (extra_node > 0 ? 1 : 0) + k;
    nodes += fmt::format(",{{\"name\":\"{}\",\"translation\":[{:.9g},{:.9g},0],\"mesh\":{}}}", spring.name,
                         spring.on_a.x(), spring.on_a.y(), mesh_count);
    meshes += fmt::format("{}{{\"primitives\":[{{\"attributes\":{{\"POSITION\":{}}},\"material\":{}}}]}}",
                          mesh_count > 0 ? "," : "", buffer.add(band, "VEC3", 3, true),
                          material_of(spring.straight ? scene::Role::kMetal : scene::Role::kString));
    ++mesh_count;
    std::vector<double> angles;
    std::vector<float> stretch;
    for (const double t : times) {
      const SpringPlace at = find_spring(m, spring, t);
      angles.push_back(at.angle);
      stretch.insert(stretch.end(), {static_cast<float>(at.length / drawn), 1.0F, 1.0F});
    }
    add_turns(node, angles);
    add_channel(node, "scale", stretch, "VEC3", 3, clock_at);
  }
  for (const scene::Role role : roles) {
    const scene::Rgb c = scene::rgb(role);
    const auto linear = [](double v) {
      return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
    };
    materials += fmt::format(
        "{}{{\"pbrMetallicRoughness\":{{\"baseColorFactor\":[{:.4f},{:.4f},{:.4f},1],"
        "\"metallicFactor\":0}},\"doubleSided\":true}}",
        materials.empty() ? "" : ",", linear(c.r), linear(c.g), linear(c.b));
  }
  return fmt::format(
      "{{\"asset\":{{\"version\":\"2.0\",\"generator\":\"leverwright\"}},\"scene\":0,\"scenes\":[{{\"nodes\":"
      "[0]}}],"
      "\"nodes\":[{}],\"meshes\":[{}],\"materials\":[{}],\"animations\":[{{\"name\":\"stroke\",\"channels\":["
      "{}],"
      "\"samplers\":[{}]}}],\"accessors\":[{}],\"bufferViews\":[{}],\"buffers\":[{{\"byteLength\":{},\"uri\":"
      "\"data:application/octet-stream;base64,{}\"}}]}}\n",
      nodes, meshes, materials, channels, samplers, buffer.accessors, buffer.views, buffer.bytes.size(),
      scene::encode_base64(buffer.bytes));
}

}  // namespace leverwright::exports
