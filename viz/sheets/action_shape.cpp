#include "viz/sheets/action_shape.h"

#include <array>

#include "models/drawing/outlines.h"

namespace leverwright::sheets {

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

int index_of(const scene::ActionShape& shape, const std::string& body) {
  for (std::size_t b = 0; b < shape.bodies.size(); ++b)
    if (shape.bodies[b].name == body) return static_cast<int>(b);
  return 0;
}

}  // namespace

scene::SetUpMoment find_moment(const action::Action& a, const planar::VecQ& q, const std::string& name) {
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
    if (outline.index >= 0 && outline.index < action::kBodyCount) body.pivot = scene::Point(0, 0);
    body.pieces.push_back(
        {outline.body, scene::PieceKind::kSolid, role_of(outline.colour_role), outline.outline});
    out.shape.bodies.push_back(body);
    const planar::Pose pose = drawing::find_drawn_pose(a, outline, scratch.poses);
    out.moment.poses.push_back({pose.o.x(), pose.o.y(), pose.angle});
  }
  for (const auto& f : drawing::find_features(a)) {
    auto& body = out.shape.bodies[static_cast<std::size_t>(index_of(out.shape, f.body))];
    if (f.kind == "circle")
      body.rounds.push_back({f.name, role_of(f.colour_role), f.points.front(), f.radius, f.label});
    else if (f.kind == "spring" || f.kind == "wire")
      out.shape.springs.push_back({f.name, index_of(out.shape, f.body), index_of(out.shape, f.body_b),
                                   f.points[0], f.points[1], f.kind == "wire"});
    else
      body.pieces.push_back({f.name,
                             f.kind == "cap"            ? scene::PieceKind::kCap
                             : f.kind == "heel surface" ? scene::PieceKind::kHeelSurface
                             : f.kind == "line"         ? scene::PieceKind::kLine
                                                        : scene::PieceKind::kSolid,
                             role_of(f.colour_role), f.points});
  }
  return out;
}

void make_pale(scene::ActionShape* shape) {
  const auto pale = [](scene::Role role) {
    switch (role) {
      case scene::Role::kFelt:
      case scene::Role::kLeather:
        return scene::Role::kFelt;
      case scene::Role::kMetal:
        return scene::Role::kMetal;
      case scene::Role::kString:
        return scene::Role::kString;
      default:
        return scene::Role::kPaper;
    }
  };
  for (auto& body : shape->bodies) {
    for (auto& piece : body.pieces) piece.role = pale(piece.role);
    for (auto& round : body.rounds) round.role = pale(round.role);
  }
}

scene::Point on_body(const scene::SetUpMoment& m, const std::string& body, const base::Vec2& point) {
  return scene::to_millimetres(
      scene::place(m.moment.poses[static_cast<std::size_t>(index_of(m.shape, body))], point));
}

}  // namespace leverwright::sheets
