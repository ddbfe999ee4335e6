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
Feature wide(Feature f, const Across& across, Shown shown = Shown::kBoth) {
  f.across = across;
  f.shown = shown;
  return f;
}
Feature turned_on_lathe(Feature f, const Vec2& axis) {
  f.turned_about = std::atan2(axis.y(), axis.x());
  return f;
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

WippenCuts find_wippen_cuts(const action::ActionDesign& d) {
  return {0.5 * d.lever_centre.y(), d.jack_centre.x() + d.jack_half_width + 3.5e-3, -9e-3};
}

LeverWindow find_lever_window(const action::Action& a) {
  const auto& d = a.design;
  const double limit = a.q_drawn[action::kJack] + a.screws[action::kJackStop] / d.jack_stop_radius;
  LeverWindow out{1, -1};
  for (const double turn : {limit - 0.02, limit, limit + d.jack_travel}) {
    const double c = std::cos(turn), s = std::sin(turn);
    for (const double y : {0.72 * d.jack_length, d.jack_length})
      for (const double x : {-d.jack_half_width, d.jack_half_width}) {
        const double at = d.jack_centre.x() + c * x - s * y - d.lever_centre.x();
        out.front = std::min(out.front, at);
        out.back = std::max(out.back, at);
      }
  }
  double end = 1;
  for (const Vec2& p : d.lever_outline) end = std::min(end, p.x());
  out.front = std::max(out.front - 1.2e-3, end + 3e-3);
  out.back += 1.2e-3;
  return out;
}

// The traced outline down to the tail's string-side face, which is the arc the mechanism has there.
std::vector<Vec2> find_head_shape(const action::ActionDesign& d) {
  std::vector<Vec2> out;
  const Vec2 centre = d.tail_centre - Vec2(d.hammer_length, 0);
  const auto on_arc = [&](double angle) -> Vec2 {
    return centre + d.tail_radius * Vec2(std::cos(angle), std::sin(angle));
  };
  const std::vector<Vec2> smooth = smoothed(d.head_outline, 6, 1.2);
  const double high = on_arc(d.tail_high).y(), low = on_arc(d.tail_low).y();
  const double middle = on_arc(d.tail_low).x();
  const auto replaced = [&](const Vec2& p) {
    return p.y() < high && p.x() > std::min(middle, 0.0) && (p.x() > 0 || p.y() < low);
  };
  std::size_t first = 0;  // after the piece that is replaced
  const std::size_t n = smooth.size();
  for (std::size_t k = 0; k < n; ++k)
    if (replaced(smooth[k]) && !replaced(smooth[(k + 1) % n])) first = (k + 1) % n;
  for (std::size_t k = 0; k < n; ++k) {
    const Vec2& p = smooth[(first + k) % n];
    if (!replaced(p)) out.push_back(p);
  }
  const std::vector<Vec2> face = action::tail_cap(d, Vec2(d.hammer_length, 0)).outline(0.3e-3);
  std::vector<Vec2> arc(face.begin(), face.end());
  if ((out.back() - arc.front()).norm() > (out.back() - arc.back()).norm())
    std::reverse(arc.begin(), arc.end());
  out.insert(out.end(), arc.begin(), arc.end());
  // Clockwise, from where the player's side leaves the shank upwards to where it comes back to it.
  double twice = 0;
  for (std::size_t k = 0; k < out.size(); ++k) twice += base::cross(out[k], out[(k + 1) % out.size()]);
  if (twice > 0) std::reverse(out.begin(), out.end());
  for (std::size_t k = 0; k < out.size(); ++k) {
    const Vec2 &here = out[k], &next = out[(k + 1) % out.size()];
    if (here.x() < 0 && here.y() <= 0 && next.y() > 0) {
      std::rotate(out.begin(), out.begin() + static_cast<std::ptrdiff_t>((k + 1) % out.size()), out.end());
      break;
    }
  }
  const double shank = d.shank_half_height;
  out.erase(std::remove_if(out.begin(), out.end(),
                           [&](const Vec2& p) { return p.x() < 0 && std::abs(p.y()) < shank; }),
            out.end());
  return out;
}

// Its top is the rounded face the mechanism has there.
std::vector<Vec2> find_jack_shape(const action::ActionDesign& d) {
  const planar::Cap cap = action::jack_cap(d);
  std::vector<Vec2> top;
  for (const Vec2& p : cap.outline(2e-3))
    if ((p - cap.apex()).dot(cap.axis()) > -1.99e-3) top.push_back(p);
  std::sort(top.begin(), top.end(), [](const Vec2& a, const Vec2& b) { return a.x() < b.x(); });
  std::vector<Vec2> out;
  const std::size_t n = d.jack_outline.size();
  const auto is_top = [&](const Vec2& p) { return p.y() > d.jack_length - 3e-3; };
  for (std::size_t k = 0; k < n; ++k) {
    if (!is_top(d.jack_outline[k])) {
      out.push_back(d.jack_outline[k]);
      continue;
    }
    if (is_top(d.jack_outline[(k + n - 1) % n])) continue;
    const Vec2& before = d.jack_outline[(k + n - 1) % n];
    if (before.x() > 0)
      out.insert(out.end(), top.rbegin(), top.rend());
    else
      out.insert(out.end(), top.begin(), top.end());
  }
  return out;
}

void add_key_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const int key = action::kKey;
  const double top = d.key_height, x0 = d.key_front_x;
  const double half = 0.5 * d.key_width;
  out->push_back(wide(solid("key covering", key, "hammer", box(x0 - 1e-3, top - 2e-3, 0.4 * x0, top)),
                      {0, half + 0.4e-3}));
  out->push_back(wide(solid("key front", key, "hammer", box(x0 - 1.5e-3, top - 20e-3, x0, top - 2e-3)),
                      {0, half + 0.4e-3}));
  out->push_back(
      wide(solid("balance button", key, "wippen wood", box(-15e-3, top, 15e-3, top + 7e-3), "key button"),
           {0, 5e-3}));

  // The capstan's shaft down to the key's top, its thread as lines across.
  const planar::Cap cap = action::capstan_cap(d, a.screws[action::kCapstan]);
  const Vec2 up = cap.axis(), across = cap.along(), neck = cap.apex() - 3e-3 * up;
  const double shaft = (cap.apex().y() - top) / up.y();  // along its axis, from the key's top to the apex
  const Vec2 in_key = cap.apex() - shaft * up;
  constexpr double kHalf = 2.5e-3, kPitch = 2e-3;
  out->push_back(turned_on_lathe(
      solid("capstan shaft", key, "metal",
            {neck - kHalf * across, neck + kHalf * across, in_key + kHalf * across, in_key - kHalf * across}),
      up));
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
                  "capstan",
                  {0, d.cap_half_width},
                  Shown::kBoth,
                  std::atan2(up.y(), up.x())});

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
    out->push_back(wide({"check wood", body, "solid", "wippen wood", offset(check.wood, -hinge), 0, ""},
                        {0, kHalfCheck}));
  } else {
    out->push_back(
        turned_on_lathe(wide(solid("check wire", key, "metal", bar(foot, check.foot, 2.2e-3)), {0, 1.1e-3}),
                        Vec2(check.foot - foot)));
    out->push_back(wide(solid("check wood", key, "wippen wood", check.wood), {0, kHalfCheck}));
    out->push_back(wide(solid("back check", key, "leather", check.leather, "back check"), {0, kHalfCheck}));
  }
  for (std::size_t k = 0; k < d.leads.size(); ++k)
    out->push_back({"lead " + std::to_string(k + 1),
                    kBodyNames[static_cast<std::size_t>(key)],
                    "circle",
                    "metal",
                    {d.leads[k]},
                    6e-3,
                    "",
                    {},
                    k == 0 ? "lead" : "",
                    {0, half + 0.15e-3}});
}

