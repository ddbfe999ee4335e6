#include "viz/sheets/action_shape.h"

#include "viz/model_scene/model_scene.h"

namespace leverwright::sheets {

scene::SetUpMoment find_moment(const action::Action& a, const planar::VecQ& q, const std::string& name) {
  return model_scene::find_moment(a, q, name);
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
      scene::place(m.moment.poses[static_cast<std::size_t>(model_scene::index_of(m.shape, body))], point));
}

}  // namespace leverwright::sheets
