#include "models/study/outlines.h"

#include <algorithm>
#include <cmath>

#include "models/study/damper_outline.h"

namespace leverwright::study {

using action::kBodyNames;

namespace {

std::vector<Vec2> box(double x0, double y0, double x1, double y1) {
  return {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
}

std::vector<Vec2> offset(const std::vector<Vec2>& points, const Vec2& by) {
  std::vector<Vec2> out;
  for (const Vec2& p : points) out.push_back(p + by);
  return out;
}

// The hammer from `from` on along the shank, in a frame with its origin there: head over the end of the
// shank, then back along the shank's upper side.
std::vector<Vec2> hammer_outline(const action::ActionDesign& d, double from, const Vec2& origin) {
  const double shank = d.shank_half_height;
  std::vector<Vec2> out = {{from, -shank}, {d.hammer_length - 5e-3, -shank}};
  const std::vector<Vec2> head = offset(d.head_outline, Vec2(d.hammer_length, 0));
  for (auto it = head.rbegin(); it != head.rend(); ++it) out.push_back(*it);
  out.emplace_back(d.hammer_length - 5e-3, shank);
  out.emplace_back(from, shank);
  return offset(out, -origin);
}

// Face of the back check with the head behind it, in the key's frame.
std::vector<Vec2> check_outline(const action::Action& a) {
  const planar::Profile check = action::check_profile(a.design, a.screws[action::kBackCheck]);
  std::vector<Vec2> face;
  for (double x = check.x_start() + 7.5e-3; x <= check.x_end() - 7.5e-3; x += 1e-3)
    face.push_back(check.point(x));
  std::vector<Vec2> out = face;
  for (auto it = face.rbegin(); it != face.rend(); ++it) out.push_back(*it - 9e-3 * check.outward());
  return out;
}
Vec2 check_foot(const action::Action& a) {
  const planar::Profile check = action::check_profile(a.design, a.screws[action::kBackCheck]);
  return check.point(0.5 * (check.x_start() + check.x_end())) - 5e-3 * check.outward();
}

}  // namespace

std::vector<BodyOutline> find_body_outlines(const action::Action& a) {
  const auto& d = a.design;
  const planar::BodyTree& tree = a.mechanism.tree;
  std::vector<BodyOutline> out;
  const auto add = [&](int index, const char* role, std::vector<Vec2> outline, const std::string& label) {
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
    out.push_back(std::move(b));
  };
  add(action::kKey, "key wood", box(d.key_front_x, 0, d.key_rear_x, d.key_height), "key");
  add(action::kWippen, "wippen wood", d.wippen_outline, "wippen");
  add(action::kJack, "jack", d.jack_outline, "jack");
  add(action::kLever, "lever", d.lever_outline, "repetition lever");
  // A shank that bends is drawn in its pieces, each a little over its hinge.
  constexpr double kOver = 0.4e-3;
  const double shank = d.shank_half_height;
  const std::size_t pieces = a.hammer_pieces.size();
  for (std::size_t k = 0; k < pieces; ++k) {
    const Vec2 origin = a.hammer_origins[k];
    const double from = k == 0 ? -8e-3 : origin.x() - kOver;
    if (k + 1 == pieces)
      add(a.hammer_pieces[k], "hammer", hammer_outline(d, from, origin), "hammer");
    else
      add(a.hammer_pieces[k], "hammer",
          offset(box(from, -shank, a.hammer_origins[k + 1].x() + kOver, shank), -origin), "");
  }
  if (a.check_body >= 0) add(a.check_body, "leather", offset(check_outline(a), -action::check_hinge(d)), "");
  add_damper_outlines(a, &out);
  return out;
}

namespace {

// The string as far as it is drawn. Where it yields it is given the shape of a string pushed aside at rest
// at the struck point: straight to either support. It reaches as far as the damper.
Feature string_line(const action::Action& a) {
  const auto& d = a.design;
  const Vec2 struck(d.p_H.x() + d.hammer_length, d.string_y);
  constexpr double kDrawn = 60e-3;
  double back = kDrawn;
  if (a.damper_body >= 0)
    back = std::max(back, find_damper_hang(a).x() + kDamperHalfLength + 8e-3 - struck.x());
  Feature out{"string", "ground", "line", "string", {}, 0, "", {}};
  if (a.mechanism.strings.empty()) {
    out.points = {struck - Vec2(kDrawn, 0), struck + Vec2(back, 0)};
    return out;
  }
  const planar::StringData& s = d.options.string;
  const double near = s.striking_share * s.length, far = s.length - near;
  for (const double x : {-kDrawn, -std::min(near, kDrawn), 0.0, back}) {
    if (!out.points.empty() && struck.x() + x <= out.points.back().x()) continue;
    out.points.push_back(struck + Vec2(x, 0));
    out.yields.push_back(std::max(0.0, 1 - std::abs(x) / (x < 0 ? near : far)));
  }
  return out;
}

}  // namespace

std::vector<Feature> find_features(const action::Action& a) {
  const auto& d = a.design;
  std::vector<Feature> out;
  const std::string key = kBodyNames[action::kKey], wippen = kBodyNames[action::kWippen],
                    hammer = kBodyNames[action::kHammer], lever = kBodyNames[action::kLever],
                    jack = kBodyNames[action::kJack];
  // Ground first: it lies behind.
  const double floor = d.p_balance.y() - 25e-3;
  out.push_back(string_line(a));
  out.push_back({"let-off button", "ground", "solid", "felt",
                 offset(box(-4e-3, 0, 4e-3, 3e-3), d.button + Vec2(0, a.screws[action::kLetOffButton])), 0,
                 ""});
  out.push_back({"let-off rail", "ground", "solid", "rail",
                 offset(box(-5e-3, 3e-3, 5e-3, 16e-3), d.button + Vec2(0, a.screws[action::kLetOffButton])),
                 0, ""});
  out.push_back({"drop screw", "ground", "solid", "metal",
                 offset(box(-d.drop_screw_radius, 0, d.drop_screw_radius, 16e-3),
                        d.drop_screw + Vec2(0, a.screws[action::kDropScrew])),
                 0, ""});
  out.push_back(
      {"hammer flange", "ground", "solid", "rail", offset(box(-9e-3, 4e-3, 9e-3, 14e-3), d.p_H), 0, ""});
  out.push_back(
      {"wippen flange", "ground", "solid", "rail", offset(box(-5e-3, 6e-3, 9e-3, 26e-3), d.p_P), 0, ""});
  const double cs = std::cos(d.shank_rest_angle), sn = std::sin(d.shank_rest_angle);
  const Vec2 rest = d.p_H + Vec2(cs * d.rest_rail_x - sn * (-d.shank_half_height - d.rest_rail_gap),
                                 sn * d.rest_rail_x + cs * (-d.shank_half_height - d.rest_rail_gap));
  out.push_back({"rest cushion",
                 "ground",
                 "solid",
                 "felt",
                 {rest + Vec2(cs * -7e-3, sn * -7e-3), rest + Vec2(cs * 7e-3, sn * 7e-3),
                  rest + Vec2(cs * 7e-3 + sn * 8e-3, sn * 7e-3 - cs * 8e-3),
                  rest + Vec2(cs * -7e-3 + sn * 8e-3, sn * -7e-3 - cs * 8e-3)},
                 0,
                 ""});
  const double front_top = a.screws[action::kFrontPunching] -
                           (d.dip > 0 ? d.dip : 10e-3) * d.front_punching.x() / d.playing_point.x();
  const Vec2 punching = d.p_balance + d.front_punching;
  out.push_back({"front punching", "ground", "solid", "felt",
                 box(punching.x() - 9e-3, front_top - 4e-3, punching.x() + 9e-3, front_top), 0, ""});
  const Vec2 rail = d.p_balance + d.back_rail;
  out.push_back({"back-rail cloth", "ground", "solid", "felt",
                 box(rail.x() - 12e-3, d.back_rail_offset - 4e-3, rail.x() + 12e-3, d.back_rail_offset), 0,
                 ""});
  out.push_back({"balance punching", "ground", "solid", "felt",
                 box(d.p_balance.x() - 9e-3, -3e-3, d.p_balance.x() + 9e-3, 0), 0, ""});
  out.push_back({"keybed", "ground", "line", "rail", {{d.key_front_x, floor}, {d.key_rear_x, floor}}, 0, ""});
  // Key.
  const planar::Cap cap = action::capstan_cap(d, a.screws[action::kCapstan]);
  std::vector<Vec2> cap_outline = cap.outline(3e-3);
  out.push_back(
      {"capstan shaft",
       key,
       "solid",
       "metal",
       {cap.apex() - 3e-3 * cap.axis() - 3e-3 * cap.along(),
        cap.apex() - 3e-3 * cap.axis() + 3e-3 * cap.along(),
        Vec2(cap.apex().x() - (cap.apex().y() - d.key_height) * cap.axis().x() / cap.axis().y() + 3e-3,
             d.key_height),
        Vec2(cap.apex().x() - (cap.apex().y() - d.key_height) * cap.axis().x() / cap.axis().y() - 3e-3,
             d.key_height)},
       0,
       ""});
  out.push_back({"capstan", key, "cap", "metal", cap_outline, 0, ""});
  const Vec2 foot = check_foot(a), in_key(foot.x() - 2e-3, d.key_height);
  if (a.check_body >= 0) {
    out.push_back({"check wire",
                   a.mechanism.tree.name(a.check_body),
                   "wire",
                   "metal",
                   {foot - action::check_hinge(d), in_key},
                   0,
                   key});
  } else {
    out.push_back({"check wire", key, "line", "metal", {foot, in_key}, 0, ""});
    out.push_back({"back check", key, "solid", "leather", check_outline(a), 0, ""});
  }
  for (std::size_t k = 0; k < d.leads.size(); ++k)
    out.push_back({"lead " + std::to_string(k + 1), key, "circle", "metal", {d.leads[k]}, 6e-3, ""});
  // Wippen: cloth between the surface and the wood behind it.
  const planar::Profile heel = action::heel_profile(d);
  std::vector<Vec2> surface;
  for (double x = heel.x_start() + 1e-3; x <= heel.x_end() - 1e-3; x += 0.25e-3)
    surface.push_back(heel.point(x));
  std::vector<Vec2> cloth = surface;
  for (auto it = surface.rbegin(); it != surface.rend(); ++it)
    cloth.push_back(*it - d.heel_cloth_thickness * heel.outward());
  if (!d.heel_outline.empty())
    out.push_back({"heel wood", wippen, "solid", "wippen wood", d.heel_outline, 0, ""});
  out.push_back({"heel cloth", wippen, "solid", "felt", cloth, 0, ""});
  out.push_back({"heel surface", wippen, "heel surface", "felt", surface, 0, ""});
  // Hammer.
  out.push_back({"knuckle", hammer, "circle", "leather", {d.knuckle_centre}, d.knuckle_radius, ""});
  // Lever leather and springs.
  out.push_back(
      {"drop leather", lever, "solid", "leather", offset(box(-4e-3, -1.2e-3, 4e-3, 0), d.lever_drop), 0, ""});
  out.push_back({"repetition spring",
                 wippen,
                 "spring",
                 "metal",
                 {d.lever_centre + Vec2(4e-3, -14e-3), Vec2(-26e-3, -1e-3)},
                 0,
                 lever});
  out.push_back({"jack spring",
                 wippen,
                 "spring",
                 "metal",
                 {d.lever_centre + Vec2(2e-3, -16e-3), Vec2(2e-3, 14e-3)},
                 0,
                 jack});
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
  if (body.index != kUpright) return poses[static_cast<std::size_t>(body.index)];
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

}  // namespace leverwright::study
