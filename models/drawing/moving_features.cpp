// What is drawn on key, wippen, jack, lever and hammer besides their outlines.
#include <algorithm>
#include <cmath>

#include "models/drawing/outline_shapes.h"
#include "models/drawing/part_features.h"

namespace leverwright::drawing {

using action::kBodyNames;

namespace {

Feature solid(const std::string& name, int body, const char* role, std::vector<Vec2> points,
              const char* label = "") {
  return {name, kBodyNames[static_cast<std::size_t>(body)], "solid", role, std::move(points), 0, "", {},
          label};
}
Feature line(const std::string& name, int body, const char* role, std::vector<Vec2> points) {
  return {name, kBodyNames[static_cast<std::size_t>(body)], "line", role, std::move(points), 0, ""};
}

}  // namespace

CheckShape find_check_shape(const action::Action& a) {
  const planar::Profile check = action::check_profile(a.design, a.screws[action::kBackCheck]);
  std::vector<Vec2> face;
  for (double x = check.x_start() + 7.5e-3; x <= check.x_end() - 7.5e-3; x += 1e-3)
    face.push_back(check.point(x));
  constexpr double kLeather = 2.5e-3, kWood = 9e-3;
  const auto behind = [&](double from, double to) {
    std::vector<Vec2> out;
    for (const Vec2& p : face) out.push_back(p - from * check.outward());
    for (auto it = face.rbegin(); it != face.rend(); ++it) out.push_back(*it - to * check.outward());
    return out;
  };
  CheckShape out{behind(0, kLeather), behind(kLeather, kWood), {}};
  out.foot = check.point(0.5 * (check.x_start() + check.x_end())) - 5.5e-3 * check.outward();
  return out;
}

void add_key_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const int key = action::kKey;
  const double top = d.key_height, x0 = d.key_front_x;
  out->push_back(solid("key covering", key, "hammer", box(x0 - 1e-3, top - 2e-3, 0.4 * x0, top)));
  out->push_back(solid("key front", key, "hammer", box(x0 - 1.5e-3, top - 20e-3, x0, top - 2e-3)));
  out->push_back(solid("balance button", key, "wippen wood", box(-15e-3, top, 15e-3, top + 7e-3)));

  // The capstan's shaft down to the key's top, its thread as lines across.
  const planar::Cap cap = action::capstan_cap(d, a.screws[action::kCapstan]);
  const Vec2 up = cap.axis(), across = cap.along(), neck = cap.apex() - 3e-3 * up;
  const double shaft = (cap.apex().y() - top) / up.y();  // along its axis, from the key's top to the apex
  const Vec2 in_key = cap.apex() - shaft * up;
  constexpr double kHalf = 2.5e-3, kPitch = 2e-3;
  out->push_back(solid(
      "capstan shaft", key, "metal",
      {neck - kHalf * across, neck + kHalf * across, in_key + kHalf * across, in_key - kHalf * across}));
  int turn = 0;
  for (double s = 6e-3; s < shaft - 1e-3 && turn < 12; s += kPitch, ++turn) {
    const Vec2 at = cap.apex() - s * up;
    out->push_back(line("capstan thread " + std::to_string(turn + 1), key, "string",
                        {at - kHalf * across, at + kHalf * across - 0.6e-3 * up}));
  }
  out->push_back({"capstan",
                  kBodyNames[static_cast<std::size_t>(key)],
                  "cap",
                  "metal",
                  cap.outline(3e-3),
                  0,
                  "",
                  {},
                  "capstan"});

