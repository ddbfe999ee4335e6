#include "models/study/outlines.h"

#include <cmath>

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

}  // namespace

std::vector<BodyOutline> find_body_outlines(const action::Action& a) {
  const auto& d = a.design;
  const double rear = d.key_rear_x, front = d.key_front_x, h = d.key_height;
  const double shank = d.shank_half_height;
  // Head over the end of the shank, then back along the shank's upper side.
  std::vector<Vec2> hammer = {{-8e-3, -shank}, {d.hammer_length - 5e-3, -shank}};
  std::vector<Vec2> head = offset(d.head_outline, Vec2(d.hammer_length, 0));
  for (auto it = head.rbegin(); it != head.rend(); ++it) hammer.push_back(*it);
  hammer.emplace_back(d.hammer_length - 5e-3, shank);
  hammer.emplace_back(-8e-3, shank);
  return {{kBodyNames[action::kKey], "key wood", box(front, 0, rear, h)},
          {kBodyNames[action::kWippen], "wippen wood", d.wippen_outline},
          {kBodyNames[action::kJack], "jack", d.jack_outline},
          {kBodyNames[action::kLever], "lever", d.lever_outline},
          {kBodyNames[action::kHammer], "hammer", hammer}};
}

std::vector<Feature> find_features(const action::Action& a) {
  const auto& d = a.design;
  std::vector<Feature> out;
  const std::string key = kBodyNames[action::kKey], wippen = kBodyNames[action::kWippen],
                    hammer = kBodyNames[action::kHammer], lever = kBodyNames[action::kLever],
                    jack = kBodyNames[action::kJack];
  // Ground first: it lies behind.
  const double floor = d.p_balance.y() - 25e-3;
  out.push_back(
      {"string",
       "ground",
       "line",
       "string",
       {{d.p_H.x() + d.hammer_length - 60e-3, d.string_y}, {d.p_H.x() + d.hammer_length + 60e-3, d.string_y}},
       0,
       ""});
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
  const planar::Profile check = action::check_profile(d, a.screws[action::kBackCheck]);
  std::vector<Vec2> face;
  for (double x = check.x_start() + 7.5e-3; x <= check.x_end() - 7.5e-3; x += 1e-3)
    face.push_back(check.point(x));
  std::vector<Vec2> check_solid = face;
  for (auto it = face.rbegin(); it != face.rend(); ++it) check_solid.push_back(*it - 9e-3 * check.outward());
  const Vec2 foot = check.point(0.5 * (check.x_start() + check.x_end())) - 5e-3 * check.outward();
  out.push_back({"check wire", key, "line", "metal", {foot, Vec2(foot.x() - 2e-3, d.key_height)}, 0, ""});
  out.push_back({"back check", key, "solid", "leather", check_solid, 0, ""});
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
  return out;
}

}  // namespace leverwright::study
