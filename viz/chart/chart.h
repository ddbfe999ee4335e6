// A chart as plain data: panels with axes, lines, bars, bands, event lines and words. draw_chart
// (draw_chart.h) hands it to gnuplot.
//
// Why gnuplot: it writes PNG, SVG with real words and PDF with embedded fonts from one description, runs
// without a display, and as a separate program it does not decide the licence. What it lacks here (a key that
// never covers data, panels of exact size) is laid out in millimetres on our side.
#pragma once
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "viz/scene/palette.h"

namespace leverwright::chart {

using scene::Role;

inline constexpr double kAuto = std::numeric_limits<double>::quiet_NaN();

struct Tick {
  double at = 0;
  std::string text;
};

struct Axis {
  std::string label, unit;  // "dip", "mm"
  double low = kAuto, high = kAuto;
  bool reversed = false;
  std::vector<Tick> ticks;  // own ticks instead of numbers (rows of a bar chart)
  bool grid = true;
  bool show = true;  // false: no words and numbers along it
};

enum class MarkShape { kNone, kDot, kRing, kSquare, kDiamond, kTriangle, kCross };

struct Series {
  std::string name;          // in the key and in the CSV
  std::vector<double> x, y;  // NaN breaks the line
  Role role = Role::kInk;
  std::vector<double> dashes;  // in line widths; empty = solid
  double width_mm = 0.45;
  MarkShape mark = MarkShape::kNone;
  bool line = true;
  bool in_key = true;
  std::string key_name = {};      // in the key instead of the name
  bool hidden = false;            // in the CSV alone, as another line lies on it
  std::vector<double> low, high;  // ends of the uncertainty of y at each point, or empty; NaN: none there
  bool band = false;              // the uncertainty as a pale band along the line instead of upright bars
};

struct Bar {  // a filled rectangle in axis units
  double x0 = 0, x1 = 0, y0 = 0, y1 = 0;
  Role role = Role::kSetUpA;
  double opacity = 1;
  std::string name;  // in the CSV, and in the key when asked
  bool in_key = false;
  bool upright = false;              // its value is y1 - y0, else x1 - x0
  double low = kAuto, high = kAuto;  // ends of the uncertainty of the bar's far end, along the bar
};

// A quantity over a grid, as coloured cells (dark = high, so that it reads in grey) with contour lines. All
// maps of a chart share one colour scale, shown at the right.
struct HeatMap {
  std::vector<double> x, y;    // middles of the cells, climbing
  std::vector<double> values;  // y.size() rows of x.size() values; NaN = no cell
  std::string name, unit;
  double low = kAuto, high = kAuto;  // of the colour scale
  std::vector<double> contours;      // levels drawn as lines with their number
};

struct Band {           // a shaded strip across the panel
  bool along_x = true;  // from..to are x values
  double from = 0, to = 0;
  Role role = Role::kFelt;
  double opacity = 0.35;
  std::string label;
};

struct EventLine {  // vertical
  double x = 0;
  std::string label;  // written above the top panel
  Role role = Role::kFaintInk;
};

enum class Side { kLeft, kCentre, kRight };

struct Note {
  double x = 0, y = 0;
  std::string text;
  Side side = Side::kLeft;  // which part of the words sits at the point
  double dx_mm = 0, dy_mm = 0;
  Role role = Role::kInk;
};

struct Panel {
  std::string title;
  Axis x, y;
  std::optional<HeatMap> map;  // below everything else
  std::vector<Band> bands;
  std::vector<Bar> bars;
  std::vector<Series> series;
  std::vector<Note> notes;
  double share = 1;  // of the height (or of the width when side by side)
};

enum class Arrangement { kStacked, kSideBySide };  // stacked panels share x, neighbours share y

struct Chart {
  std::string title;
  std::string remark;  // small line below the title
  std::vector<Panel> panels;
  Arrangement arrangement = Arrangement::kStacked;
  std::vector<EventLine> events;  // across all stacked panels
  double width_mm = 170, height_mm = 110;
  bool key = true;  // set-ups and lines named below the panels, never over the data
};

// Smallest range of round numbers around the data, with a little room.
struct Range {
  double low = 0, high = 1;
};
Range round_range(double low, double high);

}  // namespace leverwright::chart
