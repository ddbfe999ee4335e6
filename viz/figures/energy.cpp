// Where the energy of a stroke goes.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

Chart build_energy(const std::string& title, const study_file::Stroke& s) {
  Chart c;
  c.title = titled(title, "where the finger's work goes, touch " + s.touch);
  c.remark = s.set_up +
             "; each strip is one share, counted from the start of the stroke; the line is the work put in";
  c.height_mm = 120;
  Panel p;
  p.x = axis("time", "ms");
  p.y = axis("energy", "mJ");
  const auto [from, to] = window_of(s);
  const auto find = [&](const char* name) -> const std::vector<double>* {
    for (size_t k = 0; k < s.energy_names.size(); ++k)
      if (s.energy_names[k] == name) return &s.energies[k];
    return nullptr;
  };
  const std::vector<std::pair<std::string, std::vector<const char*>>> shares{
      {"lost to friction and cloth", {"lost"}},
      {"lifted weights", {"gravity"}},
      {"springs", {"springs"}},
      {"pressed cloth, stuck friction", {"cloth", "stuck friction", "stuck centres and bushings"}},
      {"motion", {"kinetic"}},
      {"string", {"string"}}};
  std::vector<double> time, below;
  std::vector<size_t> rows;
  for (size_t k = 0; k < s.time.size(); ++k)
    if (s.time[k] >= from && s.time[k] <= to) rows.push_back(k), time.push_back(kMs * s.time[k]);
  below.assign(rows.size(), 0);
  int index = 1;
  double least = 0, most = 0;
  for (const auto& [name, parts] : shares) {
    Series strip = line(static_cast<size_t>(index), name);
    strip.dashes.clear();
    strip.width_mm = 0.25;
    strip.band = true;
    strip.x = time;
    strip.low = below;
    for (size_t r = 0; r < rows.size(); ++r) {
      for (const char* part : parts)
        if (const auto* values = find(part)) below[r] += kMilliJoule * ((*values)[rows[r]] - values->front());
    }
    strip.high = strip.y = below;
    for (const double v : below) least = std::min(least, v), most = std::max(most, v);
    p.series.push_back(std::move(strip));
    ++index;
  }
  if (least > -0.02 * most) p.y.low = 0;  // else a hair below the line costs a whole step
  if (const auto* work = find("work")) {
    Series total = line(0, "work put in");
    total.x = time;
    for (const size_t r : rows) total.y.push_back(kMilliJoule * ((*work)[r] - work->front()));
    p.series.push_back(std::move(total));
  }
  for (const study_file::Event& e : s.events)
    if (e.time >= from && e.time <= to &&
        (e.name == "jack trips" || e.name == "string contact" || e.name == "check"))
      c.events.push_back({kMs * e.time, e.name, scene::Role::kFaintInk});
  p.x.low = kMs * from;
  p.x.high = kMs * to;
  // The key reads as the strips lie, the uppermost first, under the line that bounds them all.
  std::reverse(p.series.begin(), p.series.end());
  c.panels.push_back(std::move(p));
  return c;
}

Files draw_energy(const study_file::StudyFigures& study, const std::string& folder) {
  const std::vector<study_file::Stroke> same = strokes_to_show(study.strokes);
  if (same.empty() || same.front().energies.empty()) return {};
  return chart::draw_chart(build_energy(study.title, same.front()), folder + "/energy_" + same.front().touch);
}

}  // namespace leverwright::figures
