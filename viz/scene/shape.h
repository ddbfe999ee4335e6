// Plain shapes of a picture. Positions are millimetres of the action plane (x from the player towards the
// strings, y up); line widths, text sizes, arrow heads and marks are millimetres on paper, whatever the
// scale.
#pragma once
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/base/vec2.h"
#include "viz/scene/palette.h"

namespace leverwright::scene {

using Point = base::Vec2;

struct Box {  // millimetres; empty while x1 < x0
  double x0 = 1, y0 = 1, x1 = 0, y1 = 0;
  double width() const { return x1 - x0; }
  double height() const { return y1 - y0; }
  bool empty() const { return x1 < x0 || y1 < y0; }
  Point centre() const { return Point(0.5 * (x0 + x1), 0.5 * (y0 + y1)); }
};
Box include(const Box& box, const Point& point);
Box include(const Box& a, const Box& b);
Box grown(const Box& box, double by);

struct Stroke {
  Role role = Role::kInk;
  double width = 0.25;
  std::vector<double> dashes;  // dash, gap ... in line widths; empty = solid
};

struct Fill {
  Role role = Role::kPaper;
  double opacity = 1;
};

struct Path {  // polyline, or polygon when closed; a polygon may be concave
  std::string name;
  std::vector<Point> points;
  bool closed = false;
  std::optional<Fill> fill;
  std::optional<Stroke> stroke = Stroke{};
};

struct Circle {
  std::string name;
  Point centre{0, 0};
  double radius = 0;
  std::optional<Fill> fill;
  std::optional<Stroke> stroke = Stroke{};
};

struct Arc {  // anticlockwise from `from` to `to`, radians
  std::string name;
  Point centre{0, 0};
  double radius = 0, from = 0, to = 0;
  Stroke stroke;
};

enum class MarkKind { kDot, kRing, kCross, kDiamond, kPivot };

struct Mark {  // a sign of fixed size on paper
  std::string name;
  Point at{0, 0};
  MarkKind kind = MarkKind::kDot;
  double size = 1.6;  // across, mm on paper
  Role role = Role::kContact;
};

enum class Across { kLeft, kCentre, kRight };  // which part of the words sits at the point
enum class Upright { kBaseline, kMiddle, kTop };

struct Label {
  std::string text;
  Point at{0, 0};
  Point offset{0, 0};  // mm on paper
  Across across = Across::kLeft;
  Upright upright = Upright::kMiddle;
  double size = 3.2;  // em, mm on paper (3.2 mm = 9 point)
  Role role = Role::kInk;
  bool bold = false;
  bool halo = true;        // paper-coloured edge, so that words stay readable on a drawing
  double angle_deg = 0;    // anticlockwise
  bool automatic = false;  // placed near `at` where there is room, with a line to it
};

struct Arrow {
  std::string name;
  Point tail{0, 0}, tip{0, 0};
  Stroke stroke{Role::kForce, 0.6, {}};
  double head = 2.6;  // length of the head, mm on paper
  bool both_ends = false;
};

struct Trace {  // polyline coloured by a value at each point
  std::string name;
  std::vector<Point> points;
  std::vector<double> values;
  double low = 0, high = 1;  // values drawn in the lightest and darkest colour
  double width = 0.9;
};

using Shape = std::variant<Path, Circle, Arc, Mark, Label, Arrow, Trace>;

// The piece `from` of the plane drawn again, larger, inside `to`; both in mm of the action plane.
struct Inset {
  Box from, to;
  std::string title;
  std::vector<Shape> shapes;
  Role frame = Role::kInk;
  bool clear = false;  // what lies below shows through: no paper under the shapes
  bool alone = false;  // a window of its own: no frame about `from`, no lines to it
  double magnification() const { return to.width() / from.width(); }
};

struct LegendEntry {
  std::string text;
  Role role = Role::kInk;
  std::vector<double> dashes;
  bool line = true;  // false: a filled patch
  double arrow = 0;  // mm of the action plane: an arrow of this length instead
};

struct ValueLegend {  // key of the traces
  std::string text;   // with unit
  double low = 0, high = 1;
};

struct Scene {
  Box view;                   // what is shown
  std::string title, clock;   // top left, top right
  std::vector<Shape> shapes;  // drawn in this order
  std::vector<Inset> insets;  // drawn after the shapes
  std::vector<LegendEntry> legend;
  std::optional<ValueLegend> value_legend;
  double scale_bar = 0;            // mm of the action plane; 0 = none
  std::vector<std::string> notes;  // lines below the picture
};

// Bounds of what is drawn to scale (fixed-size marks and words count as points).
Box bounds(const Shape& shape);
Box bounds(const std::vector<Shape>& shapes);
std::string name_of(const Shape& shape);  // a label's name is its text

}  // namespace leverwright::scene
