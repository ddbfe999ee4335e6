// Rails, buttons, flanges and cloths that stand still, drawn behind the parts that move.
#include <algorithm>
#include <cmath>

#include "models/drawing/damper_outline.h"
#include "models/drawing/outline_shapes.h"
#include "models/drawing/part_features.h"
#include "sim/base/units.h"

namespace leverwright::drawing {

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
  Feature out{"string", "ground", "line", "string", {}, 0, "", {}, "string"};
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

void add_fixed_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const auto solid = [&](const char* name, const char* role, std::vector<Vec2> points, const char* label = "",
                         const Across& across = {0, kHalfRail}, bool turned = false) {
    out->push_back({name,
                    "ground",
                    "solid",
                    role,
                    std::move(points),
                    0,
                    "",
                    {},
                    label,
                    across,
                    Shown::kBoth,
                    turned ? std::optional<double>(0.5 * base::kPi) : std::nullopt});
  };
  const auto rod = [&](const char* name, std::vector<Vec2> points, const char* label = "", double half = 0) {
    double width = half;
    if (!(width > 0)) width = 0.5 * std::min((points[1] - points[0]).norm(), (points[2] - points[1]).norm());
    solid(name, "metal", std::move(points), label, {0, width}, true);
  };
  const auto line = [&](const char* name, const char* role, std::vector<Vec2> points) {
    out->push_back({name, "ground", "line", role, std::move(points), 0, ""});
  };
  out->push_back(string_line(a));

  // Key frame: three rails on the keybed with their cloths and pins.
  const double floor = d.p_balance.y() - 25e-3, cloth = 4e-3;
  line("keybed", "rail", {{d.key_front_x - 8e-3, floor}, {d.key_rear_x + 8e-3, floor}});
  const double front_top = d.p_balance.y() + a.screws[action::kFrontPunching] -
                           (d.dip > 0 ? d.dip : 10e-3) * d.front_punching.x() / d.playing_point.x();
  const Vec2 punching = d.p_balance + d.front_punching, rail = d.p_balance + d.back_rail;
  solid("front rail", "rail", box(punching.x() - 15e-3, floor, punching.x() + 15e-3, front_top - cloth),
        "front rail");
  rod("front pin", box(punching.x() - 1.6e-3, front_top - cloth, punching.x() + 1.6e-3, 0.35 * d.key_height));
  // Pressed flat by a key that is down, as they are by use.
  const double down = (d.dip > 0 ? d.dip : 10e-3) / std::abs(d.playing_point.x());
  solid("front punching", "felt",
        {{punching.x() - 9e-3, front_top - cloth},
         {punching.x() + 9e-3, front_top - cloth},
         {punching.x() + 9e-3, front_top},
         {punching.x(), front_top},
         {punching.x() - 9e-3, front_top - 9e-3 * down}},
        "front punching", {0, 9e-3});
  solid("balance rail", "rail", box(d.p_balance.x() - 17e-3, floor, d.p_balance.x() + 17e-3, -3e-3),
        "balance rail");
  solid("balance punching", "felt",
        offset({{-9e-3, -3e-3}, {9e-3, -3e-3}, {9e-3, 0}, {0, 0}, {-9e-3, -9e-3 * down}}, d.p_balance), "",
        {0, 9e-3});
  rod("balance pin",
      box(d.p_balance.x() - 1.2e-3, -3e-3, d.p_balance.x() + 1.2e-3, d.p_balance.y() + d.key_height + 13e-3),
      "balance pin");
  const double back_top = d.back_rail_offset;
  solid("back rail", "rail", box(rail.x() - 15e-3, floor, rail.x() + 15e-3, back_top - cloth), "back rail");
  solid("back-rail cloth", "felt", box(rail.x() - 12e-3, back_top - cloth, rail.x() + 12e-3, back_top));

