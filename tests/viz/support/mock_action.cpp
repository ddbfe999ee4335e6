#include "tests/viz/support/mock_action.h"

#include <algorithm>
#include <cmath>

namespace leverwright::mock {
namespace {
using scene::BodyShape;
using scene::Piece;
using scene::PieceKind;
using scene::Point;
using scene::Pose;
using scene::Role;

std::vector<Point> mm(std::vector<Point> points) {
  for (Point& p : points) p *= 1e-3;
  return points;
}

Piece solid(const std::string& name, Role role, std::vector<Point> points, bool labelled = false) {
  return {name, PieceKind::kSolid, role, mm(std::move(points)), labelled ? name : ""};
}

const Point kWippenCentre(201e-3, 60e-3), kHammerCentre(105e-3, 117e-3), kCapstanTop(135e-3, 40e-3);

// Lower surface of the heel cloth, mm from the wippen centre, with a strip of height `up` below the middle.
std::vector<Point> heel_surface(double up) {
  std::vector<Point> out;
  for (int i = 0; i <= 40; ++i) {
    const double s = -1 + i / 20.0;
    const double strip = up * std::exp(-std::pow((s - 0.1) / 0.35, 2));
    out.emplace_back(-66 + 9 * s, -20.2 + 1.6 * s * s - 0.04 * s - strip);
  }
  return out;
}

BodyShape ground() {
  BodyShape b{"ground", {}, {}, {}};
  b.pieces = {solid("key frame", Role::kRail, {{-250, -14}, {225, -14}, {225, -9}, {-250, -9}}),
              solid("balance rail", Role::kRail, {{-14, -9}, {14, -9}, {14, -2}, {-14, -2}}, true),
              solid("front rail", Role::kRail, {{-244, -9}, {-216, -9}, {-216, -3}, {-244, -3}}, true),
              solid("back rail", Role::kRail, {{188, -9}, {214, -9}, {214, -3}, {188, -3}}),
              solid("front punching", Role::kFelt, {{-240, -3}, {-222, -3}, {-222, -11 + 1}, {-240, -10}}),
              solid("wippen rail", Role::kRail, {{206, 52}, {226, 52}, {226, 76}, {206, 76}}, true),
              solid("hammer rail", Role::kRail, {{72, 104}, {95, 104}, {95, 128}, {72, 128}}, true),
              solid("rest rail", Role::kRail, {{186, 96}, {200, 96}, {200, 106}, {186, 106}}, true),
              solid("rest cushion", Role::kFelt, {{186, 106}, {200, 106}, {200, 112}, {186, 112}}),
              solid("let-off button", Role::kFelt, {{84, 84}, {90, 84}, {90, 88}, {84, 88}}),
              {"string", PieceKind::kLine, Role::kString, mm({{150, 213}, {300, 213}}), ""}};
  return b;
}

BodyShape key(const Variation& v) {
  BodyShape b{"key", {}, {}, Point(0, 0)};
  const double c = std::cos(v.capstan_lean), s = std::sin(v.capstan_lean);
  const auto leaning = [&](double x, double y) {
    return Point(135 + 1e3 * v.capstan_shift + c * x + s * y, 40 - s * x + c * y);
  };
  b.pieces = {
      solid("key", Role::kKeyWood,
            {{-253, 2}, {-253, 20}, {-130, 24}, {215, 24}, {240, 20}, {240, 4}, {215, 0}, {-100, 0}}, true),
      solid("capstan", Role::kMetal,
            {leaning(-2.2, -16), leaning(2.2, -16), leaning(2.2, -4), leaning(-2.2, -4)}),
      {"capstan cap", PieceKind::kCap, Role::kMetal, {}, ""},
      solid("back check wire", Role::kMetal, {{228, 20}, {230, 20}, {241, 92}, {239, 92}}),
      solid("back check", Role::kLeather, {{232, 90}, {238, 88}, {243, 108}, {236, 110}}, true)};
  std::vector<Point> cap{leaning(-5, -4), leaning(5, -4), leaning(5, -0.9)};
  for (int i = 0; i <= 24; ++i) {  // dome of 18 mm radius
    const double a = 0.264 - 0.022 * i;
    cap.push_back(leaning(18 * std::sin(a), 18 * std::cos(a) - 18));
  }
  cap.push_back(leaning(-5, -0.9));
  b.pieces[2].points = mm(cap);
  b.rounds = {{"lead", Role::kMetal, {-150e-3, 12e-3}, 6.5e-3},
              {"lead", Role::kMetal, {-195e-3, 12e-3}, 6.5e-3}};
  return b;
}

BodyShape wippen(const Variation& v) {
  BodyShape b{"wippen", {}, {}, Point(0, 0)};
  std::vector<Point> cloth = heel_surface(1e3 * v.build_up), surface = cloth;
  cloth.emplace_back(-57, -15);
  cloth.emplace_back(-75, -15);
  b.pieces = {solid("wippen", Role::kWippenWood,
                    {{5, -5},
                     {5, 5},
                     {-18, 8},
                     {-40, 6},
                     {-80, 8},
                     {-104, 6},
                     {-104, -5},
                     {-76, -8},
                     {-75, -15},
                     {-57, -15},
                     {-54, -8},
                     {-20, -4}},
                    true),
              solid("lever post", Role::kWippenWood, {{-44, 6}, {-52, 6}, {-52, 30}, {-46, 30}}),
              solid("heel cloth", Role::kFelt, cloth),
              {"heel surface", PieceKind::kHeelSurface, Role::kFelt, mm(surface), ""}};
  return b;
}

BodyShape jack() {
  BodyShape b{"jack", {}, {}, Point(0, 0)};
  b.pieces = {solid("jack", Role::kJack,
                    {{-3, -3}, {3, -3}, {4, 10}, {11, 40}, {7, 42}, {-2, 12}, {-24, 11}, {-25, 6}, {-4, 5}},
                    true)};
  return b;
}

BodyShape lever() {
  BodyShape b{"repetition lever", {}, {}, Point(0, 0)};
  b.pieces = {solid("repetition lever", Role::kLever,
                    {{-46, 9}, {-20, 4}, {44, -4}, {46, 0}, {2, 7}, {-22, 12}, {-45, 15}}, true)};
  return b;
}

BodyShape hammer() {
  BodyShape b{"hammer", {}, {}, Point(0, 0)};
  b.pieces = {solid("shank", Role::kHammer,
                    {{-4, -3}, {10, -4}, {24, -3}, {126, -2.5}, {126, 2.5}, {24, 3}, {-4, 3}}, true),
              solid("tail", Role::kHammer, {{120, -14}, {138, -16}, {136, 14}, {124, 14}}),
              solid("hammer felt", Role::kFelt,
                    {{121, 14}, {139, 14}, {137, 34}, {132, 48}, {130, 50}, {128, 48}, {123, 34}}, true)};
  b.rounds = {{"knuckle", Role::kLeather, {17e-3, -9e-3}, 5e-3},
              {"knuckle core", Role::kWippenWood, {17e-3, -9e-3}, 1.6e-3}};
  return b;
}

}  // namespace

scene::ActionShape invented_action(const Variation& v) {
  scene::ActionShape shape;
  shape.bodies = {ground(), key(v), wippen(v), jack(), lever(), hammer()};
  shape.springs = {{"repetition spring", 2, 4, {-60e-3, 8e-3}, {-18e-3, 4e-3}},
                   {"jack spring", 2, 3, {-82e-3, 8e-3}, {-14e-3, 6e-3}}};
  return shape;
}

scene::ActionMoment invented_moment(double dip, const std::string& name, const Variation& v) {
  scene::ActionMoment m;
  m.name = name;
  m.dip = dip;
  const double key = dip / 0.240,
               wip = -key * (135.0 + 1e3 * v.capstan_shift) / (66.0 - 1e3 * v.capstan_shift);
  const double ham = -wip * 4.6, escaped = dip > 9e-3 ? 0.25 : 0;
  const Pose p_wippen{kWippenCentre.x(), kWippenCentre.y(), wip};
  const Point j = place(p_wippen, Point(-90e-3, 2e-3)), l = place(p_wippen, Point(-49e-3, 29e-3));
  m.poses = {Pose{},
             Pose{0, 0, key},
             p_wippen,
             Pose{j.x(), j.y(), wip + escaped},
             Pose{l.x(), l.y(), 0.35 * wip},
             Pose{kHammerCentre.x(), kHammerCentre.y(), ham}};
  const Point top = place(m.poses[1], Point(kCapstanTop.x() + v.capstan_shift, kCapstanTop.y()));
  m.contacts = {{"capstan on heel cloth", top, Point(0.3, 3.9)},
                {"jack on knuckle", place(m.poses[5], Point(17e-3, -14e-3)), Point(-0.2, 5.1)},
                {"key on front punching", place(m.poses[1], Point(-231e-3, 2e-3)), Point(0, 0)}};
  scene::BodyTrace trace{"slide path on heel cloth", 2, {}, {}};
  for (int i = 0; i <= 20; ++i) {
    trace.points.emplace_back((-67.5 + 0.12 * i) * 1e-3, -20.6e-3);
    trace.values.push_back(3.0 + 0.06 * i);
  }
  m.traces = {trace};
  return m;
}

}  // namespace leverwright::mock