void add_wippen_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const int wippen = action::kWippen;
  const std::string& name = kBodyNames[static_cast<std::size_t>(wippen)];
  // As a body: two cheeks, a core between the forks for the jack and for the flange, the post as a tongue.
  const WippenCuts cuts = find_wippen_cuts(d);
  out->push_back(
      wide(solid("wippen cheeks", wippen, "wippen wood", clipped(d.wippen_outline, -1, -1, 1, cuts.post_y)),
           kFork, Shown::kSolid));
  out->push_back(wide(solid("wippen core", wippen, "wippen wood",
                            clipped(d.wippen_outline, cuts.jack_x, -1, cuts.flange_x, cuts.post_y)),
                      {0, kHalfSlot}, Shown::kSolid));
  out->push_back(wide(solid("lever post", wippen, "wippen wood",
                            clipped(d.wippen_outline, d.lever_centre.x() - 20e-3, cuts.post_y,
                                    d.lever_centre.x() + 20e-3, d.lever_centre.y() + 3e-3)),
                      kTongue, Shown::kSolid));
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
  // A spoon stands on the wippen and carries the button.
  const Vec2 held = on_jack(face + 3e-3, high), spoon_top = on_jack(face + 4.2e-3, high + 3e-3);
  double wood_top = -1;
  for (const Vec2& p : clipped(d.wippen_outline, spoon_top.x() + 1e-3, -1, spoon_top.x() + 4e-3, 1))
    wood_top = std::max(wood_top, p.y());
  const Vec2 spoon_foot(spoon_top.x() + 2.5e-3, std::min(wood_top, held.y() - 2e-3));
  out->push_back(wide(solid("spoon", wippen, "metal",
                            {spoon_foot - Vec2(0.8e-3, 0), on_jack(face + 3.2e-3, high - 4e-3),
                             on_jack(face + 3.2e-3, high + 3e-3), on_jack(face + 4.4e-3, high + 3e-3),
                             on_jack(face + 4.8e-3, high - 2.4e-3), spoon_foot + Vec2(0.8e-3, 0)},
                            "spoon"),
                      {0, 2e-3}));
  out->push_back(wide(solid("jack button", wippen, "felt",
                            {on_jack(face, high - 3.6e-3), on_jack(face + 3.2e-3, high - 3.6e-3),
                             on_jack(face + 3.2e-3, high), on_jack(face, high)},
                            "jack button"),
                      {0, 2.4e-3}));
  // Lever-height button under the lever's rear arm, on its screw.
  double rear = 0;
  for (const Vec2& p : d.lever_outline) rear = std::max(rear, p.x());
  const double behind = std::min(0.9 * d.lever_stop_radius, rear - 3e-3);
  const std::vector<Vec2> arm = turned(clipped(d.lever_outline, behind - 2.4e-3, -1, behind + 2.4e-3, 1),
                                       a.screws[action::kLeverStop] / d.lever_stop_radius);
  if (!arm.empty()) {
    // Its top lies along the lever's lower side at the stop.
    double middle = 0;
    for (const Vec2& p : arm) middle += p.x() / static_cast<double>(arm.size());
    const auto lower_side = [&](double from, double to) {
      double low = 1;
      for (const Vec2& p : clipped(arm, from, -1, to, 1)) low = std::min(low, p.y());
      return low;
    };
    const double left = lower_side(middle - 2.3e-3, middle - 1.9e-3),
                 right = lower_side(middle + 1.9e-3, middle + 2.3e-3);
    const Vec2 under = d.lever_centre + Vec2(middle, std::min(left, right));
    if (left < 1 && right < 1) {
      out->push_back(
          turned_on_lathe(wide(solid("lever-height screw", wippen, "metal",
                                     box(under.x() - 0.8e-3, 2e-3, under.x() + 0.8e-3, under.y() - 2e-3)),
                               {0, 0.8e-3}),
                          Vec2(0, 1)));
      out->push_back(wide(solid("lever-height button", wippen, "felt",
                                {under + Vec2(-2.1e-3, -2.5e-3), under + Vec2(2.1e-3, -2.5e-3),
                                 Vec2(under.x() + 2.1e-3, d.lever_centre.y() + right),
                                 Vec2(under.x() - 2.1e-3, d.lever_centre.y() + left)},
                                "lever-height button"),
                          {0, 2.4e-3}));
    }
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
  // Cut open in flat drawings: what lies behind the window's near cheek. As a body: two cheeks and the
  // blocks between them, open for the jack and for the post.
  const LeverWindow at = find_lever_window(a);
  const int lever = action::kLever;
  const std::vector<Vec2> window = clipped(d.lever_outline, at.front, -1, at.back, 1);
  if (window.size() >= 3)
    out->push_back(wide(solid("lever window", lever, "rail", window), {0, kHalfSlot}, Shown::kFlat));
  double post_from = 1, post_to = -1;  // of the post, from the lever's centre
  for (const Vec2& p : clipped(d.wippen_outline, d.lever_centre.x() - 20e-3, find_wippen_cuts(d).post_y,
                               d.lever_centre.x() + 20e-3, 1)) {
    post_from = std::min(post_from, p.x() - d.lever_centre.x());
    post_to = std::max(post_to, p.x() - d.lever_centre.x());
  }
  constexpr double kRoom = 3e-3;  // for the post as the lever swings
  const auto block = [&](const char* name, double from, double to) {
    if (to - from < 1e-3) return;
    const std::vector<Vec2> points = clipped(d.lever_outline, from, -1, to, 1);
    if (points.size() >= 3)
      out->push_back(wide(solid(name, lever, "lever", points), {0, kHalfSlot}, Shown::kSolid));
  };
  out->push_back(
      wide(solid("lever cheeks", lever, "lever", d.lever_outline), {kHalfSlot, kHalfLever}, Shown::kSolid));
  block("lever front", -1, at.front);
  block("lever middle", at.back, post_from - kRoom);
  block("lever tail", post_to + kRoom, 1);
  out->push_back(
      wide(solid("drop leather", lever, "leather", offset(box(-4e-3, -1.2e-3, 4e-3, 0), d.lever_drop)),
           {0, kHalfSlot}));
}

