#include "viz/scene/plate.h"

#include <algorithm>
#include <cmath>

#include "viz/scene/drawing.h"
#include "viz/scene/inside.h"

namespace leverwright::scene {
namespace {

struct Name {
  std::string text;
  Point at;
};

std::vector<Name> collect_names(const ActionShape& shape, const ActionMoment& moment) {
  std::vector<Name> out;
  for (size_t b = 0; b < shape.bodies.size(); ++b) {
    for (const Piece& piece : shape.bodies[b].pieces) {
      if (piece.label.empty() || piece.shown == Shown::kSolid) continue;
      const std::vector<Point> points = place_piece(piece, moment.poses[b], moment.string_rise);
      const bool line = piece.kind == PieceKind::kLine || piece.kind == PieceKind::kHeelSurface;
      out.push_back({piece.label, line ? points.back() : find_inner_point(points)});
    }
    for (const RoundPiece& round : shape.bodies[b].rounds)
      if (!round.label.empty())
        out.push_back({round.label, to_millimetres(place(moment.poses[b], round.centre))});
  }
  for (const SpringShape& spring : shape.springs) {
    const std::vector<Point> ends = place_spring(spring, moment.poses);
    out.push_back({spring.name, 0.5 * (ends.front() + ends.back())});
  }
  return out;
}

constexpr double kRow = 10.6, kSize = 2.5;  // mm of the action between names; mm on paper

void add_name(const Name& name, const Point& words_at, Across across, std::vector<Shape>* out) {
  out->push_back(Path{"leader", {name.at, words_at}, false, {}, Stroke{Role::kFaintInk, 0.15, {}}});
  out->push_back(Mark{"named", name.at, MarkKind::kDot, 0.8, Role::kInk});
  Label words;
  words.text = name.text;
  words.at = words_at;
  words.offset = Point(across == Across::kLeft ? 0.7 : across == Across::kRight ? -0.7 : 0, 0);
  words.across = across;
  words.size = kSize;
  out->push_back(std::move(words));
}

struct Wish {
  double place, apart;  // `apart`: at least so far after the one before
};

// Places in a row or a column, each near to what it wishes.
std::vector<double> spread(const std::vector<Wish>& wishes, double low, double high) {
  std::vector<double> out;
  for (const Wish& w : wishes) out.push_back(std::max(w.place, out.empty() ? low : out.back() + w.apart));
  double most = high;
  auto wish = wishes.rbegin();
  for (auto at = out.rbegin(); at != out.rend(); ++at, ++wish) {
    *at = std::min(*at, most);
    most = *at - wish->apart;
  }
  return out;
}

// Beside the stack, in the order of what they name; returns the highest row.
double add_column(std::vector<Name> names, double x, double low, double high, Across across,
                  std::vector<Shape>* out) {
  if (names.empty()) return low;
  std::sort(names.begin(), names.end(), [](const Name& a, const Name& b) { return a.at.y() < b.at.y(); });
  std::vector<Wish> wishes;
  for (const Name& n : names) wishes.push_back({n.at.y(), kRow});
  const double needed = low + kRow * static_cast<double>(names.size());
  const std::vector<double> rows = spread(wishes, low, std::max(high, needed));
  for (size_t k = 0; k < names.size(); ++k) add_name(names[k], Point(x, rows[k]), across, out);
  return rows.back();
}

double words_width(const std::string& text) {  // mm of the action at the plate's usual scale
  constexpr double kScale = 0.29;
  return kSize * text_width(text) / kScale;
}

}  // namespace

Scene build_plate(const ActionShape& shape, const ActionMoment& moment, const std::string& title) {
  ActionSceneOptions bare;
  bare.labels = bare.forces = false;
  ActionMoment still = moment;
  still.contacts.clear();
  still.centres.clear();
  still.traces.clear();
  Scene out = build_action_scene(shape, still, bare);
  out.title = title;
  out.clock.clear();
  out.legend.clear();
  double key_top = 0, stack_left = INFINITY;
  for (size_t b = 0; b < shape.bodies.size(); ++b)
    for (const Piece& piece : shape.bodies[b].pieces) {
      const std::vector<Point> points = place_piece(piece, moment.poses[b], 0);
      for (const Point& p : points) {
        if (piece.name == "key") key_top = std::max(key_top, p.y());
        if (shape.bodies[b].name == "jack" || piece.name == "let-off rail" || piece.name == "hammer rail")
          stack_left = std::min(stack_left, p.x());
      }
    }
  const Box whole = out.view;
  const double middle = 0.5 * (stack_left + whole.x1);
  std::vector<Name> left, right, below;
  for (const Name& n : collect_names(shape, moment))
    (n.at.y() < key_top + 9 && n.text != "capstan" ? below : n.at.x() < middle ? left : right).push_back(n);
  double column = 0, highest = whole.y1;
  for (const Name& n : right) column = std::max(column, words_width(n.text));
  highest = std::max(highest,
                     add_column(left, stack_left - 22, key_top + 10, whole.y1, Across::kRight, &out.shapes));
  highest =
      std::max(highest, add_column(right, whole.x1 + 8, key_top - 14, whole.y1, Across::kLeft, &out.shapes));
  // Key and frame: a row below.
  std::sort(below.begin(), below.end(), [](const Name& a, const Name& b) { return a.at.x() < b.at.x(); });
  std::vector<Wish> wishes;
  for (size_t k = 0; k < below.size(); ++k)
    wishes.push_back({below[k].at.x(),
                      k == 0 ? 0 : 16 + 0.5 * (words_width(below[k].text) + words_width(below[k - 1].text))});
  const std::vector<double> places = spread(wishes, whole.x0 + 22, whole.x1);
  for (size_t k = 0; k < below.size(); ++k)
    add_name(below[k], Point(places[k], whole.y0 - 6), Across::kCentre, &out.shapes);
  out.view = {whole.x0, whole.y0 - 14, whole.x1 + 20 + column, highest + 6};
  return out;
}

}  // namespace leverwright::scene
