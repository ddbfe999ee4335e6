#include "viz/study_file/action.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/error.h"

namespace leverwright::study_file {
namespace {
using scene::Point;
using scene::Role;

Role role_of(const StoredStudy& in, const std::string& path) {
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
  const std::string word = in.text(path, "colour_role");
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

scene::Reach across_of(const StoredStudy& in, const std::string& path) {
  scene::Reach out;
  out.from = in.attribute(path, "across_from").value_or(out.from);
  out.to = in.attribute(path, "across_to").value_or(out.to);
  return out;
}

scene::Shown shown_of(const StoredStudy& in, const std::string& path) {
  const std::string word = in.text(path, "shown");
  return word == "flat" ? scene::Shown::kFlat : word == "solid" ? scene::Shown::kSolid : scene::Shown::kBoth;
}

void read_feature(const StoredStudy& in, const std::string& path, const std::string& name,
                  scene::ActionShape* shape) {
  if (!in.in().has(path + "/points")) return;
  const std::string body =
      in.in().has_attribute(path, "body") ? words(in.in().text_attribute(path, "body")) : "ground";
  const std::string kind =
      in.in().has_attribute(path, "kind") ? in.in().text_attribute(path, "kind") : "solid";
  const int index = find_body(*shape, body);
  if (index < 0)
    throw base::UserError(
        in.path() + ": feature " + name + " belongs to the body '" + body + "', which is not in the file",
        "check the file with 'check'");
  scene::BodyShape& owner = shape->bodies[static_cast<size_t>(index)];
  const std::vector<Point> points = in.points(path + "/points");
  if (points.empty()) return;
  if (kind == "circle") {
    owner.rounds.push_back({name, role_of(in, path), points.front(), in.in().number_attribute(path, "radius"),
                            in.text(path, "label"), across_of(in, path)});
  } else if (kind == "spring" || kind == "wire") {
    const int other = in.in().has_attribute(path, "body_b")
                          ? find_body(*shape, words(in.in().text_attribute(path, "body_b")))
                          : index;
    if (other >= 0 && points.size() >= 2)
      shape->springs.push_back({name, index, other, points[0], points[1], kind == "wire"});
  } else {
    const std::string label = in.text(path, "label");
    const std::vector<double> yields = in.column(path + "/yields");
    owner.pieces.push_back({name, kind_of(kind), role_of(in, path), points, label, yields,
                            across_of(in, path), shown_of(in, path), in.attribute(path, "turned_about")});
  }
}

// Bodies in the order of the rows of the positions; the ground first, so that rails lie behind.
scene::ActionShape read_shape(const StoredStudy& in, const std::string& at,
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
    if (in.in().has(path + "/outline"))
      body.pieces.push_back(
          {words(row),
           scene::PieceKind::kSolid,
           role_of(in, path),
           in.points(path + "/outline"),
           in.in().has_attribute(path, "label") ? in.in().text_attribute(path, "label") : words(row),
           {},
           across_of(in, path),
           shown_of(in, path)});
    if (in.in().has_attribute(path, "pivot_x") && in.in().has_attribute(path, "pivot_y"))
      body.pivot =
          Point(in.in().number_attribute(path, "pivot_x"), in.in().number_attribute(path, "pivot_y"));
  }
  {
    // In the order in which they are to be drawn.
    std::vector<std::pair<double, std::string>> features;
    for (const std::string& feature : in.groups(at + "/scene/features")) {
      const std::string path = at + "/scene/features/" + feature;
      features.emplace_back(in.attribute(path, "layer").value_or(0.0), feature);
    }
    std::stable_sort(features.begin(), features.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [layer, feature] : features)
      read_feature(in, at + "/scene/features/" + feature, words(feature), &shape);
  }
  return shape;
}

void read_contacts(const StoredStudy& in, const std::string& at, const std::string& moment,
                   scene::ActionMoment* out) {
  const std::string path = at + "/scene/contacts";
  if (!in.in().has(path + "/names") || !in.in().has(path + "/" + moment)) return;
  const std::vector<std::string> names = in.in().read_strings(path + "/names");
  const store::Series values = in.in().read_series(path + "/" + moment);
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

void read_centres(const StoredStudy& in, const std::string& at, const std::string& moment,
                  scene::ActionMoment* out) {
  const std::string path = at + "/scene/centres";
  if (!in.in().has(path + "/names") || !in.in().has(path + "/" + moment)) return;
  const std::vector<std::string> names = in.in().read_strings(path + "/names");
  const store::Series values = in.in().read_series(path + "/" + moment);
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
void read_traces(const StoredStudy& in, const std::string& at, const scene::ActionShape& shape,
                 std::vector<scene::BodyTrace>* out) {
  const auto add = [&](const std::string& name, const std::string& contact, const char* place, int body,
                       const auto& point_at) {
    const std::string path = at + "/slide/" + contact;
    if (body < 0 || !in.in().has(path + "/" + place)) return;
    const std::vector<double> where = in.column(path + "/" + place),
                              force = in.column(path + "/normal_force");
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
  if (in.in().has(surface)) {
    const std::vector<Point> line = in.points(surface);
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

void add_moments(const StoredStudy& in, const SetUp& set_up, ActionPictures* out) {
  const std::string& at = set_up.at;
  static const std::array<std::pair<const char*, const char*>, 3> kMoments{
      {{"rest", "rest"}, {"half_stroke", "half stroke"}, {"let_off", "let-off"}}};
  const std::string path = at + "/scene/positions";
  if (!in.in().has(path + "/bodies")) return;
  const std::vector<std::string> rows = in.in().read_strings(path + "/bodies");
  const scene::ActionShape shape = read_shape(in, at, rows);
  std::vector<scene::BodyTrace> traces;
  read_traces(in, at, shape, &traces);
  if (out->moments.empty()) out->moments.resize(kMoments.size());
  for (size_t m = 0; m < kMoments.size(); ++m) {
    const std::string dataset = kMoments[m].first;
    if (!in.in().has(path + "/" + dataset)) continue;
    const store::Series values = in.in().read_series(path + "/" + dataset);
    scene::ActionMoment moment;
    moment.name = kMoments[m].second;
    if (in.in().has_attribute(path, "dip_" + dataset))
      moment.dip = in.in().number_attribute(path, "dip_" + dataset);
    moment.poses.assign(shape.bodies.size(), scene::Pose{});
    for (size_t r = 0; r < rows.size() && r < values.rows && values.columns >= 3; ++r) {
      const int index = rows[r] == "ground" ? 0 : find_body(shape, words(rows[r]));
      if (index >= 0)
        moment.poses[static_cast<size_t>(index)] = {values.at(r, 0), values.at(r, 1), values.at(r, 2)};
    }
    read_contacts(in, at, dataset, &moment);
    read_centres(in, at, dataset, &moment);
    moment.traces = traces;
    out->moments[m].push_back({set_up.label(), shape, std::move(moment), set_up.name});
  }
}

}  // namespace leverwright::study_file
