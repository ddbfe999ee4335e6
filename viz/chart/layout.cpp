#include "viz/chart/layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

#include "sim/base/error.h"
#include "viz/chart/heat_map.h"
#include "viz/scene/drawing.h"

namespace leverwright::chart {
namespace {

double words(const std::string& text, double size, bool bold = false) {
  return size * scene::text_width(text, bold);
}

struct Extent {
  double low = std::numeric_limits<double>::infinity(), high = -std::numeric_limits<double>::infinity();
  void take(double v) {
    if (!std::isfinite(v)) return;
    low = std::min(low, v);
    high = std::max(high, v);
  }
};

Range range_of(const Axis& axis, Extent e) {
  for (const Tick& t : axis.ticks) e.take(t.at);
  Range r = e.low <= e.high ? round_range(e.low, e.high) : Range{};
  if (std::isfinite(axis.low)) r.low = axis.low;
  if (std::isfinite(axis.high)) r.high = axis.high;
  if (!(r.high > r.low)) r.high = r.low + 1;
  return r;
}

Extent extent(const Panel& p, bool of_x) {
  Extent e;
  for (const Series& s : p.series) {
    for (const double v : of_x ? s.x : s.y) e.take(v);
    if (of_x) continue;
    for (const double v : s.low) e.take(v);
    for (const double v : s.high) e.take(v);
  }
  for (const Bar& b : p.bars) {
    e.take(of_x ? b.x0 : b.y0);
    e.take(of_x ? b.x1 : b.y1);
    if (b.upright == of_x) continue;
    e.take(b.low);
    e.take(b.high);
  }
  return e;
}

// A map fills its panel to the edges of its outer cells.
Axis held_to_map(Axis axis, const std::optional<HeatMap>& map, bool of_x) {
  if (!map) return axis;
  const std::vector<double> edges = find_edges(of_x ? map->x : map->y);
  if (edges.empty()) return axis;
  if (!std::isfinite(axis.low)) axis.low = edges.front();
  if (!std::isfinite(axis.high)) axis.high = edges.back();
  return axis;
}

void join(Range* a, const Range& b) {
  a->low = std::min(a->low, b.low);
  a->high = std::max(a->high, b.high);
}

// Round steps, so many that numbers stand at least `room` mm apart on `length` mm.
double step_for(const Range& r, double length, double room) {
  const double least = (r.high - r.low) * room / std::max(length, room);
  const double power = std::pow(10, std::floor(std::log10(least)));
  for (const double lead : {1.0, 2.0, 5.0})
    if (lead * power >= least * (1 - 1e-9)) return lead * power;
  return 10 * power;
}

double left_room(const Panel& p, const Range& r, double height) {
  if (!p.y.show) return 3;
  double widest = 0;
  if (p.y.ticks.empty()) {
    const double step = step_for(r, 40, 7);
    for (double v = step * std::ceil(r.low / step); v <= r.high; v += step)
      widest = std::max(widest, words(fmt::format("{:.4g}", std::abs(v) < 1e-9 * step ? 0.0 : v), kTextSize) +
                                    (v < 0 ? 1.5 : 0));
  }
  for (const Tick& t : p.y.ticks) widest = std::max(widest, words(t.text, kTextSize));
  return widest + 3.5 + kLabelStep * static_cast<double>(label_lines(p.y, height).size()) +
         (p.y.label.empty() ? 0 : 1.3);
}

double bottom_room(const Panel& p) {
  if (!p.x.show) return 2;
  return kTextSize + 3 + (p.x.label.empty() ? 0 : kTextSize + 2);
}

constexpr double kStripRoom = 24;  // mm at the right for the colour scale of maps

// Keys flow in lines across the width; returns the number of lines.
int lay_key(const Chart& chart, Layout* out) {
  if (!chart.key) return 0;
  std::set<std::string> seen;
  double x = 4;
  int line = 0;
  const auto add = [&](const std::string& name, const Series* series, Role role, double opacity) {
    if (name.empty() || !seen.insert(name).second) return;
    const double width = kKeySample + 1.5 + words(name, kTextSize) + 5;
    if (x > 4 && x + width > chart.width_mm - 2) {
      x = 4;
      ++line;
    }
    out->key.push_back({name, series, role, opacity, x, static_cast<double>(line)});
    x += width;
  };
  for (const Panel& p : chart.panels) {
    for (const Series& s : p.series)
      if (s.in_key) add(s.key_name.empty() ? s.name : s.key_name, &s, s.role, 1);
    for (const Bar& b : p.bars)
      if (b.in_key) add(b.name, nullptr, b.role, b.opacity);
    for (const Band& b : p.bands) add(b.label, nullptr, b.role, 0.6);
  }
  const int lines = out->key.empty() ? 0 : line + 1;
  for (KeyEntry& e : out->key) e.y = 2.5 + (lines - 1 - e.y) * kLineStep + 0.5 * kTextSize;
  return lines;
}

// Event names above the top panel, each to the right of its own line. Going from the last event to the first,
// a name stands above every later line that would run through it.
double lay_events(const Chart& chart, const PanelBox& box, Layout* out) {
  std::vector<EventLine> events = chart.events;
  std::sort(events.begin(), events.end(), [](const EventLine& a, const EventLine& b) { return a.x > b.x; });
  int rows = 0;
  std::vector<int> row_of;
  for (const EventLine& e : events) {
    if (e.x < box.x.low || e.x > box.x.high || e.label.empty()) continue;
    const double at = box.left + (box.right - box.left) * (e.x - box.x.low) / (box.x.high - box.x.low);
    const double end = at + 1.5 + words(e.label, kSmallSize);
    int row = 0;
    for (size_t j = 0; j < out->events.size(); ++j)
      if (out->events[j].at < end + 1) row = std::max(row, row_of[j] + 1);
    out->events.push_back({e.label, at, 0});
    row_of.push_back(row);
    rows = std::max(rows, row + 1);
  }
  for (size_t j = 0; j < row_of.size(); ++j) out->events[j].y = (row_of[j] + 1) * (kSmallSize + 1.0);
  return rows == 0 ? 0 : 1 + rows * (kSmallSize + 1.0);
}

}  // namespace

std::string axis_words(const Axis& axis) {
  return axis.unit.empty() ? axis.label : axis.label + " (" + axis.unit + ")";
}

std::vector<std::string> label_lines(const Axis& axis, double length) {
  return axis.label.empty() ? std::vector<std::string>{} : wrap(axis_words(axis), length, kTextSize, false);
}

std::vector<std::string> wrap(const std::string& text, double width, double size, bool bold) {
  std::vector<std::string> lines;
  std::string line, word;
  const auto flush = [&] {
    if (word.empty()) return;
    const std::string longer = line.empty() ? word : line + " " + word;
    if (!line.empty() && words(longer, size, bold) > width) {
      lines.push_back(line);
      line = word;
    } else {
      line = longer;
    }
    word.clear();
  };
  for (const char c : text) {
    if (c == ' ')
      flush();
    else
      word += c;
  }
  flush();
  if (!line.empty()) lines.push_back(line);
  return lines;
}

Range round_range(double low, double high) {
  const double span = high > low ? high - low : std::max(1e-9, std::abs(high) > 0 ? std::abs(high) : 1.0);
  const double rough = span / 5, power = std::pow(10, std::floor(std::log10(rough)));
  const double lead = rough / power;
  const double step = power * (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10);
  Range r{step * std::floor(low / step + 1e-9), step * std::ceil(high / step - 1e-9)};
  if (low - r.low < 0.02 * span && r.low != 0 && low != r.low) r.low -= 0.5 * step;
  if (r.high - high < 0.02 * span && r.high != 0) r.high += 0.5 * step;
  if (!(r.high > r.low)) r.high = r.low + step;
  return r;
}

namespace {

// Panels as they come, however small.
Layout place(const Chart& chart) {
  if (chart.panels.empty()) throw base::UserError("there is nothing to draw: the chart has no panels");
  Layout out;
  const size_t n = chart.panels.size();
  const bool stacked = chart.arrangement == Arrangement::kStacked;
  out.panels.resize(n);
  Range shared{INFINITY, -INFINITY};
  double share_sum = 0, left = 0, bottom = 0, total = 0;
  for (const Panel& p : chart.panels) total += p.share;
  for (size_t i = 0; i < n; ++i) {
    const Panel& p = chart.panels[i];
    out.panels[i].x = range_of(held_to_map(p.x, p.map, true), extent(p, true));
    out.panels[i].y = range_of(held_to_map(p.y, p.map, false), extent(p, false));
    join(&shared, stacked ? out.panels[i].x : out.panels[i].y);
    share_sum += p.share;
    left = std::max(left, i == 0 || stacked ? left_room(p, out.panels[i].y,
                                                        stacked ? 0.5 * chart.height_mm * p.share / total
                                                                : 0.5 * chart.height_mm)
                                            : 0.0);
    bottom = std::max(bottom, i + 1 == n || !stacked ? bottom_room(p) : 0.0);
  }
  for (PanelBox& b : out.panels) (stacked ? b.x : b.y) = shared;

  const int key_lines = lay_key(chart, &out);
  bottom += key_lines > 0 ? 2.5 + key_lines * kLineStep : 2;
  double top = chart.height_mm - 3;
  if (!chart.title.empty()) {
    out.title_lines = wrap(chart.title, chart.width_mm - 8, kTitleSize, true);
    out.title_y = top - kTitleSize;
    top = out.title_y - kTitleLineStep * static_cast<double>(out.title_lines.size() - 1) -
          (chart.remark.empty() ? 4 : 2);
  }
  if (!chart.remark.empty()) {
    out.remark_lines = wrap(chart.remark, chart.width_mm - 8, kSmallSize, false);
    out.remark_y = top - kSmallSize;
    top = out.remark_y - kRemarkStep * static_cast<double>(out.remark_lines.size() - 1) - 3;
  }
  const bool maps =
      std::any_of(chart.panels.begin(), chart.panels.end(), [](const Panel& p) { return p.map.has_value(); });
  const double right = chart.width_mm - (maps ? 5 + kStripRoom : 5);

  if (stacked) {
    out.panels[0].left = left;
    out.panels[0].right = right;
    top -= lay_events(chart, out.panels[0], &out);
    for (EventWords& e : out.events) e.y += top;
  }
  // Room for panel titles and, between stacked panels, a gap.
  constexpr double kTitleStep = kTextSize + 1.2;
  double words_height = 0;
  size_t title_lines = 0;
  const double gap = stacked ? 4 : 3;
  const double across = right - left - gap * static_cast<double>(n - 1);
  const auto title_room = [&](const Panel& p) {
    return stacked ? right - left : across * p.share / share_sum + gap - 1;
  };
  for (const Panel& p : chart.panels) {
    constexpr double kLeastTitle = 2.0;  // mm; narrower panels get a larger sheet
    std::istringstream each(p.title);
    for (std::string word; each >> word;)
      out.panel_title_size = std::min(out.panel_title_size, title_room(p) / words(word, 1, true));
    out.panel_title_size = std::max(out.panel_title_size, kLeastTitle);
  }
  for (size_t i = 0; i < n; ++i) {
    const Panel& p = chart.panels[i];
    out.panels[i].title_lines = wrap(p.title, title_room(p), out.panel_title_size, true);
    words_height += static_cast<double>(out.panels[i].title_lines.size()) * kTitleStep;
    title_lines = std::max(title_lines, out.panels[i].title_lines.size());
  }
  if (stacked) {
    const double room = top - bottom - words_height - gap * static_cast<double>(n - 1);
    double y = top;
    for (size_t i = 0; i < n; ++i) {
      PanelBox& b = out.panels[i];
      b.left = left;
      b.right = right;
      b.top = y - static_cast<double>(b.title_lines.size()) * kTitleStep;
      b.bottom = b.top - room * chart.panels[i].share / share_sum;
      b.x_words = chart.panels[i].x.show && i + 1 == n;
      b.y_words = chart.panels[i].y.show;
      y = b.bottom - gap;
    }
  } else {
    double x = left;
    for (size_t i = 0; i < n; ++i) {
      PanelBox& b = out.panels[i];
      b.left = x;
      b.right = x + across * chart.panels[i].share / share_sum;
      b.bottom = bottom;
      b.top = top - static_cast<double>(title_lines) * kTitleStep;
      b.x_words = chart.panels[i].x.show;
      b.y_words = chart.panels[i].y.show && i == 0;
      x = b.right + gap;
    }
  }
  if (maps) {
    const double low = out.panels.back().bottom, high = out.panels.front().top;
    out.strip = ColourStrip{right + 4, right + 8, low, std::min(high, low + 70), find_colour_range(chart), 1};
    out.strip->step = step_for(out.strip->values, out.strip->top - out.strip->bottom, 8);
  }
  for (PanelBox& b : out.panels) {
    b.x_step = step_for(b.x, b.right - b.left, 16);
    b.y_step = step_for(b.y, b.top - b.bottom, 7);
  }
  return out;
}

// The smallest panel; `down` its height, else its width, mm.
double least_side(const Layout& layout, bool down) {
  double least = INFINITY;
  for (const PanelBox& b : layout.panels) least = std::min(least, down ? b.top - b.bottom : b.right - b.left);
  return least;
}

}  // namespace

Chart on_a_sheet_that_fits(Chart chart) {
  constexpr double kLeastHeight = 22, kLeastWidth = 12, kLargest = 1200;  // mm
  if (chart.panels.empty()) return chart;
  // A key of many lines and rows of event names take room that does not grow with the sheet, so this ends.
  for (;;) {
    const Layout layout = place(chart);
    const bool low = least_side(layout, true) < kLeastHeight,
               narrow = least_side(layout, false) < kLeastWidth;
    if (low && chart.height_mm < kLargest)
      chart.height_mm += 10;
    else if (narrow && chart.width_mm < kLargest)
      chart.width_mm += 10;
    else
      return chart;
  }
}

Layout lay_out(const Chart& chart) {
  Layout out = place(chart);
  if (least_side(out, true) < 5 || least_side(out, false) < 5)
    throw base::UserError("the chart \"" + chart.title + "\" does not fit on the sheet asked for",
                          "use a larger sheet or fewer set-ups in one chart");
  return out;
}

}  // namespace leverwright::chart
