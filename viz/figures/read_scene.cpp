#include "viz/figures/read_scene.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/error.h"
#include "sim/store/study_reader.h"

namespace leverwright::figures {
namespace {
using scene::Point;
using scene::Role;
using store::StudyReader;

Role role_of(const StudyReader& in, const std::string& path) {
  static const std::array<std::pair<const char*, Role>, 10> kRoles{{{"key wood", Role::kKeyWood},
                                                                    {"wippen wood", Role::kWippenWood},
                                                                    {"jack", Role::kJack},
                                                                    {"lever", Role::kLever},
                                                                    {"hammer", Role::kHammer},
                                                                    {"felt", Role::kFelt},
                                                                    {"leather", Role::kLeather},
                                                                    {"metal", Role::kMetal},
                                                                    {"string", Role::kString},
                                                                    {"rail", Role::kRail}}};
  if (!in.has_attribute(path, "colour_role")) return Role::kRail;
  const std::string word = in.text_attribute(path, "colour_role");
  for (const auto& [name, role] : kRoles)
    if (word == name) return role;
  return Role::kRail;
}

std::string words(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

scene::PieceKind kind_of(const std::string& kind) {
  if (kind == "cap") return scene::PieceKind::kCap;
  if (kind == "heel surface") return scene::PieceKind::kHeelSurface;
  if (kind == "line") return scene::PieceKind::kLine;
  return scene::PieceKind::kSolid;
}

int find_body(const scene::ActionShape& shape, const std::string& name) {
  for (size_t i = 0; i < shape.bodies.size(); ++i)
    if (shape.bodies[i].name == name) return static_cast<int>(i);
  return -1;
}

void read_feature(const StudyReader& in, const std::string& path, const std::string& name,
                  scene::ActionShape* shape) {
  if (!in.has(path + "/points")) return;
  const std::string body = in.has_attribute(path, "body") ? words(in.text_attribute(path, "body")) : "ground";
  const std::string kind = in.has_attribute(path, "kind") ? in.text_attribute(path, "kind") : "solid";
  const int index = find_body(*shape, body);
  if (index < 0)
    throw base::UserError(
        in.path() + ": feature " + name + " belongs to the body '" + body + "', which is not in the file",
        "check the file with 'check'");
  scene::BodyShape& owner = shape->bodies[static_cast<size_t>(index)];
  const std::vector<Point> points = read_points(in, path + "/points");
  if (points.empty()) return;
  if (kind == "circle") {
    owner.rounds.push_back({name, role_of(in, path), points.front(), in.number_attribute(path, "radius"),
                            in.has_attribute(path, "label") ? in.text_attribute(path, "label") : ""});
  } else if (kind == "spring" || kind == "wire") {
    const int other = in.has_attribute(path, "body_b")
                          ? find_body(*shape, words(in.text_attribute(path, "body_b")))
                          : index;
    if (other >= 0 && points.size() >= 2)
      shape->springs.push_back({name, index, other, points[0], points[1], kind == "wire"});
  } else {
    const std::string label = in.has_attribute(path, "label") ? in.text_attribute(path, "label") : "";
    const std::vector<double> yields =
        in.has(path + "/yields") ? in.read_series(path + "/yields").values : std::vector<double>{};
    owner.pieces.push_back({name, kind_of(kind), role_of(in, path), points, label, yields});
  }
}

// Bodies in the order of the rows of the positions; the ground first, so that rails lie behind.
scene::ActionShape read_shape(const StudyReader& in, const std::string& at,
                              const std::vector<std::string>& rows) {
  scene::ActionShape shape;
  shape.bodies.push_back({"ground", {}, {}, {}});
  for (const std::string& row : rows)
    if (row != "ground") shape.bodies.push_back({words(row), {}, {}, {}});
  for (const std::string& row : in.groups(at + "/scene/bodies")) {
    const std::string path = at + "/scene/bodies/" + row;
    const int index = find_body(shape, words(row));
    if (index < 0) continue;
    scene::BodyShape& body = shape.bodies[static_cast<size_t>(index)];
    if (in.has(path + "/outline"))
      body.pieces.push_back(
          {words(row), scene::PieceKind::kSolid, role_of(in, path), read_points(in, path + "/outline"),
           in.has_attribute(path, "label") ? in.text_attribute(path, "label") : words(row)});
    if (in.has_attribute(path, "pivot_x") && in.has_attribute(path, "pivot_y"))
      body.pivot = Point(in.number_attribute(path, "pivot_x"), in.number_attribute(path, "pivot_y"));
  }
  if (in.has(at + "/scene/features")) {
    // In the order in which they are to be drawn.
    std::vector<std::pair<double, std::string>> features;
    for (const std::string& feature : in.groups(at + "/scene/features")) {
      const std::string path = at + "/scene/features/" + feature;
      features.emplace_back(in.has_attribute(path, "layer") ? in.number_attribute(path, "layer") : 0.0,
                            feature);
    }
    std::stable_sort(features.begin(), features.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [layer, feature] : features)
      read_feature(in, at + "/scene/features/" + feature, words(feature), &shape);
  }
  return shape;
}

void read_contacts(const StudyReader& in, const std::string& at, const std::string& moment,
                   scene::ActionMoment* out) {
  const std::string path = at + "/scene/contacts";
  if (!in.has(path + "/names") || !in.has(path + "/" + moment)) return;
  const std::vector<std::string> names = in.read_strings(path + "/names");
  const store::Series values = in.read_series(path + "/" + moment);
  for (size_t i = 0; i < names.size() && i < values.rows && values.columns >= 4; ++i) {
    if (!std::isfinite(values.at(i, 0)) || !std::isfinite(values.at(i, 1))) continue;
    const bool force = std::isfinite(values.at(i, 2)) && std::isfinite(values.at(i, 3));
    scene::ContactSign sign{names[i],
                            Point(values.at(i, 0), values.at(i, 1)),
                            force ? Point(values.at(i, 2), values.at(i, 3)) : Point(0, 0),
                            {}};
    if (force && values.columns >= 6 && std::isfinite(values.at(i, 4)) && std::isfinite(values.at(i, 5)))
      sign.normal = Point(values.at(i, 4), values.at(i, 5));
    out->contacts.push_back(std::move(sign));
  }
}

void read_centres(const StudyReader& in, const std::string& at, const std::string& moment,
                  scene::ActionMoment* out) {
  const std::string path = at + "/scene/centres";
  if (!in.has(path + "/names") || !in.has(path + "/" + moment)) return;
  const std::vector<std::string> names = in.read_strings(path + "/names");
  const store::Series values = in.read_series(path + "/" + moment);
  for (size_t i = 0; i < names.size() && i < values.rows && values.columns >= 3; ++i) {
    const Point at_joint(values.at(i, 0), values.at(i, 1));
    const double torque = values.at(i, 2);
    // Two pins of one body (the key's) count together.
    const auto same = std::find_if(out->centres.begin(), out->centres.end(),
                                   [&](const auto& c) { return (c.at - at_joint).norm() < 1e-6; });
    if (same == out->centres.end())
      out->centres.push_back({names[i], at_joint, torque});
    else
      same->torque += torque;
  }
}

std::vector<double> column_of(const StudyReader& in, const std::string& path) {
  return in.has(path) ? in.read_series(path).values : std::vector<double>{};
}

// Height of a surface, given as a line climbing in x, at x; NaN beside it.
double height_at(const std::vector<Point>& surface, double x) {
  for (size_t i = 0; i + 1 < surface.size(); ++i) {
    const Point &a = surface[i], &b = surface[i + 1];
    if ((x - a.x()) * (x - b.x()) <= 0 && a.x() != b.x())
      return a.y() + (b.y() - a.y()) * (x - a.x()) / (b.x() - a.x());
  }
  return std::nan("");
}

// Where the capstan has been on the heel cloth, and jack and lever on the knuckle, with the normal force; a
// part where the surfaces were apart ends the trace.
void read_traces(const StudyReader& in, const std::string& at, const scene::ActionShape& shape,
                 std::vector<scene::BodyTrace>* out) {
  const auto add = [&](const std::string& name, const std::string& contact, const char* place, int body,
                       const auto& point_at) {
    const std::string path = at + "/slide/" + contact;
    if (body < 0 || !in.has(path + "/" + place)) return;
    const std::vector<double> where = column_of(in, path + "/" + place),
                              force = column_of(in, path + "/normal_force");
    scene::BodyTrace trace{name, body, {}, {}};
    const auto end_piece = [&] {
      if (trace.points.size() > 1) out->push_back(trace);
      trace.points.clear();
      trace.values.clear();
    };
    for (size_t k = 0; k < where.size() && k < force.size(); ++k) {
      const Point p = std::isfinite(where[k]) ? point_at(where[k]) : Point(std::nan(""), 0);
      if (!std::isfinite(p.x()) || !std::isfinite(p.y()) || !std::isfinite(force[k])) {
        end_piece();
        continue;
      }
      trace.points.push_back(p);
      trace.values.push_back(force[k]);
    }
    end_piece();
  };
  const std::string surface = at + "/scene/features/heel_surface/points";
  if (in.has(surface)) {
    const std::vector<Point> line = read_points(in, surface);
    add("capstan on the heel cloth", "C3", "place_on_heel", find_body(shape, "wippen"),
        [&](double x) { return Point(x, height_at(line, x)); });
  }
  const int hammer = find_body(shape, "hammer");
  if (hammer < 0) return;
  for (const scene::RoundPiece& round : shape.bodies[static_cast<size_t>(hammer)].rounds) {
    if (round.name != "knuckle") continue;
    const auto on_circle = [&](double s) {
      return Point(round.centre +
                   round.radius * Point(std::sin(s / round.radius), -std::cos(s / round.radius)));
    };
    add("jack on the knuckle", "C4", "place_on_mate", hammer, on_circle);
    add("lever on the knuckle", "C5", "place_on_mate", hammer, on_circle);
  }
}

}  // namespace

std::vector<Point> read_points(const StudyReader& in, const std::string& path) {
  const store::Series s = in.read_series(path);
  if (s.columns != 2)
    throw base::UserError(in.path() + ": " + path + " should have two columns, x and y",
                          "check the file with 'check'");
  std::vector<Point> out;
  for (size_t i = 0; i < s.rows; ++i) out.emplace_back(s.at(i, 0), s.at(i, 1));
  return out;
}

std::string shown_name(const StudyReader& in, const store::SetUpEntry& entry, bool base) {
  const bool marked = !base && in.has_attribute(entry.path, "undone");
  const std::string undone = marked ? in.text_attribute(entry.path, "undone") : "";
  return undone == "NOT REVERSIBLE" ? entry.name + " (" + undone + ")" : entry.name;
}

void add_moments(const StudyReader& in, const std::string& at, const std::string& name, ActionPictures* out) {
  static const std::array<std::pair<const char*, const char*>, 3> kMoments{
      {{"rest", "rest"}, {"half_stroke", "half stroke"}, {"let_off", "let-off"}}};
  const std::string path = at + "/scene/positions";
  if (!in.has(path + "/bodies")) return;
  const std::vector<std::string> rows = in.read_strings(path + "/bodies");
  const scene::ActionShape shape = read_shape(in, at, rows);
  std::vector<scene::BodyTrace> traces;
  read_traces(in, at, shape, &traces);
  if (out->moments.empty()) out->moments.resize(kMoments.size());
  for (size_t m = 0; m < kMoments.size(); ++m) {
    const std::string dataset = kMoments[m].first;
    if (!in.has(path + "/" + dataset)) continue;
    const store::Series values = in.read_series(path + "/" + dataset);
    scene::ActionMoment moment;
    moment.name = kMoments[m].second;
    if (in.has_attribute(path, "dip_" + dataset)) moment.dip = in.number_attribute(path, "dip_" + dataset);
    moment.poses.assign(shape.bodies.size(), scene::Pose{});
    for (size_t r = 0; r < rows.size() && r < values.rows && values.columns >= 3; ++r) {
      const int index = rows[r] == "ground" ? 0 : find_body(shape, words(rows[r]));
      if (index >= 0)
        moment.poses[static_cast<size_t>(index)] = {values.at(r, 0), values.at(r, 1), values.at(r, 2)};
    }
    read_contacts(in, at, dataset, &moment);
    read_centres(in, at, dataset, &moment);
    moment.traces = traces;
    out->moments[m].push_back({name, shape, std::move(moment)});
  }
}

}  // namespace leverwright::figures
