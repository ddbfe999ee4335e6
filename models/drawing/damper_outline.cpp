#include "models/drawing/damper_outline.h"

#include <cmath>

#include "models/drawing/outline_shapes.h"

namespace leverwright::drawing {
namespace {

// Invented, all of them [m].
constexpr double kLeverHalfHeight = 3e-3;  // as the tip's round
constexpr double kFelt = 7e-3, kWood = 9e-3, kWoodHalf = 20e-3;
constexpr double kStopFelt = 3e-3, kStopRail = 9e-3;

double felt_height(const action::Action& a) { return a.design.string_y - find_damper_hang(a).y(); }

}  // namespace

Vec2 find_damper_hang(const action::Action& a) {
  return action::damper_centre(a.design) - Vec2(a.design.key_options.damper.mass_arm, 0);
}

void add_damper_outlines(const action::Action& a, std::vector<BodyOutline>* out) {
  if (a.damper_body < 0) return;
  const action::DamperLever& damper = a.design.key_options.damper;
  const planar::Body& body = a.mechanism.tree.body(a.damper_body);
  const double tip = damper.lever_length, h = kLeverHalfHeight;
  out->push_back({a.damper_body, body.name, "rail", box(-tip - h, -h, 4e-3, h), "damper lever", "ground",
                  body.p_joint, -1, Vec2(0, 0)});
  const double felt_top = felt_height(a) + kFelt;
  out->push_back({kUpright, kDamperHeadName, "jack", box(-kWoodHalf, felt_top, kWoodHalf, felt_top + kWood),
                  "damper", body.name, Vec2(-damper.mass_arm, 0), -1, Vec2(0, 0)});
}

void add_damper_features(const action::Action& a, std::vector<Feature>* out) {
  if (a.damper_body < 0) return;
  const Vec2 centre = action::damper_centre(a.design), hang = find_damper_hang(a);
  const double up = felt_height(a), h = kLeverHalfHeight;
  out->push_back(
      {"damper flange", "ground", "solid", "rail", offset(box(-5e-3, -16e-3, 11e-3, -5e-3), centre), 0, ""});
  out->push_back({"damper guide rail", "ground", "solid", "rail",
                  offset(box(-7e-3, 0.55 * up, 7e-3, 0.55 * up + 9e-3), hang), 0, ""});
  // The stop lies along the lever where it is reached, between the wire and the centre.
  const double reach = a.design.key_options.damper.mass_arm, from = -0.7 * reach, to = -0.35 * reach;
  const double angle = action::damper_stop_angle(a.design);
  out->push_back({"damper stop", "ground", "solid", "felt",
                  offset(turned(box(from, h, to, h + kStopFelt), angle), centre), 0, ""});
  out->push_back({"damper stop rail", "ground", "solid", "rail",
                  offset(turned(box(from, h + kStopFelt, to, h + kStopFelt + kStopRail), angle), centre), 0,
                  ""});
  out->push_back({"damper wire", kDamperHeadName, "line", "metal", {Vec2(0, 0), Vec2(0, up + kFelt)}, 0, ""});
  out->push_back({"damper felt", kDamperHeadName, "solid", "felt",
                  box(-kDamperHalfLength, up, kDamperHalfLength, up + kFelt), 0, ""});
}

}  // namespace leverwright::drawing
