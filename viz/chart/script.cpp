#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/chart/draw_chart.h"
#include "viz/chart/heat_map.h"
#include "viz/chart/layout.h"

namespace leverwright::chart {
namespace {

constexpr double kDotsPerMm = 200 / 25.4, kUnitsPerMm = 10;  // PNG, SVG

// One line of gnuplot = one 'kind' of unit; these make all three formats look alike (measured on gnuplot 5.4:
// Cairo sets 1 point of font as 4/3, draws 1 lw as 1 dot or half a point, and a dash unit as a quarter of
// lw).
struct Terminal {
  double font_per_mm, line_per_mm, dash, mark_per_mm;
  std::string set;
};

Terminal terminal(const Chart& chart, Format format) {
  Terminal t{};
  std::string size;
  switch (format) {
    case Format::kPng:
      t = {0.75 * kDotsPerMm, kDotsPerMm, 4, 0.66, ""};
      size = fmt::format("pngcairo fontscale 1 size {:.0f},{:.0f}", kDotsPerMm * chart.width_mm,
                         kDotsPerMm * chart.height_mm);
      break;
    case Format::kSvg:
      t = {kUnitsPerMm, kUnitsPerMm, 2, 0.43, ""};
      size =
          fmt::format("svg size {:.0f},{:.0f}", kUnitsPerMm * chart.width_mm, kUnitsPerMm * chart.height_mm);
      break;
    case Format::kPdf:
      t = {0.75 * 72 / 25.4, 2 * 72 / 25.4, 4, 0.36, ""};
      size = fmt::format("pdfcairo fontscale 1 size {:.4f}cm,{:.4f}cm", chart.width_mm / 10,
                         chart.height_mm / 10);
      break;
  }
  t.set = fmt::format(
      "set terminal {} noenhanced font 'DejaVu Sans,{:.3f}' linewidth {:.4f} dashlength {:g} butt background "
      "rgb '#ffffff'\n",
      size, kTextSize * t.font_per_mm, t.line_per_mm, t.dash);
  return t;
}

struct Writer {
  const Chart& chart;
  const Layout& layout;
  const Terminal& t;
  std::string out;

  double sx(double mm) const { return mm / chart.width_mm; }
  double sy(double mm) const { return mm / chart.height_mm; }
  std::string font(double size_mm, bool bold = false) const {
    return fmt::format("font 'DejaVu Sans{},{:.3f}'", bold ? ":Bold" : "", size_mm * t.font_per_mm);
  }
  static std::string colour(Role role) { return "'" + scene::hex(scene::rgb(role)) + "'"; }
  static std::string dash(const std::vector<double>& dashes) {
    if (dashes.empty()) return "dt 1";
    std::string s = "dt (";
    for (size_t i = 0; i < dashes.size(); ++i) s += fmt::format("{}{:g}", i > 0 ? "," : "", dashes[i]);
    return s + ")";
  }
  static int point_type(MarkShape m) {
    static const int kTypes[] = {0, 7, 6, 5, 13, 9, 2};
    return kTypes[static_cast<int>(m)];
  }
  void screen_words(double x, double y, const std::string& text, const char* side, double size, bool bold) {
    out += fmt::format("set label {} at screen {:.5f},{:.5f} {} {} front textcolor rgb {}\n", quote(text),
                       sx(x), sy(y + 0.36 * size), side, font(size, bold), colour(Role::kInk));
  }
  void screen_line(double x0, double y0, double x1, double y1, Role role, double width,
                   const std::vector<double>& dashes) {
    out += fmt::format(
        "set arrow from screen {:.5f},{:.5f} to screen {:.5f},{:.5f} nohead lw {:g} {} lc rgb {}\n", sx(x0),
        sy(y0), sx(x1), sy(y1), width, dash(dashes), colour(role));
  }