  // Let-off button on its screw under the let-off rail.
  const Vec2 button = d.button + Vec2(0, a.screws[action::kLetOffButton]);
  rod("let-off screw", offset(box(-0.9e-3, 9e-3, 0.9e-3, 20e-3), button));
  solid("let-off wood", "wippen wood", offset(box(-3.5e-3, 3e-3, 3.5e-3, 9e-3), button), "", {0, 3.5e-3},
        true);
  solid("let-off button", "felt", offset(box(-4e-3, 0, 4e-3, 3e-3), button), "let-off button", {0, 4e-3},
        true);
  solid("let-off rail", "rail", offset(box(-8e-3, 17e-3, 8e-3, 29e-3), d.button), "let-off rail");

  // Hammer flange with the drop screw through it, and the rail it is screwed to.
  const Vec2 screw = d.drop_screw + Vec2(0, a.screws[action::kDropScrew]);
  const double away =
      std::min(-14e-3, screw.x() - d.p_H.x() - 7e-3);  // the flange reaches over the drop screw
  solid("hammer rail", "rail", offset(box(away - 14e-3, 5e-3, away + 4e-3, 24e-3), d.p_H), "hammer rail");
  solid("hammer flange", "wippen wood",
        offset({{away - 14e-3, 0},
                {away - 14e-3, 5e-3},
                {2e-3, 5e-3},
                {5e-3, 2e-3},
                {5e-3, -2e-3},
                {2e-3, -4.5e-3},
                {away, -4.5e-3}},
               d.p_H),
        "hammer flange", kTongue);
  const double top = std::max(16e-3, d.p_H.y() + 8e-3 - screw.y());
  std::vector<Vec2> screw_shape{{d.drop_screw_radius, top}, {-d.drop_screw_radius, top}};
  for (int k = 0; k <= 12; ++k) {  // its end is round
    const double turn = base::kPi * (1 + k / 12.0);
    screw_shape.emplace_back(d.drop_screw_radius * std::cos(turn),
                             d.drop_screw_radius * (1 + std::sin(turn)));
  }
  rod("drop screw", offset(screw_shape, screw), "drop screw", d.drop_screw_radius);
  line("drop screw slot", "string", {screw + Vec2(0, top - 2e-3), screw + Vec2(0, top)});

  // Wippen flange, which hangs down to its rail: above it the shank goes past.
  solid("wippen rail", "rail", offset(box(-15e-3, -38e-3, 7e-3, -22e-3), d.p_P), "wippen rail");
  solid("wippen flange", "wippen wood",
        offset({{-4.5e-3, -22e-3},
                {-4.5e-3, -1e-3},
                {-2e-3, 4e-3},
                {2e-3, 4e-3},
                {4.5e-3, -1e-3},
                {4.5e-3, -22e-3}},
               d.p_P),
        "wippen flange", kTongue);

  // Rest cushion on a bracket from the wippen rail.
  const double cs = std::cos(d.shank_rest_angle), sn = std::sin(d.shank_rest_angle);
  const auto along_shank = [&](double x, double y) -> Vec2 {
    return d.p_H + Vec2(cs * (d.rest_rail_x + x) - sn * y, sn * (d.rest_rail_x + x) + cs * y);
  };
  const double pad = -d.shank_half_height - d.rest_rail_gap;
  constexpr double kNear = -2e-3, kFar = 8e-3;  // of the cushion, clear of the lever's tail
  line("rest bracket", "metal", {along_shank(0.5 * (kNear + kFar), pad - 9e-3), d.p_P + Vec2(-9e-3, -22e-3)});
  solid("rest rail", "wippen wood",
        {along_shank(kNear, pad - 5e-3), along_shank(kFar, pad - 5e-3), along_shank(kFar, pad - 9e-3),
         along_shank(kNear, pad - 9e-3)});
  solid("rest cushion", "felt",
        {along_shank(kNear, pad), along_shank(kFar, pad), along_shank(kFar, pad - 5e-3),
         along_shank(kNear, pad - 5e-3)},
        "rest cushion");
}

}  // namespace leverwright::drawing