  const CheckShape check = find_check_shape(a);
  const Vec2 foot(check.foot.x() - 2e-3, top);
  if (a.check_body >= 0) {
    const std::string& body = a.mechanism.tree.name(a.check_body);
    const Vec2 hinge = action::check_hinge(d);
    out->push_back({"check wire",
                    body,
                    "wire",
                    "metal",
                    {check.foot - hinge, foot},
                    0,
                    kBodyNames[static_cast<std::size_t>(key)]});
    out->push_back({"check wood", body, "solid", "wippen wood", offset(check.wood, -hinge), 0, ""});
  } else {
    out->push_back(solid("check wire", key, "metal", bar(foot, check.foot, 2.2e-3)));
    out->push_back(solid("check wood", key, "wippen wood", check.wood));
    out->push_back(solid("back check", key, "leather", check.leather, "back check"));
  }
  for (std::size_t k = 0; k < d.leads.size(); ++k)
    out->push_back({"lead " + std::to_string(k + 1),
                    kBodyNames[static_cast<std::size_t>(key)],
                    "circle",
                    "metal",
                    {d.leads[k]},
                    6e-3,
                    ""});
}

void add_wippen_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const int wippen = action::kWippen;
  const std::string& name = kBodyNames[static_cast<std::size_t>(wippen)];
  // The heel: cloth on the surface, wood behind it by the cloth's thickness, glued under the wippen.
  const planar::Profile heel = action::heel_profile(d);
  std::vector<Vec2> surface;
  for (double x = heel.x_start() + 1e-3; x <= heel.x_end() - 1e-3; x += 0.25e-3)
    surface.push_back(heel.point(x));
  // Points run towards the strings with the wood on their left.
  const std::vector<Vec2> back = beside(surface, d.heel_cloth_thickness);
  double lowest = 1, highest = -1;
  for (const Vec2& p : back) {
    lowest = std::min(lowest, p.y());
    highest = std::max(highest, p.y());
  }
  std::vector<Vec2> wood;
  for (const Vec2& p : back)
    if (wood.empty() || p.x() > wood.back().x()) wood.push_back(p);
  const double glue = std::max(highest, lowest + 4e-3) + 2e-3;
  wood.emplace_back(wood.back().x(), glue);
  wood.emplace_back(wood.front().x(), glue);
  if (!d.heel_outline.empty())
    out->push_back({"heel wood", name, "solid", "wippen wood", d.heel_outline, 0, ""});
  out->push_back(solid("heel block", wippen, "wippen wood", wood));
  std::vector<Vec2> cloth = surface;
  cloth.insert(cloth.end(), back.rbegin(), back.rend());
  out->push_back(solid("heel cloth", wippen, "felt", cloth, "heel"));
  out->push_back({"heel surface", name, "heel surface", "felt", surface, 0, ""});

  // Jack button on its screw, at the jack's string-side face where it rests.
  const double turn = a.q_drawn[action::kJack] + a.screws[action::kJackStop] / d.jack_stop_radius;
  const auto on_jack = [&](double x, double y) {
    return Vec2(d.jack_centre +
                Vec2(std::cos(turn) * x - std::sin(turn) * y, std::sin(turn) * x + std::cos(turn) * y));
  };
  const double face = d.jack_half_width, high = d.jack_stop_radius;
  const Vec2 screw_end(d.lever_centre.x() - 5e-3,
                       std::max(on_jack(face, high).y(), d.jack_centre.y() + 6e-3));
  out->push_back(
      solid("jack button screw", wippen, "metal", bar(on_jack(face + 3e-3, high), screw_end, 1.4e-3)));
  out->push_back(solid("jack button", wippen, "felt",
                       {on_jack(face, high - 2.5e-3), on_jack(face + 3e-3, high - 2.5e-3),
                        on_jack(face + 3e-3, high + 2.5e-3), on_jack(face, high + 2.5e-3)},
                       "jack button"));
  // Lever-height button under the lever's rear arm, on its screw.
  double rear = 0;
  for (const Vec2& p : d.lever_outline) rear = std::max(rear, p.x());
  const double behind = std::min(0.9 * d.lever_stop_radius, rear - 3e-3);
  const std::vector<Vec2> arm = clipped(d.lever_outline, behind - 1e-3, -1, behind + 1e-3, 1);
  if (!arm.empty()) {
    double low = 1;
    for (const Vec2& p : arm) low = std::min(low, p.y());
    const Vec2 under = d.lever_centre + Vec2(behind, low);
    out->push_back(solid("lever-height screw", wippen, "metal",
                         box(under.x() - 0.8e-3, 2e-3, under.x() + 0.8e-3, under.y() - 2e-3)));
    out->push_back(solid("lever-height button", wippen, "felt",
                         box(under.x() - 2.4e-3, under.y() - 2.5e-3, under.x() + 2.4e-3, under.y())));
  }

  // Springs: a coil on the lever's post each; one arm lies under the lever, the other behind the jack.
  const Vec2 post = d.lever_centre + Vec2(-0.5e-3, -13e-3);
  out->push_back(line("spring coil", wippen, "string", coil(post, 3.4e-3, 1.6e-3, 2.6, 0.7)));
  out->push_back({"repetition spring",
                  name,
                  "wire",
                  "metal",
                  {post + Vec2(-2.6e-3, 2.2e-3), Vec2(-26e-3, 1.0e-3)},
                  0,
                  kBodyNames[action::kLever]});
  out->push_back(
      {"jack spring",
       name,
       "wire",
       "metal",
       {post + Vec2(-2.2e-3, -2.6e-3), Vec2(d.jack_half_width, std::min(14e-3, 0.4 * d.jack_length))},
       0,
       kBodyNames[action::kJack]});
}

