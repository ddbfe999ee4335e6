#include "models/drawing/outlines.h"

#include <algorithm>
#include <cmath>

#include "models/drawing/damper_outline.h"
#include "models/drawing/outline_shapes.h"
#include "models/drawing/part_features.h"

namespace leverwright::drawing {

namespace {

// The hammer from `from` on along the shank, in a frame with its origin there: head over the end of the
// shank, then back along the shank's upper side.
std::vector<Vec2> hammer_outline(const action::ActionDesign& d, double from, const Vec2& origin) {
  const double shank = d.shank_half_height;
  std::vector<Vec2> out = {{from, -shank}, {d.hammer_length - 5e-3, -shank}};
  const std::vector<Vec2> head = offset(find_head_shape(d), Vec2(d.hammer_length, 0));
  for (auto it = head.rbegin(); it != head.rend(); ++it) out.push_back(*it);
  out.emplace_back(d.hammer_length - 5e-3, shank);
  out.emplace_back(from, shank);
  return offset(out, -origin);
}

}  // namespace

std::vector<BodyOutline> find_body_outlines(const action::Action& a) {
  const auto& d = a.design;
  const planar::BodyTree& tree = a.mechanism.tree;
  std::vector<BodyOutline> out;
  const auto add = [&](int index, const char* role, std::vector<Vec2> outline, const std::string& label,
                       const Across& across, Shown shown = Shown::kBoth) {
    const planar::Body& body = tree.body(index);
    BodyOutline b{index, body.name, role, std::move(outline), label, "ground", body.p_joint, -1, Vec2(0, 0)};
    int parent = body.parent;
    if (parent >= 0 && tree.body(parent).joint == planar::Joint::kSlide) {
      b.slide = parent;
      b.slide_way = tree.body(parent).slide_direction;
      b.joint = tree.body(parent).p_joint;
      parent = tree.body(parent).parent;
    }
    if (parent >= 0) b.parent = tree.name(parent);
    b.across = across;
    b.shown = shown;
    out.push_back(std::move(b));
  };
  add(action::kKey, "key wood", box(d.key_front_x, 0, d.key_rear_x, d.key_height), "key",
      {0, 0.5 * d.key_width});
  // Wippen and lever as bodies are cheeks and blocks: features.
  add(action::kWippen, "wippen wood", d.wippen_outline, "wippen", {0, kHalfWood}, Shown::kFlat);
  add(action::kLever, "lever", d.lever_outline, "repetition lever", {0, kHalfLever}, Shown::kFlat);
  add(action::kJack, "jack", find_jack_shape(d), "jack", {0, kHalfJack});  // seen through the lever's window
  // A shank that bends is drawn in its pieces, each a little over its hinge.
  constexpr double kOver = 0.4e-3;
  const double shank = d.shank_half_height;
  const std::size_t pieces = a.hammer_pieces.size();
  for (std::size_t k = 0; k < pieces; ++k) {
    const Vec2 origin = a.hammer_origins[k];
    const double from = k == 0 ? kButtFrom : origin.x() - kOver;
    if (k + 1 == pieces)
      add(a.hammer_pieces[k], "key wood", hammer_outline(d, from, origin), "shank", {0, kHalfShank});
    else
      add(a.hammer_pieces[k], "key wood",
          offset(box(from, -shank, a.hammer_origins[k + 1].x() + kOver, shank), -origin), "",
          {0, kHalfShank});
  }
  if (a.check_body >= 0)
    add(a.check_body, "leather", offset(find_check_shape(a).leather, -action::check_hinge(d)), "back check",
        {0, kHalfCheck});
  add_damper_outlines(a, &out);
  return out;
}

const std::vector<NestedPair>& find_nested_pairs() {
  static const std::vector<NestedPair> kPairs{
      {"balance pin", "key", "the pin stands in the key's hole"},
      {"balance pin", "balance button", "the pin goes through the button's mortise"},
      {"front pin", "key", "the pin stands in the key's front mortise"},
      {"jack", "wippen core", "the jack's foot turns in the wippen's fork, whose bottom is hollowed for it"},
      {"damper wire", "damper lever", "the wire is screwed to the lever"},
      {"check wire", "key", "the wire is driven into the key"},
  };
  return kPairs;
}

std::vector<Feature> find_features(const action::Action& a) {
  std::vector<Feature> out;
  add_fixed_features(a, &out);
  add_key_features(a, &out);
  add_wippen_features(a, &out);
  add_jack_and_lever_features(a, &out);
  add_hammer_features(a, &out);
  add_damper_features(a, &out);
  return out;
}

planar::Pose find_drawn_pose(const action::Action& a, const BodyOutline& body,
                             const std::vector<planar::Pose>& poses, bool dampers_held_up) {
  if (body.index == a.damper_body && a.damper_body >= 0 && dampers_held_up) {
    planar::Pose out;
    out.o = body.joint;
    out.angle = action::damper_stop_angle(a.design);
    return out;
  }
  if (body.index != kUpright) return poses[body.index];
  planar::Pose on;
  for (const BodyOutline& b : find_body_outlines(a))
    if (b.body == body.parent) on = find_drawn_pose(a, b, poses, dampers_held_up);
  planar::Pose out;
  const double c = std::cos(on.angle), s = std::sin(on.angle);
  out.o = on.o + Vec2(c * body.joint.x() - s * body.joint.y(), s * body.joint.x() + c * body.joint.y());
  return out;
}

std::vector<std::size_t> find_centres(const planar::Mechanism& mechanism) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < mechanism.pivots.size(); ++i) {
    const std::string& name = mechanism.pivots[i].name;
    if (name == "damper" ||
        std::find(action::kPivotNames.begin(), action::kPivotNames.end(), name) != action::kPivotNames.end())
      out.push_back(i);
  }
  return out;
}

}  // namespace leverwright::drawing
