// A scene laid out on a sheet of paper: every back end (SVG, PDF, PNG, VTK) draws this same list.
// Millimetres on paper, origin at the bottom left corner, y up; colours resolved, words placed by baseline.
#pragma once
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::scene {

struct Page {
  double width_mm = 0;   // 0: follows from the scale, or 170 mm when that is 0 too
  double height_mm = 0;  // 0: just high enough
  double scale = 0;      // paper mm per mm of the action (1 = full size, 2 = 2:1); 0: fill the page
  double margin_mm = 4;
  bool grey = false;  // as a black-and-white printer shows it
};

struct Pen {
  Rgb colour;
  double width = 0.25;
  std::vector<double> dashes;  // mm on paper
};
struct Ink {
  Rgb colour;
  double opacity = 1;
};
struct DrawnPath {
  std::vector<Point> points;
  bool closed = false;
  std::optional<Ink> fill;
  std::optional<Pen> pen;
};
struct DrawnCircle {
  Point centre{0, 0};
  double radius = 0;
  std::optional<Ink> fill;
  std::optional<Pen> pen;
};
struct DrawnText {
  Point at{0, 0};  // on the baseline
  std::string text;
  Across across = Across::kLeft;
  double size = 3.2, angle_deg = 0;
  Rgb colour;
  bool bold = false, halo = false;
};
using Drawn = std::variant<DrawnPath, DrawnCircle, DrawnText>;

struct Layer {
  std::optional<Box> clip;  // nothing is drawn outside it
  std::vector<Drawn> items;
};

struct Drawing {
  double width = 0, height = 0;  // mm
  double scale = 1;              // paper mm per mm of the action
  Point origin{0, 0};            // where the action's (0, 0) falls on paper
  std::vector<Layer> layers;
};

// UserError when the scene at the asked scale does not fit the asked page.
Drawing lay_out(const Scene& scene, const Page& page);

// Width of words in DejaVu Sans, in units of the text size (close to 5 %; enough to place things).
double text_width(const std::string& text, bool bold = false);

}  // namespace leverwright::scene