void add_jack_and_lever_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  // The lever is cut open where the jack goes through it: what lies behind the window's near cheek.
  const double c = std::cos(a.q_drawn[action::kJack]), s = std::sin(a.q_drawn[action::kJack]);
  const Vec2 top = d.jack_centre + d.jack_length * Vec2(-s, c) - d.lever_centre;  // lever frame, as drawn
  const double back = top.x() + d.jack_half_width + 1.2e-3, front = top.x() - d.jack_half_width - 11e-3;
  const std::vector<Vec2> window = clipped(d.lever_outline, front, -1, back, 1);
  if (window.size() >= 3) out->push_back(solid("lever window", action::kLever, "rail", window));
  out->push_back(
      solid("drop leather", action::kLever, "leather", offset(box(-4e-3, -1.2e-3, 4e-3, 0), d.lever_drop)));
}

void add_hammer_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const std::size_t last = a.hammer_pieces.size() - 1;
  const std::string head_body = a.mechanism.tree.name(a.hammer_pieces[last]);
  const Vec2 from_head = Vec2(d.hammer_length, 0) - a.hammer_origins[last];
  const std::string& hammer = kBodyNames[action::kHammer];
  // Butt: the shank's wider end about its centre, down to the knuckle.
  const double h = d.shank_half_height, k = d.knuckle_centre.x();
  out->push_back({"shank end",
                  hammer,
                  "solid",
                  "key wood",
                  {{-7e-3, -h - 1.5e-3},
                   {k - 6e-3, -h - 1.5e-3},
                   {k + 9e-3, -h},
                   {k + 12e-3, h},
                   {2e-3, h + 1.5e-3},
                   {-7e-3, h + 0.5e-3}},
                  0,
                  ""});
  out->push_back(
      {"knuckle", hammer, "circle", "leather", {d.knuckle_centre}, d.knuckle_radius, "", {}, "knuckle"});
  // Felt over a wooden core; the head's outline bounds both.
  double crown = 0;
  for (const Vec2& p : d.head_outline) crown = std::max(crown, p.y());
  const double shoulder = 0.32 * crown, tip = 0.72 * crown;
  const std::vector<Vec2> felt = clipped(d.head_outline, -1, shoulder, 1, 1);
  if (felt.size() < 3) return;
  double left = 1, right = -1;
  for (const Vec2& p : felt)
    if (p.y() < shoulder + 1e-9) {
      left = std::min(left, p.x());
      right = std::max(right, p.x());
    }
  const auto piece = [&](const char* name, const char* role, const std::vector<Vec2>& points) {
    out->push_back({name, head_body, "solid", role, offset(points, from_head), 0, ""});
  };
  piece("hammer felt", "hammer", felt);
  if (right > left) {
    const double inset = 0.12 * (right - left);
    piece("hammer core", "jack",
          {{left + inset, shoulder}, {right - inset, shoulder}, {0.5e-3, tip}, {-0.5e-3, tip}});
  }
}

}  // namespace leverwright::drawing