void add_hammer_features(const action::Action& a, std::vector<Feature>* out) {
  const auto& d = a.design;
  const std::size_t last = a.hammer_pieces.size() - 1;
  const std::string head_body = a.mechanism.tree.name(a.hammer_pieces[last]);
  const Vec2 from_head = Vec2(d.hammer_length, 0) - a.hammer_origins[last];
  const std::string& hammer = kBodyNames[action::kHammer];
  // Butt: the shank's wider end above the knuckle, a fork about its centre.
  const double h = d.shank_half_height, k = d.knuckle_centre.x();
  const std::vector<Vec2> butt{{-7e-3, -h - 1.5e-3}, {k - 6e-3, -h - 1.5e-3}, {k + 9e-3, -h},
                               {k + 12e-3, h},       {2e-3, h + 1.5e-3},      {-7e-3, h + 0.5e-3}};
  out->push_back(wide({"shank end", hammer, "solid", "key wood", butt, 0, ""}, {0, kHalfWood}, Shown::kFlat));
  out->push_back(wide({"shank fork", hammer, "solid", "key wood", butt, 0, ""}, kFork, Shown::kSolid));
  out->push_back(wide({"butt", hammer, "solid", "key wood", clipped(butt, kButtFrom, -1, 1, 1), 0, ""},
                      {0, kHalfSlot}, Shown::kSolid));
  out->push_back(
      wide({"knuckle", hammer, "circle", "leather", {d.knuckle_centre}, d.knuckle_radius, "", {}, "knuckle"},
           {0, kHalfLever}));
  // Its core of wood, let into the shank, with cloth about it.
  out->push_back(
      wide({"knuckle cloth", hammer, "circle", "felt", {d.knuckle_centre}, 0.72 * d.knuckle_radius, ""},
           {0, kHalfLever + 0.1e-3}));
  out->push_back(wide({"knuckle core",
                       hammer,
                       "circle",
                       "key wood",
                       {d.knuckle_centre},
                       std::min(d.core_half_width, 0.45 * d.knuckle_radius),
                       ""},
                      {0, kHalfLever + 0.2e-3}));
  // Felt over a wooden core; the head's outline bounds both.
  double crown = 0;
  const std::vector<Vec2> head = find_head_shape(d);
  for (const Vec2& p : head) crown = std::max(crown, p.y());
  const double shoulder = 0.32 * crown, tip = 0.72 * crown;
  const std::vector<Vec2> felt = clipped(head, -1, shoulder, 1, 1);
  if (felt.size() < 3) return;
  double left = 1, right = -1;
  for (const Vec2& p : felt)
    if (p.y() < shoulder + 1e-9) {
      left = std::min(left, p.x());
      right = std::max(right, p.x());
    }
  const auto piece = [&](const char* name, const char* role, const std::vector<Vec2>& points,
                         const char* label, double half, Shown shown = Shown::kBoth) {
    out->push_back(wide({name, head_body, "solid", role, offset(points, from_head), 0, "", {}, label},
                        {0, half}, shown));
  };
  piece("hammer moulding", "key wood", clipped(head, -1, -1, 1, shoulder), "", kHalfWood, Shown::kSolid);
  piece("hammer felt", "hammer", felt, "hammer", kHalfWood);
  if (right > left) {
    const double inset = 0.12 * (right - left);
    piece("hammer core", "jack",
          {{left + inset, shoulder},
           {right - inset, shoulder},
           {0.25 * right, 0.5 * (shoulder + tip)},
           {0.6e-3, tip},
           {-0.6e-3, tip},
           {0.25 * left, 0.5 * (shoulder + tip)}},
          "", kHalfWood + 0.1e-3);
  }
}

}  // namespace leverwright::drawing
