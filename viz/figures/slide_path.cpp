// How the capstan slides on the heel cloth.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/chart/layout.h"
#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"
#include "viz/scene/drawing.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

Chart build_slide_path(const std::string& title, const std::vector<study_file::SlidePath>& paths) {
  Chart c;
  c.title = titled(title, "slide path on the heel cloth");
  c.remark =
      "above: cloth surface to scale, thick where the capstan runs, bars: each set-up's lifting face; below: contact "
      "through the stroke; player on the left; no uncertainty shown";
  c.height_mm = 165;
  Panel heel, path;
  heel.y = axis("cloth surface below the wippen centre", "mm");
  heel.y.reversed = true;
  path.y = axis("dip", "mm");
  path.y.reversed = true;
  path.y.low = 0;
  path.share = 0.75;
  heel.x = path.x = axis("distance from the wippen centre, along the wippen", "mm");
  heel.x.reversed = path.x.reversed = true;
  // Distances count from the wippen centre towards the player, so that they are as on a rule laid there.
  double low = INFINITY, high = -INFINITY, top = INFINITY, bottom = -INFINITY;
  const auto take = [&](double metres) {
    if (!std::isfinite(metres)) return;
    low = std::min(low, -metres * kMm);
    high = std::max(high, -metres * kMm);
  };
  for (const study_file::SlidePath& s : paths) {
    for (const double x : s.place) take(x);
    for (const auto& end : {s.face_from, s.face_to})
      if (end) take(*end);
    for (const scene::Point& p : s.heel_surface) bottom = std::max(bottom, -p.y() * kMm);
  }
  if (low > high) low = 60, high = 70;
  const double room = std::max(1.0, 0.12 * (high - low));
  const chart::Range round = chart::round_range(low - room, high + room);
  heel.x.low = path.x.low = round.low;
  heel.x.high = path.x.high = round.high;
  for (size_t i = 0; i < paths.size(); ++i) {
    const study_file::SlidePath& s = paths[i];
    std::vector<double> x, y, run_x, run_y;
    double from = INFINITY, to = -INFINITY;
    for (const double v : s.place)
      if (std::isfinite(v)) from = std::min(from, v), to = std::max(to, v);
    for (const scene::Point& p : s.heel_surface) {
      const double at = -p.x() * kMm;
      if (at < round.low || at > round.high) continue;
      x.push_back(at);
      y.push_back(-p.y() * kMm);
      top = std::min(top, y.back());
    }
    std::vector<double> surface_x, surface_y;
    for (const scene::Point& p : s.heel_surface) surface_x.push_back(p.x()), surface_y.push_back(p.y());
    for (int k = 0; k <= 24 && from <= to; ++k) {
      const double at = from + (to - from) * k / 24;
      run_x.push_back(-at * kMm);
      run_y.push_back(-value_at(surface_x, surface_y, at) * kMm);
    }
    Series surface = line(i, s.set_up, std::move(x), std::move(y));
    surface.width_mm = 0.3;
    surface.in_key = false;
    heel.series.push_back(std::move(surface));
    Series run = line(i, s.set_up + ", where the capstan runs", std::move(run_x), std::move(run_y));
    run.dashes.clear();
    run.width_mm = 1.1;
    run.in_key = false;
    heel.series.push_back(std::move(run));
    path.series.push_back(line(i, s.set_up, times(s.place, -kMm), times(s.dip, kMm)));
  }
  c.panels = {std::move(heel), std::move(path)};
  put_base_last(&c);
  if (!(bottom > 0)) return c;
  // As many mm upright as the same paper holds along: the panels' sizes are known when the chart is laid out.
  Panel& shape = c.panels.front();
  shape.y.low = bottom - 5;
  shape.y.high = bottom + 3;
  const chart::PanelBox box = chart::lay_out(c).panels.front();
  const double span = (round.high - round.low) * (box.top - box.bottom) / (box.right - box.left);
  const double face_step = 0.05 * span;
  shape.y.high = bottom + (static_cast<double>(paths.size()) + 1) * face_step;
  shape.y.low = shape.y.high - span;
  for (size_t i = 0; i < paths.size(); ++i) {
    if (!paths[i].face_from || !paths[i].face_to) continue;
    const double a = -*paths[i].face_from * kMm, b = -*paths[i].face_to * kMm;
    const double at = bottom + (static_cast<double>(i) + 0.8) * face_step;
    shape.bars.push_back({std::min(a, b), std::max(a, b), at - 0.3 * face_step, at + 0.3 * face_step,
                          scene::set_up_role(static_cast<int>(i)), 0.7, paths[i].set_up + ", lifting face"});
  }
  return c;
}

Files draw_slide_path(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.slide_paths.empty()) return {};
  return chart::draw_chart(build_slide_path(study.title, study.slide_paths), folder + "/slide_path");
}

}  // namespace leverwright::figures
