// Where everything of a chart goes, in millimetres from the lower left corner.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "viz/chart/chart.h"

namespace leverwright::chart {

inline constexpr double kTextSize = 3.0, kSmallSize = 2.6, kTitleSize = 3.8, kLineStep = 4.6,
                        kRemarkStep = 3.6, kTitleLineStep = 4.8;  // mm

struct PanelBox {
  double left = 0, right = 0, bottom = 0, top = 0;
  Range x, y;
  double x_step = 1, y_step = 1;        // between numbers
  bool x_words = true, y_words = true;  // numbers and label along that side
  std::vector<std::string> title_lines;
};

struct KeyEntry {
  std::string name;
  const Series* series = nullptr;  // a line or mark
  Role role = Role::kInk;          // else a patch
  double opacity = 1;
  double x = 0, y = 0;  // left end, middle of the words' height
};

struct EventWords {  // beside the upper end of the event's line
  std::string text;
  double at = 0, y = 0;  // of the line, top of the line (mm); words run to the right of it
};

struct ColourStrip {  // the colour scale of the maps
  double left = 0, right = 0, bottom = 0, top = 0;
  Range values;
  double step = 1;
};

struct Layout {
  std::optional<ColourStrip> strip;
  std::vector<PanelBox> panels;
  std::vector<KeyEntry> key;
  std::vector<EventWords> events;
  double title_y = 0, remark_y = 0;  // of the first line of each
  std::vector<std::string> title_lines;
  std::vector<std::string> remark_lines;
  double panel_title_size = kTextSize;  // less where a word of a panel's title is wider than its panel, mm
};

// Throws base::UserError when the panels do not fit on the chart's sheet.
Layout lay_out(const Chart& chart);
// The chart on a sheet made larger until every panel can be read: with many set-ups the key and the names of
// the events take most of a usual one.
Chart on_a_sheet_that_fits(Chart chart);

inline constexpr double kKeySample = 9;  // mm of line shown in the key

inline constexpr double kLabelStep = 3.9;  // mm between lines of an upright axis label

std::string axis_words(const Axis& axis);                                  // "dip (mm)"
std::vector<std::string> label_lines(const Axis& axis, double length_mm);  // of an upright axis label
std::vector<std::string> wrap(const std::string& text, double width_mm, double size_mm, bool bold);

}  // namespace leverwright::chart