  void write_frame();
  void write_axis(const char* name, const Axis& axis, const Range& range, double step, bool words);
  void write_panel(size_t index);
  void write_strip();
  std::string write_map(size_t index);  // plot clauses
  std::string write_series(const Series& s, const std::string& data);
  std::string write_bars(const Panel& panel, size_t index);
  std::string write_bar_spread(const Panel& panel, size_t index);
};

void Writer::write_frame() {
  for (std::size_t k = 0; k < layout.title_lines.size(); ++k)
    screen_words(4, layout.title_y - kTitleLineStep * static_cast<double>(k), layout.title_lines[k], "left",
                 kTitleSize, true);
  for (std::size_t k = 0; k < layout.remark_lines.size(); ++k)
    screen_words(4, layout.remark_y - kRemarkStep * static_cast<double>(k), layout.remark_lines[k], "left",
                 kSmallSize, false);
  for (const EventWords& e : layout.events) {
    screen_line(e.at, layout.panels.front().top, e.at, e.y, Role::kFaintInk, 0.25, {4, 3});
    screen_words(e.at + 1, e.y - kSmallSize + 0.4, e.text, "left", kSmallSize, false);
  }
  write_strip();
  for (const KeyEntry& e : layout.key) {
    if (e.series == nullptr) {
      out += fmt::format(
          "set object rectangle from screen {:.5f},{:.5f} to screen {:.5f},{:.5f} front fillcolor rgb {} "
          "fillstyle "
          "solid {:g} border lc rgb {} lw 0.15\n",
          sx(e.x + 3), sy(e.y - 1.1), sx(e.x + kKeySample), sy(e.y + 1.1), colour(e.role), e.opacity,
          colour(Role::kFaintInk));
    } else {
      const Series& s = *e.series;
      if (s.line) screen_line(e.x, e.y, e.x + kKeySample, e.y, s.role, s.width_mm, s.dashes);
      if (s.mark != MarkShape::kNone)
        out += fmt::format(
            "set label '' at screen {:.5f},{:.5f} point pt {} ps {:.3f} lw 0.3 lc rgb {} front\n",
            sx(e.x + 0.5 * kKeySample), sy(e.y), point_type(s.mark), 1.8 * t.mark_per_mm, colour(s.role));
    }
    screen_words(e.x + kKeySample + 1.5, e.y - 0.36 * kTextSize, e.name, "left", kTextSize, false);
  }
}

std::string escape_tick(const std::string& text) {  // tick words are also number formats
  std::string s;
  for (const char c : text) s += c == '%' ? std::string("%%") : std::string(1, c);
  return quote(s);
}

void Writer::write_axis(const char* name, const Axis& axis, const Range& range, double step,
                        bool show_words) {
  out += axis.reversed ? fmt::format("set {}range [{:.9g}:{:.9g}]\n", name, range.high, range.low)
                       : fmt::format("set {}range [{:.9g}:{:.9g}]\n", name, range.low, range.high);
  out += fmt::format("set {0}tics {1}scale {4:g} nomirror {2} textcolor rgb {3}", name,
                     axis.ticks.empty() ? fmt::format("{:.9g} ", step) : std::string(), font(kTextSize),
                     colour(Role::kInk), axis.show && axis.ticks.empty() ? 0.6 : 0.0);
  if (!axis.ticks.empty()) {
    out += " (";
    for (size_t i = 0; i < axis.ticks.size(); ++i)
      out += fmt::format("{}{} {:.9g}", i > 0 ? ", " : "",
                         show_words ? escape_tick(axis.ticks[i].text) : "''", axis.ticks[i].at);
    out += ")";
  }
  out += "\n";
  out += fmt::format("set format {} '{}'\n", name, show_words ? "%g" : "");
  if (axis.grid)
    out += fmt::format("set grid {}tics back lt 1 lw 0.1 lc rgb '#d9d9dd'\n", name);
  else
    out += fmt::format("set grid no{}tics\n", name);
}

void Writer::write_panel(size_t index) {
  const Panel& panel = chart.panels[index];
  const PanelBox& box = layout.panels[index];
  out += "unset label\nunset arrow\nunset object\n";
  out += fmt::format("set lmargin at screen {:.5f}\nset rmargin at screen {:.5f}\n", sx(box.left),
                     sx(box.right));
  out += fmt::format("set bmargin at screen {:.5f}\nset tmargin at screen {:.5f}\n", sy(box.bottom),
                     sy(box.top));
  out += fmt::format("set border 3 lw 0.2 lc rgb {}\n", colour(Role::kFaintInk));
  write_axis("x", panel.x, box.x, box.x_step, box.x_words);
  write_axis("y", panel.y, box.y, box.y_step, box.y_words);

  if (box.x_words && !panel.x.label.empty())
    screen_words(0.5 * (box.left + box.right), box.bottom - 2 * kTextSize - 4.2, axis_words(panel.x),
                 "center", kTextSize, false);
  if (box.y_words) {
    double x = 3.6;
    for (const std::string& words : label_lines(panel.y, std::max(20.0, box.top - box.bottom))) {
      out += fmt::format(
          "set label {} at screen {:.5f},{:.5f} center rotate by 90 {} front textcolor rgb {}\n",
          quote(words), sx(x), sy(0.5 * (box.bottom + box.top)), font(kTextSize), colour(Role::kInk));
      x += kLabelStep;
    }
  }
  double title_y = box.top + 1.2;
  for (size_t i = box.title_lines.size(); i-- > 0; title_y += kTextSize + 1.2)
    screen_words(box.left, title_y, box.title_lines[i], "left", layout.panel_title_size, true);

  for (const Band& b : panel.bands) {
    const char* form = b.along_x ? "set object rectangle from {0:.9g},graph 0 to {1:.9g},graph 1"
                                 : "set object rectangle from graph 0,{0:.9g} to graph 1,{1:.9g}";
    out += fmt::format(fmt::runtime(form), b.from, b.to) +
           fmt::format(" behind fillcolor rgb {} fillstyle solid {:g} noborder\n", colour(b.role), b.opacity);
  }
  for (const EventLine& e : chart.events)
    if (chart.arrangement == Arrangement::kStacked && e.x >= box.x.low && e.x <= box.x.high)
      out += fmt::format(
          "set arrow from {0:.9g},graph 0 to {0:.9g},graph 1 nohead back lw 0.25 dt (4,3) lc rgb {1}\n", e.x,
          colour(e.role));
  for (const Note& n : panel.notes) {
    static const char* const kSides[] = {"left", "center", "right"};
    out +=
        fmt::format("set label {} at {:.9g},{:.9g} {} {} front offset graph {:.5f},{:.5f} textcolor rgb {}\n",
                    quote(n.text), n.x, n.y, kSides[static_cast<int>(n.side)], font(kSmallSize),
                    n.dx_mm / (box.right - box.left), n.dy_mm / (box.top - box.bottom), colour(n.role));
  }
  if (index == 0) write_frame();

  std::string plot;
  const auto add = [&](const std::string& clause) {
    if (!clause.empty()) plot += (plot.empty() ? "" : ", ") + clause;
  };
  if (panel.map) add(write_map(index));
  add(write_bars(panel, index));
  for (size_t i = 0; i < panel.series.size(); ++i)
    add(write_series(panel.series[i], fmt::format("$panel{}_{}", index, i)));
  add(write_bar_spread(panel, index));
  out += "plot " + (plot.empty() ? std::string("NaN notitle") : plot) + "\n";
}

std::string cell(double v) { return std::isfinite(v) ? fmt::format("{:.9g}", v) : std::string("NaN"); }

std::string Writer::write_series(const Series& s, const std::string& data) {
  if (s.hidden) return "";
  const bool spread = !s.low.empty() && s.low.size() == s.high.size();
  out += data + " << END\n";
  for (size_t k = 0; k < s.x.size() && k < s.y.size(); ++k) {
    const bool known = std::isfinite(s.x[k]) && std::isfinite(s.y[k]);
    out += known ? cell(s.x[k]) + " " + cell(s.y[k]) : std::string("NaN NaN");
    if (spread) {
      const bool there = known && k < s.low.size() && std::isfinite(s.low[k]) && std::isfinite(s.high[k]);
      out += there ? " " + cell(s.low[k]) + " " + cell(s.high[k]) : std::string(" NaN NaN");
    }
    out += "\n";
  }
  out += "END\n";
  std::string plot;
  const auto add = [&](const std::string& clause) { plot += (plot.empty() ? "" : ", ") + clause; };
  if (spread && s.band)
    add(
        fmt::format("{} using 1:3:4 with filledcurves fillcolor rgb {} fillstyle transparent solid 0.18 "
                    "noborder notitle",
                    data, colour(s.role)));
  if (spread && !s.band)
    add(fmt::format("{} using 1:2:3:4 with yerrorbars pt -1 lw 0.3 lc rgb {} notitle", data, colour(s.role)));
  if (s.line)
    add(fmt::format("{} using 1:2 with lines lw {:g} {} lc rgb {} notitle", data, s.width_mm, dash(s.dashes),
                    colour(s.role)));
  if (s.mark != MarkShape::kNone)
    add(fmt::format("{} using 1:2 with points pt {} ps {:.3f} lw 0.3 lc rgb {} notitle", data,
                    point_type(s.mark), 1.8 * t.mark_per_mm, colour(s.role)));
  return plot;
}

int packed(const scene::Rgb& c, double opacity = 1) {
  const auto byte = [](double v) { return static_cast<int>(std::lround(255 * std::clamp(v, 0.0, 1.0))); };
  return 16777216 * (byte(1 - opacity) % 128) + 65536 * byte(c.r) + 256 * byte(c.g) + byte(c.b);
}

std::string Writer::write_bars(const Panel& panel, size_t index) {
  if (panel.bars.empty()) return "";
  const std::string data = fmt::format("$bars{}", index);
  out += data + " << END\n";
  for (const Bar& b : panel.bars)
    out += fmt::format("{:.9g} {:.9g} {:.9g} {:.9g} {:.9g} {:.9g} {}\n", 0.5 * (b.x0 + b.x1),
                       0.5 * (b.y0 + b.y1), b.x0, b.x1, b.y0, b.y1, packed(scene::rgb(b.role), b.opacity));
  out += "END\n";
  return data + " using 1:2:3:4:5:6:7 with boxxyerror lc rgb variable fillstyle solid 1 noborder notitle";
}

// The uncertainty at the far ends of bars.
std::string Writer::write_bar_spread(const Panel& panel, size_t index) {
  std::string plot;
  for (const bool upright : {true, false}) {
    std::string rows;
    for (const Bar& b : panel.bars) {
      if (b.upright != upright || !std::isfinite(b.low) || !std::isfinite(b.high)) continue;
      const double end = upright ? b.y1 : b.x1, middle = 0.5 * (upright ? b.x0 + b.x1 : b.y0 + b.y1);
      rows += fmt::format("{:.9g} {:.9g} {:.9g} {:.9g}\n", upright ? middle : end, upright ? end : middle,
                          b.low, b.high);
    }
    if (rows.empty()) continue;
    const std::string data = fmt::format("$spread{}_{}", index, upright ? 1 : 0);
    out += data + " << END\n" + rows + "END\n";
    const char* const bars = upright ? "yerrorbars" : "xerrorbars";
    plot += fmt::format(
        "{0}{1} using 1:2:3:4 with {2} pt -1 lw 0.8 lc rgb {3} notitle, {1} using 1:2:3:4 with {2} "
        "pt -1 lw 0.3 lc rgb {4} notitle",
        plot.empty() ? "" : ", ", data, bars, colour(Role::kPaper), colour(Role::kInk));
  }
  return plot;
}

std::string Writer::write_map(size_t index) {
  const HeatMap& map = *chart.panels[index].map;
  const std::vector<double> ex = find_edges(map.x), ey = find_edges(map.y);
  const Range range = layout.strip->values;
  const std::string data = fmt::format("$map{}", index);
  out += data + " << END\n";
  for (size_t j = 0; j < map.y.size(); ++j)
    for (size_t i = 0; i < map.x.size(); ++i) {
      const double v = map.values[j * map.x.size() + i];
      if (!std::isfinite(v)) continue;
      // Cells reach a little under their neighbours: no light lines between them on paper.
      const double over_x = i + 1 < map.x.size() ? 0.04 * (ex[i + 1] - ex[i]) : 0,
                   over_y = j + 1 < map.y.size() ? 0.04 * (ey[j + 1] - ey[j]) : 0;
      out += fmt::format("{:.9g} {:.9g} {:.9g} {:.9g} {:.9g} {:.9g} {}\n", map.x[i], map.y[j], ex[i],
                         ex[i + 1] + over_x, ey[j], ey[j + 1] + over_y,
                         packed(scene::value_colour((v - range.low) / (range.high - range.low))));
    }
  out += "NaN NaN NaN NaN NaN NaN 0\nEND\n";
  std::string plot = fmt::format(
      "{} using 1:2:3:4:5:6:7 with boxxyerror lc rgb variable fillstyle solid 1 noborder notitle", data);
  int count = 0;
  for (const double level : map.contours)
    for (const ContourLine& line : find_contours(map, level)) {
      const std::string name = fmt::format("$contour{}_{}", index, count++);
      out += name + " << END\n";
      for (size_t k = 0; k < line.x.size(); ++k) out += fmt::format("{:.9g} {:.9g}\n", line.x[k], line.y[k]);
      out += "END\n";
      plot += fmt::format(", {} using 1:2 with lines lw 0.7 lc rgb {} notitle", name, colour(Role::kPaper));
      plot += fmt::format(", {} using 1:2 with lines lw 0.3 lc rgb {} notitle", name, colour(Role::kInk));
      const size_t middle = line.x.size() / 2;
      out += fmt::format("set label {} at {:.9g},{:.9g} center front {} textcolor rgb {} boxed\n",
                         quote(fmt::format("{:g}", level)), line.x[middle], line.y[middle], font(kSmallSize),
                         colour(Role::kInk));
    }
  return plot;
}

void Writer::write_strip() {
  if (!layout.strip) return;
  const ColourStrip& s = *layout.strip;
  constexpr int kSteps = 48;
  for (int k = 0; k < kSteps; ++k) {
    const double from = s.bottom + (s.top - s.bottom) * k / kSteps,
                 to = s.bottom + (s.top - s.bottom) * (k + (k + 1 < kSteps ? 1.2 : 1)) / kSteps;
    out += fmt::format(
        "set object rectangle from screen {:.5f},{:.5f} to screen {:.5f},{:.5f} front fillcolor rgb '{}' "
        "fillstyle solid 1 noborder\n",
        sx(s.left), sy(from), sx(s.right), sy(to), scene::hex(scene::value_colour((k + 0.5) / kSteps)));
  }
  for (double v = s.step * std::ceil(s.values.low / s.step - 1e-9); v <= s.values.high + 1e-9 * s.step;
       v += s.step) {
    const double y = s.bottom + (s.top - s.bottom) * (v - s.values.low) / (s.values.high - s.values.low);
    screen_words(s.right + 1.5, y - 0.36 * kSmallSize,
                 fmt::format("{:.4g}", std::abs(v) < 1e-9 * s.step ? 0.0 : v), "left", kSmallSize, false);
  }
  for (const Panel& p : chart.panels)
    if (p.map) {
      Axis a;
      a.label = p.map->name;
      a.unit = p.map->unit;
      double y = s.top + 2;
      std::vector<std::string> lines = wrap(axis_words(a), 22, kSmallSize, false);
      for (size_t i = lines.size(); i-- > 0; y += kSmallSize + 0.8)
        screen_words(s.left, y, lines[i], "left", kSmallSize, false);
      break;
    }
}

}  // namespace

std::string quote(const std::string& text) {
  // Nothing is read into single quotes, so all words stand in them; only apostrophes need double ones
  // (gnuplot 5.4 stumbles over several apostrophes doubled in a row).
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'')
      out += "' . \"'\" . '";
    else
      out += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? ' ' : c;
  }
  return out + "'";
}

std::string write_script(const Chart& chart, Format format, const std::string& output) {
  const Layout layout = lay_out(chart);
  const Terminal t = terminal(chart, format);
  Writer w{chart, layout, t, {}};
  w.out = "set encoding utf8\nset minussign\n" + t.set + "set output " + quote(output) +
          "\nunset key\nset tics in\nset errorbars 0.6\nset pointintervalbox 0\nset style textbox opaque "
          "noborder margins "
          "0.4,0.4\nset multiplot\n";
  for (size_t i = 0; i < chart.panels.size(); ++i) w.write_panel(i);
  w.out += "unset multiplot\nunset output\n";
  return w.out;
}

}  // namespace leverwright::chart
