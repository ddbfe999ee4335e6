#include "viz/figures/map_figure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/store/study_reader.h"

namespace leverwright::figures {

namespace {

chart::Axis axis_of(const store::StudyReader& study, int k, std::vector<double>& values) {
  const store::Series s = study.read_series(fmt::format("/map/amount_{}", k));
  values = s.displayed();
  chart::Axis axis;
  axis.label = s.meta.description;
  axis.unit = s.meta.display_unit == "1" ? "" : s.meta.display_unit;
  axis.grid = false;
  return axis;
}

double single(const store::StudyReader& study, const std::string& path) {
  return study.has(path) ? study.read_series(path).displayed().front() : chart::kAuto;
}

void mark(chart::Panel& panel, const std::string& name, double x, double y, chart::MarkShape shape) {
  if (!std::isfinite(x) || !std::isfinite(y)) return;
  chart::Series s;
  s.name = name;
  s.x = {x};
  s.y = {y};
  s.line = false;
  s.mark = shape;
  panel.series.push_back(s);
}

// Levels at round steps, five to ten of them.
std::vector<double> round_levels(const std::vector<double>& values) {
  double low = INFINITY, high = -INFINITY;
  for (const double v : values)
    if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
  std::vector<double> levels;
  if (!(high > low)) return levels;
  const double rough = (high - low) / 8, power = std::pow(10, std::floor(std::log10(rough)));
  const double lead = rough / power;
  const double step = power * (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10);
  const double edge = 0.04 * (high - low);  // a line at the very lowest would be noise
  for (double at = std::ceil((low + edge) / step); at * step <= high; ++at)
    levels.push_back(at == 0 ? 0.0 : at * step);
  return levels;
}

chart::Panel field_panel(const store::StudyReader& study, const std::string& key) {
  chart::Panel panel;
  chart::HeatMap map;
  panel.x = axis_of(study, 0, map.x);
  panel.y = axis_of(study, 1, map.y);
  const store::Series values = study.read_series("/map/numbers/" + key);
  map.values = values.displayed();
  map.name = values.meta.description.substr(0, values.meta.description.find(';'));
  map.unit = values.meta.display_unit == "1" ? "" : values.meta.display_unit;
  map.contours = round_levels(map.values);
  panel.title = map.unit.empty() ? map.name : map.name + " (" + map.unit + ")";
  panel.map = map;
  mark(panel, "as written in the case", single(study, "/map/as_written_0"),
       single(study, "/map/as_written_1"), chart::MarkShape::kRing);
  mark(panel, "best", single(study, "/map/best_0"), single(study, "/map/best_1"), chart::MarkShape::kDiamond);
  return panel;
}

chart::Panel curve_panel(const store::StudyReader& study, const std::string& key) {
  chart::Panel panel;
  chart::Series curve;
  panel.x = axis_of(study, 0, curve.x);
  panel.x.grid = true;
  const store::Series values = study.read_series("/map/numbers/" + key);
  curve.y = values.displayed();
  curve.in_key = false;
  panel.y.label = values.meta.description.substr(0, values.meta.description.find(';'));
  curve.name = panel.y.label;
  panel.y.unit = values.meta.display_unit == "1" ? "" : values.meta.display_unit;
  panel.series.push_back(curve);
  const double best = single(study, "/map/best_0"), written = single(study, "/map/as_written_0");
  for (std::size_t k = 0; k < curve.x.size(); ++k)
    if (std::abs(curve.x[k] - best) < 1e-9 * (1 + std::abs(best)))
      mark(panel, "best", best, curve.y[k], chart::MarkShape::kDiamond);
  for (std::size_t k = 1; k < curve.x.size(); ++k)
    if (written >= curve.x[k - 1] && written <= curve.x[k]) {
      const double share = (written - curve.x[k - 1]) / (curve.x[k] - curve.x[k - 1]);
      mark(panel, "as written in the case", written, curve.y[k - 1] + share * (curve.y[k] - curve.y[k - 1]),
           chart::MarkShape::kRing);
      break;
    }
  return panel;
}

}  // namespace

std::vector<chart::Chart> build_maps(const std::string& results_path) {
  const store::StudyReader study(results_path);
  const bool two = study.has("/map/amount_1");
  const auto excluded = study.read_strings("/map/excluded_because");
  std::vector<chart::Chart> out;
  for (const std::string& key : study.texts_attribute("/map", "shown")) {
    chart::Chart c;
    c.title = study.text_attribute("/map", "name");
    if (study.has_attribute("/map", "undone") && study.text_attribute("/map", "undone") == "NOT REVERSIBLE")
      c.title += " [NOT REVERSIBLE]";
    c.remark = study.text_attribute("/map", "question");
    if (study.status() != "complete") c.remark += (c.remark.empty() ? "(" : " (") + study.reason() + ")";
    c.panels.push_back(two ? field_panel(study, key) : curve_panel(study, key));
    if (two && std::any_of(excluded.begin(), excluded.end(), [](const auto& why) { return !why.empty(); })) {
      chart::Band none;  // of no width: for the key alone
      none.from = none.to = c.panels.back().map->x.front();
      none.role = chart::Role::kPaper;
      none.label = "cannot be regulated, or jams";
      c.panels.back().bands.push_back(none);
    }
    c.width_mm = 160;
    c.height_mm = two ? 120 : 90;
    out.push_back(c);
  }
  return out;
}

std::vector<std::string> draw_map(const std::string& results_path, const std::string& stem) {
  const store::StudyReader study(results_path);
  const auto shown = study.texts_attribute("/map", "shown");
  const auto charts = build_maps(results_path);
  std::vector<std::string> files;
  for (std::size_t k = 0; k < charts.size(); ++k)
    for (const auto& file : chart::draw_chart(charts[k], stem + "_" + shown[k])) files.push_back(file);
  return files;
}

}  // namespace leverwright::figures
