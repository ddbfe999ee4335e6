#include "viz/figures/bench_figures.h"

#include <algorithm>
#include <cmath>

#include "viz/chart/draw_chart.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

namespace {

Series marks(const std::string& name, scene::Role role, chart::MarkShape shape) {
  Series s;
  s.name = name;
  s.role = role;
  s.mark = shape;
  s.line = false;
  return s;
}

// A thin bar lying along x, as an error bar.
chart::Bar error_bar(double x, double half, double y, scene::Role role, const std::string& name) {
  return {x - half, x + half, y - 0.03, y + 0.03, role, 0.9, name};
}

}  // namespace

Chart build_residuals(const std::vector<BenchReading>& readings) {
  Chart c;
  c.title = "readings against the fit";
  c.remark = "measured less fitted, in standard deviations of the reading; shaded: within 2";
  c.height_mm = 30 + 6.0 * static_cast<double>(readings.size());
  Panel p;
  p.x.label = "measured less fitted";
  p.x.unit = "sd";
  p.y.grid = false;
  p.y.reversed = true;
  p.bands.push_back({true, -2, 2, scene::Role::kFelt, 0.3, ""});
  Series inside = marks("reading", scene::Role::kSetUpA, chart::MarkShape::kDot);
  Series outside = marks("beyond 3", scene::Role::kContact, chart::MarkShape::kRing);
  double reach = 3.5;
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const BenchReading& r = readings[k];
    const double off = (r.measured - r.predicted) / r.sigma, y = static_cast<double>(k);
    p.y.ticks.push_back({y, r.note + ": " + r.name});
    (std::abs(off) > 3 ? outside : inside).x.push_back(off);
    (std::abs(off) > 3 ? outside : inside).y.push_back(y);
    reach = std::max(reach, std::abs(off) + 0.5);
  }
  p.x.low = -std::ceil(reach);
  p.x.high = std::ceil(reach);
  p.y.low = -0.7;
  p.y.high = static_cast<double>(readings.size()) - 0.3;
  p.series.push_back(inside);
  if (!outside.x.empty()) p.series.push_back(outside);
  c.panels.push_back(std::move(p));
  return c;
}

Chart build_predicted_measured(const std::vector<BenchReading>& readings) {
  Chart c;
  c.title = "predicted and measured";
  c.remark = "bars: 95 % (1.96 standard deviations); above predicted, below measured";
  c.arrangement = chart::Arrangement::kSideBySide;
  std::vector<std::string> kinds, notes;
  for (const BenchReading& r : readings) {
    if (std::find(kinds.begin(), kinds.end(), r.name) == kinds.end()) kinds.push_back(r.name);
    if (std::find(notes.begin(), notes.end(), r.note) == notes.end()) notes.push_back(r.note);
  }
  c.height_mm = 45 + 12.0 * static_cast<double>(notes.size());
  c.width_mm = std::max(170.0, 45 + 45.0 * static_cast<double>(kinds.size()));
  for (const std::string& kind : kinds) {
    Panel p;
    p.x.label = kind;
    p.y.grid = false;
    p.y.reversed = true;
    p.y.low = -0.6;
    p.y.high = static_cast<double>(notes.size()) - 0.4;
    p.y.show = kind == kinds.front();
    for (std::size_t k = 0; k < notes.size(); ++k) p.y.ticks.push_back({static_cast<double>(k), notes[k]});
    Series predicted = marks("predicted", scene::Role::kSetUpA, chart::MarkShape::kDot);
    Series measured = marks("measured", scene::Role::kSetUpB, chart::MarkShape::kSquare);
    double low = 1e300, high = -1e300;
    for (const BenchReading& r : readings) {
      if (r.name != kind) continue;
      p.x.unit = r.unit;
      const double y = static_cast<double>(std::find(notes.begin(), notes.end(), r.note) - notes.begin());
      predicted.x.push_back(r.predicted);
      predicted.y.push_back(y - 0.15);
      measured.x.push_back(r.measured);
      measured.y.push_back(y + 0.15);
      p.bars.push_back(
          error_bar(r.predicted, 1.96 * r.predicted_sigma, y - 0.15, scene::Role::kSetUpA, "predicted"));
      p.bars.push_back(error_bar(r.measured, 1.96 * r.sigma, y + 0.15, scene::Role::kSetUpB, "measured"));
      low = std::min({low, r.predicted - 2 * r.predicted_sigma, r.measured - 2 * r.sigma});
      high = std::max({high, r.predicted + 2 * r.predicted_sigma, r.measured + 2 * r.sigma});
    }
    const chart::Range range = chart::round_range(low, high);
    p.x.low = range.low;
    p.x.high = range.high;
    predicted.in_key = measured.in_key = kind == kinds.front();
    p.series = {predicted, measured};
    c.panels.push_back(std::move(p));
  }
  return c;
}

std::vector<std::string> draw_residuals(const std::vector<BenchReading>& readings,
                                        const std::string& folder) {
  return chart::draw_chart(build_residuals(readings), folder + "/residuals");
}

std::vector<std::string> draw_predicted_measured(const std::vector<BenchReading>& readings,
                                                 const std::string& folder) {
  return chart::draw_chart(build_predicted_measured(readings), folder + "/predicted_measured");
}

}  // namespace leverwright::figures
