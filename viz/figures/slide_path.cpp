// How the capstan slides on the heel cloth.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"
#include "viz/scene/drawing.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

Chart build_slide_path(const std::string& title, const std::vector<study_file::SlidePath>& paths) {
  Chart c;
  c.title = title.empty() ? "slide path on the heel cloth" : title + ": slide path on the heel cloth";
  c.remark =
      "above: cloth surface, thick where the capstan runs; below: contact through the stroke; player on the "
      "left";
  c.height_mm = 125;
  Panel heel, path;
  heel.y = axis("cloth surface", "mm");
  heel.share = 0.8;
  path.y = axis("dip", "mm");
  path.y.reversed = true;
  path.y.low = 0;
  path.share = 1.2;
  heel.x = path.x = axis("distance from the wippen centre, along the wippen", "mm");
  double low = INFINITY, high = -INFINITY;
  for (const study_file::SlidePath& s : paths)
    for (const double x : s.place)
      if (std::isfinite(x)) {
        low = std::min(low, x * kMm);
        high = std::max(high, x * kMm);
      }
  if (low > high) low = -70, high = -60;
  // Wide enough to see the lifting face's ends, never so wide that the path is lost.
  if (!paths.empty() && paths.front().face_from && paths.front().face_to) {
    const double from = std::min(*paths.front().face_from, *paths.front().face_to) * kMm;
    const double to = std::max(*paths.front().face_from, *paths.front().face_to) * kMm;
    low = std::min(low, from);
    high = std::max(high, to);
    const bool same = std::all_of(paths.begin(), paths.end(), [&](const study_file::SlidePath& other) {
      return other.face_from == paths.front().face_from && other.face_to == paths.front().face_to;
    });
    const std::string label = same ? "lifting face" : "lifting face, " + paths.front().set_up;
    for (Panel* p : {&heel, &path}) p->bands.push_back({true, from, to, scene::Role::kFelt, 0.22, label});
  }
  const double room = std::max(1.0, 0.15 * (high - low));
  low -= room;
  high += room;
  const chart::Range round = chart::round_range(low, high);
  heel.x.low = path.x.low = round.low;
  heel.x.high = path.x.high = round.high;
  for (size_t i = 0; i < paths.size(); ++i) {
    const study_file::SlidePath& s = paths[i];
    std::vector<double> x, y, run_x, run_y;
    double from = INFINITY, to = -INFINITY;
    for (const double v : s.place)
      if (std::isfinite(v)) from = std::min(from, v), to = std::max(to, v);
    for (const scene::Point& p : s.heel_surface) {
      if (p.x() * kMm < round.low || p.x() * kMm > round.high) continue;
      x.push_back(p.x() * kMm);
      y.push_back(p.y() * kMm);
    }
    std::vector<double> surface_x, surface_y;
    for (const scene::Point& p : s.heel_surface) surface_x.push_back(p.x()), surface_y.push_back(p.y());
    for (int k = 0; k <= 24 && from <= to; ++k) {
      const double at = from + (to - from) * k / 24;
      run_x.push_back(at * kMm);
      run_y.push_back(value_at(surface_x, surface_y, at) * kMm);
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
    path.series.push_back(line(i, s.set_up, times(s.place, kMm), times(s.dip, kMm)));
  }
  c.panels = {std::move(heel), std::move(path)};
  return c;
}

Files draw_slide_path(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.slide_paths.empty()) return {};
  return chart::draw_chart(build_slide_path(study.title, study.slide_paths), folder + "/slide_path");
}

}  // namespace leverwright::figures
