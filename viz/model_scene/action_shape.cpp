#include <algorithm>
#include <array>

#include "models/drawing/outlines.h"
#include "viz/model_scene/model_scene.h"

namespace leverwright::model_scene {

namespace {

scene::Role role_of(const std::string& word) {
  static const std::array<std::pair<const char*, scene::Role>, 10> kRoles{
      {{"key wood", scene::Role::kKeyWood},
       {"wippen wood", scene::Role::kWippenWood},
       {"jack", scene::Role::kJack},
       {"lever", scene::Role::kLever},
       {"hammer", scene::Role::kHammer},
       {"felt", scene::Role::kFelt},
       {"leather", scene::Role::kLeather},
       {"metal", scene::Role::kMetal},
       {"string", scene::Role::kString},
       {"rail", scene::Role::kRail}}};
  for (const auto& [name, role] : kRoles)
    if (word == name) return role;
  return scene::Role::kRail;
}

scene::PieceKind kind_of(const std::string& kind) {
  if (kind == "cap") return scene::PieceKind::kCap;
  if (kind == "heel surface") return scene::PieceKind::kHeelSurface;
  if (kind == "line") return scene::PieceKind::kLine;
  return scene::PieceKind::kSolid;
}

// Pins of the trade, not hinges that stand for something that bends.
bool is_centre(const action::Action& a, int body) {
  const auto centres = drawing::find_centres(a.mechanism);
  return std::any_of(centres.begin(), centres.end(),
                     [&](std::size_t i) { return a.mechanism.pivots[i].body == body; });
}

}  // namespace

int index_of(const scene::ActionShape& shape, const std::string& body) {
  for (std::size_t b = 0; b < shape.bodies.size(); ++b)
    if (shape.bodies[b].name == body) return static_cast<int>(b);
  return 0;
}

scene::SetUpMoment find_moment(const action::Action& a, const planar::VecQ& q, const std::string& name,
                               bool named) {
  scene::SetUpMoment out;
  out.name = name;
  out.moment.name = name;
  out.shape.bodies.push_back({"ground", {}, {}, {}});
  out.moment.poses.push_back({});
  planar::Scratch scratch(a.mechanism);
  scratch.q = q;
  a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
  for (const auto& outline : drawing::find_body_outlines(a)) {
    scene::BodyShape body;
    body.name = outline.body;
    const bool pinned =
        named ? is_centre(a, outline.index) : outline.index >= 0 && outline.index < action::kBodyCount;
    if (pinned) body.pivot = scene::Point(0, 0);
    body.pieces.push_back({outline.body, scene::PieceKind::kSolid, role_of(outline.colour_role),
                           outline.outline, named ? outline.label : ""});
    out.shape.bodies.push_back(body);
    const planar::Pose pose = drawing::find_drawn_pose(a, outline, scratch.poses);
    out.moment.poses.push_back({pose.o.x(), pose.o.y(), pose.angle});
  }
  for (const auto& f : drawing::find_features(a)) {
    if (f.shown == drawing::Shown::kSolid) continue;  // these pictures are flat
    auto& body = out.shape.bodies[static_cast<std::size_t>(index_of(out.shape, f.body))];
    const std::string label = named ? f.label : "";
    if (f.kind == "circle")
      body.rounds.push_back({f.name, role_of(f.colour_role), f.points.front(), f.radius, label});
    else if (f.kind == "spring" || f.kind == "wire")
      out.shape.springs.push_back({f.name, index_of(out.shape, f.body), index_of(out.shape, f.body_b),
                                   f.points[0], f.points[1], f.kind == "wire"});
    else
      body.pieces.push_back({f.name, kind_of(f.kind), role_of(f.colour_role), f.points, label,
                             named ? f.yields : std::vector<double>{}});
  }
  return out;
}

}  // namespace leverwright::model_scene
