#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/capstan_hole.h"
#include "models/remedies/heel_surface.h"
#include "models/workshop/order.h"
#include "viz/paper/paper.h"
#include "viz/scene/drawing.h"
#include "viz/sheets/action_shape.h"
#include "viz/sheets/callout_shapes.h"
#include "viz/sheets/drawings.h"

namespace leverwright::sheets {

using scene::Box;
using scene::Point;

namespace {

constexpr double kWidth = 180;  // mm on paper
const std::vector<double> kBefore = {4, 2.5};

scene::SetUpMoment at_rest(const study::SetUpResult& s) {
  auto m = find_moment(s.action, s.regulated.rest.q, s.name);
  make_pale(&m.shape);
  return m;
}

std::vector<Point> placed(const scene::SetUpMoment& m, const std::string& body,
                          const std::vector<base::Vec2>& points) {
  std::vector<Point> out;
  for (const auto& p : points) out.push_back(on_body(m, body, p));
  return out;
}

std::vector<base::Vec2> surface_of(const action::ActionDesign& d, double inward) {
  const planar::Profile heel = action::heel_profile(d);
  std::vector<base::Vec2> out;
  for (double x = heel.x_start() + 1e-3; x <= heel.x_end() - 1e-3; x += 0.25e-3)
    out.push_back(heel.point(x) - inward * heel.outward());
  return out;
}

bool heel_or_capstan_moves(const action::ActionDesign& a, const action::ActionDesign& b) {
  if ((a.cap_apex - b.cap_apex).norm() > 0.02e-3 || std::abs(a.cap_lean - b.cap_lean) > 1e-4) return true;
  if (std::abs(a.cap_half_width - b.cap_half_width) > 1e-6 || a.cap_is_flat != b.cap_is_flat ||
      std::abs(a.cap_dome_radius - b.cap_dome_radius) > 1e-6)
    return true;
  if (a.heel_x.size() != b.heel_x.size()) return true;
  for (std::size_t k = 0; k < a.heel_x.size(); ++k)
    if (std::abs(a.heel_x[k] - b.heel_x[k]) > 1e-5 || std::abs(a.heel_h[k] - b.heel_h[k]) > 1e-5) return true;
  return false;
}

const case_file::Change* find_change(const case_file::CaseDescription& d, const case_file::Remedy& remedy) {
  for (const auto& c : d.set_ups.back().changes)
    if (c.remedy == &remedy) return &c;
  return nullptr;
}

std::string mm_words(double metres, int decimals = 1) {
  return fmt::format("{:.{}f}", std::abs(metres) * 1e3, decimals);
}

void add_strip(const case_file::Change& strip, const action::ActionDesign& d, const scene::SetUpMoment& m,
               CalloutScene& s) {
  const double half = 0.5 * strip.quantities.at("length").value, centre = strip.quantities.at("centre").value;
  const double inward = d.heel_cloth_thickness, thick = strip.quantities.at("height").value;
  const planar::Profile heel = action::heel_profile(d);
  std::vector<Point> outline;
  for (double x = -centre - half; x <= -centre + half + 1e-9; x += 0.25e-3)
    outline.push_back(on_body(m, "wippen", heel.point(x) - inward * heel.outward()));
  for (double x = -centre + half; x >= -centre - half - 1e-9; x -= 0.25e-3)
    outline.push_back(on_body(m, "wippen", heel.point(x) - (inward + thick) * heel.outward()));
  s.shapes().push_back(
      scene::Path{"strip", outline, true, scene::Fill{scene::Role::kInk, 1}, scene::Stroke{}});
}

Picture draw_heel(const case_file::CaseDescription& d, const workshop::WorkOrder& o) {
  const auto &a = o.base_result(), &b = o.result();
  const auto before = at_rest(a), after = at_rest(b);
  const Point p = on_body(after, "wippen", base::Vec2(0, 0));
  const double key_top = 1e3 * (b.design.p_balance.y() + b.design.key_height);
  const auto cap_of = [](const study::SetUpResult& s) {
    return action::capstan_cap(s.design, s.action.screws[action::kCapstan]);
  };
  const Point apex_a = on_body(before, "key", cap_of(a).apex()),
              apex_b = on_body(after, "key", cap_of(b).apex());
  const Point far = on_body(after, "wippen", surface_of(b.design, 0).front());
  const auto* strip = find_change(d, remedies::heel_build_up());
  const double hole_a = remedies::hole_place(a.design), hole_b = remedies::hole_place(b.design);
  const bool moved = std::abs(hole_b - hole_a) > 0.05e-3;
  const double left = std::min(far.x(), std::min(apex_a.x(), apex_b.x())) - 24, right = p.x() + 18;
  const double per_paper = (right - left) / kWidth;
  const Box view{left, key_top - per_paper * (moved ? 24 : 10), right,
                 p.y() + per_paper * (strip != nullptr ? 36 : 23)};
  CalloutScene s(view, kWidth);
  // Wood and cloth as they are afterwards, then both outlines that count.
  scene::SetUpMoment drawn = after;
  for (auto& body : drawn.shape.bodies) {
    const bool keep = body.name == "wippen" || body.name == "key";
    if (!keep) body.pieces.clear();
    auto& pieces = body.pieces;
    pieces.erase(std::remove_if(
                     pieces.begin(), pieces.end(),
                     [](const scene::Piece& piece) { return piece.name.find("check") != std::string::npos; }),
                 pieces.end());
    body.rounds.clear();
    if (body.name != "wippen") body.pivot.reset();
  }
  drawn.shape.springs.clear();
  scene::ActionSceneOptions options;
  options.labels = options.forces = options.compress = false;
  for (const auto& shape : build_action_scene(drawn.shape, drawn.moment, options).shapes)
    if (scene::name_of(shape).find("line of centres") == std::string::npos) s.shapes().push_back(shape);
  s.line(placed(after, "wippen", surface_of(b.design, 0)), 0.7);
  s.line(placed(before, "wippen", surface_of(a.design, 0)), 0.45, kBefore);
  auto ring = cap_of(a).outline(3e-3);
  s.line(placed(before, "key", ring), 0.45, kBefore);
  s.line(placed(after, "key", cap_of(b).outline(3e-3)), 0.7);
  if (strip != nullptr) add_strip(*strip, b.design, after, s);

  // From the wippen centre, above everything: ends of the lifting face, and of a strip.
  double height = p.y() + s.paper(8);
  const auto from_centre = [&](double x, const std::string& what) {
    const planar::Profile heel = action::heel_profile(b.design);
    const Point at = on_body(after, "wippen", heel.point(std::clamp(x, heel.x_start(), heel.x_end())));
    s.line({at, {at.x(), height + s.paper(1)}}, 0.15);
    s.line({p, {p.x(), height + s.paper(1)}}, 0.15);
    s.measure(what, {at.x(), height}, {p.x(), height}, 0.001);
    height += s.paper(6);
  };
  if (strip != nullptr) {
    const double half = 0.5 * strip->quantities.at("length").value,
                 centre = strip->quantities.at("centre").value;
    from_centre(-centre + half, "strip, near end: " + mm_words(centre - half));
    from_centre(-centre - half, "strip, far end: " + mm_words(centre + half));
  }
  from_centre(b.design.lifting_face_to,
              "lifting face, near end: " + mm_words(b.design.lifting_face_to) +
                  (std::abs(b.design.lifting_face_to - a.design.lifting_face_to) > 0.05e-3
                       ? " (was " + mm_words(a.design.lifting_face_to) + ")"
                       : ""));
  from_centre(b.design.lifting_face_from, "lifting face, far end: " + mm_words(b.design.lifting_face_from));
  // Along the key, from the balance hole: the picture ends before it.
  const auto from_hole = [&](double hole, double y, const std::string& what,
                             const std::vector<double>& dashes) {
    const double x = 1e3 * hole;
    s.line({{x, key_top + s.paper(2)}, {x, y - s.paper(1)}}, 0.3, dashes);
    s.shapes().push_back(scene::Arrow{"from the balance hole",
                                      {view.x0 + 0.5, y},
                                      {x, y},
                                      scene::Stroke{scene::Role::kInk, 0.25, {}},
                                      1.8,
                                      false});
    s.words(what, {view.x0 + s.paper(2), y + s.paper(2)}, 2.8, false, scene::Across::kLeft);
  };
  if (moved) {
    from_hole(hole_b, key_top - s.paper(6), "balance hole to new hole: " + mm_words(hole_b), {});
    from_hole(hole_a, key_top - s.paper(13), "balance hole to old hole: " + mm_words(hole_a), kBefore);
    const double from = 1e3 * std::min(hole_a, hole_b), to = 1e3 * std::max(hole_a, hole_b),
                 y = key_top - s.paper(20);
    s.measure(" ", {from, y}, {to, y}, 0.001);
    s.line({{1e3 * hole_b, key_top - s.paper(7)}, {1e3 * hole_b, y - s.paper(1)}}, 0.15);
    s.line({{1e3 * hole_a, key_top - s.paper(14)}, {1e3 * hole_a, y - s.paper(1)}}, 0.15);
    s.words("new hole from old: " + mm_words(hole_b - hole_a), {to + s.paper(2), y}, 2.8, false,
            scene::Across::kLeft);
  } else {
    from_hole(hole_b, key_top - s.paper(6), "balance hole to capstan: " + mm_words(hole_b), {});
  }
  s.words("wippen centre", {p.x() + s.paper(3), p.y() - s.paper(4)}, 2.8, false, scene::Across::kLeft);
  const double deepest = remedies::face_depth(b.design) - remedies::face_depth(a.design);
  std::string caption =
      "Heel and capstan at rest, to scale, millimetres: solid as they will be, broken as they are.";
  if (std::abs(deepest) > 0.02e-3)
    caption +=
        fmt::format(" In the middle of its lifting face the heel stands {:.2f} mm {}.",
                    std::abs(deepest) * 1e3, deepest > 0 ? "lower (taller heel)" : "higher (shorter heel)");
  if (std::abs(a.design.cap_lean - b.design.cap_lean) > 1e-4)
    caption += fmt::format(" The capstan leans by {:.1f} deg, before {:.1f} deg.",
                           b.design.cap_lean * 180 / M_PI, a.design.cap_lean * 180 / M_PI);
  return {s.write(kWidth, "heel and capstan before and after"),
          "Heel and capstan from the side, before as broken and after as solid lines, with distances from "
          "the wippen "
          "centre and from the balance hole in millimetres",
          caption};
}

Picture draw_lead(const case_file::Change& lead, const workshop::WorkOrder& o) {
  const auto& b = o.result();
  const auto after = at_rest(b);
  const double height = 1e3 * b.design.key_height;
  const Box view{1e3 * b.design.key_front_x - 5, -22, 1e3 * b.design.key_rear_x + 5, height + 34};
  CalloutScene s(view, kWidth);
  s.shapes().push_back(scene::Path{"key",
                                   {{1e3 * b.design.key_front_x, 0},
                                    {1e3 * b.design.key_rear_x, 0},
                                    {1e3 * b.design.key_rear_x, height},
                                    {1e3 * b.design.key_front_x, height}},
                                   true,
                                   {},
                                   scene::Stroke{scene::Role::kInk, 0.4, {}}});
  for (const auto& one : b.design.leads)
    s.shapes().push_back(scene::Circle{"lead", Point(1e3 * one.x(), 1e3 * one.y()), 6,
                                       scene::Fill{scene::Role::kMetal, 1}, scene::Stroke{}});
  s.line({{0, -s.paper(3)}, {0, height + s.paper(3)}}, 0.3, {4, 3});
  const auto place = [&](double distance, const std::string& what, double away) {
    const double x = -1e3 * distance;
    s.shapes().push_back(
        scene::Mark{"lead", {x, 0.5 * height}, scene::MarkKind::kCross, 3, scene::Role::kInk});
    s.measure(what + mm_words(distance), {x, height}, {0, height}, away);
  };
  const auto word = lead.choices.find("action");
  const std::string act = word == lead.choices.end() ? "add" : word->second;
  place(lead.quantities.at("distance").value,
        act == "move"     ? "before: "
        : act == "remove" ? "out: "
                          : "lead: ",
        4);
  if (act == "move" && lead.quantities.count("to") > 0) place(lead.quantities.at("to").value, "to: ", 9);
  s.words("balance hole", {s.paper(2), -s.paper(3)}, 2.8, false, scene::Across::kLeft);
  return {s.write(kWidth, "key and lead"),
          "The key from the side with the places of the leads, measured from the balance hole",
          "The key with its leads, to scale; the cross is the middle of the one this order is about, "
          "millimetres from the balance hole."};
}

Picture draw_whole(const workshop::WorkOrder& o) {
  auto before = at_rest(o.base_result()), after = at_rest(o.result());
  scene::ActionSceneOptions options;
  options.forces = false;
  scene::Page page;
  page.width_mm = kWidth;
  page.grey = true;
  page.margin_mm = 1;
  const auto scene = build_overlay_scene({before, after}, options, 5);
  return {paper::write_svg(scene::lay_out(scene, page), "the action before and after"),
          "The action from the side at rest with heel, capstan and knuckle enlarged for both set-ups",
          "The action at rest, to scale. This work leaves heel and capstan where they are."};
}

}  // namespace

std::vector<Picture> draw_order(const case_file::CaseDescription& d, const workshop::WorkOrder& o) {
  std::vector<Picture> out;
  if (heel_or_capstan_moves(o.base_result().design, o.result().design)) out.push_back(draw_heel(d, o));
  if (const auto* lead = find_change(d, remedies::lead())) out.push_back(draw_lead(*lead, o));
  if (out.empty()) out.push_back(draw_whole(o));
  return out;
}

}  // namespace leverwright::sheets
