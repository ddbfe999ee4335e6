#include <algorithm>
#include <cmath>

#include "models/search/trial.h"
#include "sim/base/error.h"
#include "viz/sheets/action_shape.h"
#include "viz/sheets/callout_shapes.h"
#include "viz/sheets/drawings.h"

namespace leverwright::sheets {

using scene::Box;
using scene::Point;

namespace {

constexpr double kSideWidth = 108, kDetailWidth = 78, kKeyWidth = 108;  // mm on paper

// The regulated base at rest and at half stroke.
struct Drawn {
  action::Action action;
  scene::SetUpMoment rest, half;
};

Drawn draw_base(const case_file::CaseDescription& d) {
  const study::SetUpSolver solver(d);
  solver.require_base(d);
  const search::Trial t = search::try_set_up(solver, d, d.set_ups.front(), solver.base_screws());
  if (!t.ok)
    throw base::UserError("the base cannot be drawn: " + t.why, "leverwright read shows its measurements");
  Drawn out{action::assemble(t.design, t.regulated.screws), {}, {}};
  out.rest = find_moment(out.action, t.regulated.rest.q, "rest");
  const auto half = study::find_half_stroke(out.action, t.regulated);
  out.half = find_moment(out.action, half ? half->state.q : t.regulated.rest.q, "half stroke");
  make_pale(&out.rest.shape);
  make_pale(&out.half.shape);
  return out;
}

void add_action(const scene::SetUpMoment& m, CalloutScene& out) {
  scene::ActionSceneOptions options;
  options.labels = options.forces = false;
  const scene::Scene all = build_action_scene(m.shape, m.moment, options);
  for (const auto& shape : all.shapes)
    if (scene::name_of(shape).find("line of centres") == std::string::npos) out.shapes().push_back(shape);
}

Point mm(const base::Vec2& metres) { return scene::to_millimetres(metres); }

Picture draw_side(const Drawn& drawn) {
  const auto& d = drawn.action.design;
  const auto& m = drawn.rest;
  const Point p = mm(d.p_P), h = mm(d.p_H), apex = on_body(m, "key", d.cap_apex);
  const double bed = 1e3 * d.p_balance.y() - 25, string = 1e3 * d.string_y;
  const Point crown = on_body(m, "hammer", base::Vec2(d.hammer_length, d.bore));
  const Box view{-36, bed - 26, crown.x() + 74, string + 10};
  CalloutScene s(view, kSideWidth);
  add_action(m, s);
  s.line({{view.x0, bed}, {view.x1, bed}}, 0.6);
  s.measure(11, p, h, 17);
  s.measure(12, {p.x(), bed}, p, -11);
  s.measure(13, {h.x(), bed}, h, 9);
  s.measure(14, {0, bed}, {0, 0}, 7);
  s.measure(15, {apex.x(), bed}, apex, 9);
  s.measure(16, {crown.x() + 40, bed}, {crown.x() + 40, string}, -7);
  s.measure(17, {0, bed}, {p.x(), bed}, -6);
  const Point jack = on_body(m, "jack", base::Vec2(0, d.jack_length));
  s.measure(42, p, jack, 2);
  const Point jack_centre = on_body(m, "jack", base::Vec2(0, 0)),
              lever = on_body(m, "repetition lever", base::Vec2(0, 0));
  s.point_out(71, h, {h.x() - s.paper(11), h.y() + s.paper(12)});
  s.point_out(72, p, {p.x() + s.paper(16), p.y() + s.paper(9)});
  s.point_out(73, jack_centre, {jack_centre.x() - s.paper(21), jack_centre.y() - s.paper(5)});
  s.point_out(74, lever, {lever.x() + s.paper(15), lever.y() + s.paper(6)});
  s.words("keybed", {view.x0 + s.paper(1), bed - s.paper(2)}, 2.6, false, scene::Across::kLeft);
  s.words("string", {view.x1 - s.paper(1), string + s.paper(2)}, 2.6, false, scene::Across::kRight);
  return {s.write(kSideWidth, "side view"),
          "Side view of the action at rest, to scale, with the numbers of the lines that measure where "
          "wippen, hammer, "
          "balance hole, capstan and string stand",
          "The action at rest"};
}

Picture draw_key(const Drawn& drawn) {
  const auto& d = drawn.action.design;
  const auto& m = drawn.rest;
  const Point front = on_body(m, "key", d.playing_point), apex = on_body(m, "key", d.cap_apex);
  const double height = 1e3 * d.key_height;
  const Box view{1e3 * d.key_front_x - 10, -34, 1e3 * d.key_rear_x + 6, 66};
  CalloutScene s(view, kKeyWidth);
  scene::SetUpMoment only = m;
  for (auto& body : only.shape.bodies)
    if (body.name != "key") {
      body.pieces.clear();
      body.rounds.clear();
      body.pivot.reset();
    }
  only.shape.springs.clear();
  add_action(only, s);
  s.line({{front.x(), height + s.paper(1)}, {front.x(), -s.paper(6)}}, 0.2, {4, 3});
  s.line({{0, height + s.paper(3)}, {0, -s.paper(6)}}, 0.2, {4, 3});
  s.measure(21, {front.x(), 0}, {0, 0}, -4);
  s.measure(22, {0, 0}, apex, -3);
  s.measure(23, {-40, 0}, {-40, height}, 0.5);
  s.point_out(62, {front.x(), height}, {front.x() - s.paper(0.5), height + s.paper(6)});
  s.point_out(75, {front.x(), height}, {front.x() + s.paper(6), height + s.paper(6)});
  if (!d.leads.empty()) {
    const Point lead = on_body(m, "key", d.leads.front());
    s.point_out(64, lead, {lead.x() - s.paper(5), height + s.paper(6)});
    s.measure(65, {lead.x(), height}, {0, height}, 3.4);
  }
  return {s.write(kKeyWidth, "key"),
          "The key from the side, with the numbers of its lengths, of the front weight and of the first lead",
          "The key: from the playing point over the balance hole to the capstan"};
}

Picture draw_heel(const Drawn& drawn) {
  const auto& d = drawn.action.design;
  const auto& m = drawn.half;
  const Point apex = on_body(m, "key", action::capstan_cap(d, drawn.action.screws[action::kCapstan]).apex());
  const double face = 0.5 * (d.lifting_face_from + d.lifting_face_to);
  const auto surface = [&](double x) {
    const planar::Profile heel = action::heel_profile(d);
    return on_body(m, "wippen", heel.point(x));
  };
  const Point middle = surface(face);
  const Box view{middle.x() - 19, apex.y() - 14, middle.x() + 29, apex.y() + 22};
  CalloutScene s(view, kDetailWidth);
  add_action(m, s);
  const double half = 1e3 * d.cap_half_width;
  const double lean = d.cap_lean;
  const Point axis(std::sin(lean), std::cos(lean)), along(std::cos(lean), -std::sin(lean));
  // From the wippen centre: the line leaves the picture on its right.
  const auto from_centre = [&](int n, const Point& at, double y) {
    s.line({at, {at.x(), y}}, 0.15);
    s.shapes().push_back(scene::Arrow{"from the wippen centre",
                                      {view.x1 - 1, y},
                                      {at.x(), y},
                                      scene::Stroke{scene::Role::kInk, 0.25, {}},
                                      1.8,
                                      false});
    s.number(n, {view.x1 - s.paper(13), y});
  };
  from_centre(43, surface(d.lifting_face_to), apex.y() + s.paper(25));
  from_centre(44, surface(d.lifting_face_from), apex.y() + s.paper(30));
  from_centre(41, apex, apex.y() - s.paper(4.5));
  s.words("to the wippen centre", {view.x1 - s.paper(1), apex.y() + s.paper(20.5)}, 2.5, false,
          scene::Across::kRight);
  s.measure(32, apex - half * along - 3 * axis, apex + half * along - 3 * axis, -7);
  s.point_out(31, apex - 2.2 * axis, apex + s.paper(16) * along - s.paper(11) * axis);
  s.point_out(33, apex - 0.45 * half * along, apex - s.paper(22) * along - s.paper(3) * axis);
  s.point_out(34, apex - 0.97 * half * along - 1.2 * axis, apex - s.paper(22) * along - s.paper(10) * axis);
  const Point below = apex - s.paper(17) * axis;
  s.line({apex + s.paper(5) * axis, below}, 0.25, {8, 3, 1, 3});
  s.number(35, below - s.paper(1) * along);
  const Point cloth = surface(d.lifting_face_from - 0.5e-3) + Point(0.3, 0.8);
  s.point_out(45, cloth, {view.x0 + s.paper(5), cloth.y() + s.paper(4)});
  const Point under = surface(face) + Point(-1.5, 1e3 * d.heel_cloth_thickness + 0.6);
  s.point_out(46, under, {view.x0 + s.paper(5), under.y() + s.paper(10)});
  s.point_out(63, surface(face), {middle.x() + s.paper(19), apex.y() + s.paper(9)});
  return {s.write(kDetailWidth, "heel and capstan"),
          "Heel and capstan enlarged at half stroke, with the numbers of the lines that measure cap, heel "
          "cloth and "
          "lifting face",
          "Heel and capstan at half stroke"};
}

Picture draw_hammer(const Drawn& drawn) {
  const auto& d = drawn.action.design;
  const auto& m = drawn.rest;
  const auto on = [&](double x, double y) { return on_body(m, "hammer", base::Vec2(x, y)); };
  const Point h = on(0, 0), foot = on(d.hammer_length, 0), crown = on(d.hammer_length, d.bore);
  const Point core = on(d.hanging_distance, 0);
  const Point knuckle = on(d.knuckle_centre.x(), d.knuckle_centre.y());
  const Point contact = on(d.knuckle_centre.x(), d.knuckle_centre.y() - d.knuckle_radius);
  const Box view{h.x() - 22, std::min(knuckle.y() - 30, foot.y() - 26), crown.x() + 38,
                 std::max(h.y() + 42, crown.y() + 10)};
  CalloutScene s(view, kDetailWidth);
  scene::SetUpMoment only = m;
  for (auto& body : only.shape.bodies)
    if (body.name != "hammer") {
      body.pieces.clear();
      body.rounds.clear();
      body.pivot.reset();
    }
  only.shape.springs.clear();
  add_action(only, s);
  s.measure(51, h, core, 8);
  s.measure(54, h, foot, 15);
  s.measure(55, foot, crown, -12);
  s.measure(53, h, contact, -8);
  const Point side(knuckle.x() + 1e3 * d.knuckle_radius, knuckle.y());
  s.point_out(52, side, {side.x() + s.paper(9), side.y() - s.paper(6)});
  s.point_out(61, crown, {crown.x() - s.paper(12), crown.y() - s.paper(4)});
  return {s.write(kDetailWidth, "hammer"),
          "Shank, knuckle and hammer at rest, with the numbers of the lines that measure them",
          "Shank and hammer"};
}

}  // namespace

std::vector<Picture> draw_sheet(const case_file::CaseDescription& d) {
  const Drawn drawn = draw_base(d);
  return {draw_side(drawn), draw_key(drawn), draw_heel(drawn), draw_hammer(drawn)};
}

Picture draw_trace_paper() {
  constexpr double kWide = 80, kHigh = 30, kTwice = 2;
  CalloutScene s({0, 0, kWide, kHigh}, kWide * kTwice);
  for (int x = 0; x <= static_cast<int>(kWide); ++x)
    s.line({{static_cast<double>(x), 0}, {static_cast<double>(x), kHigh}}, x % 10 == 0  ? 0.5
                                                                           : x % 5 == 0 ? 0.25
                                                                                        : 0.1);
  for (int y = 0; y <= static_cast<int>(kHigh); ++y)
    s.line({{0, static_cast<double>(y)}, {kWide, static_cast<double>(y)}}, y % 10 == 0  ? 0.5
                                                                           : y % 5 == 0 ? 0.25
                                                                                        : 0.1);
  return {s.write(kWide * kTwice + 1, "squared paper"),
          "Squared paper, one millimetre to the square at twice the size",
          "For the trace, twice the size: one square is 1 mm"};
}

}  // namespace leverwright::sheets
