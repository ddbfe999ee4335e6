// Speed against way, of key and hammer.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

Chart build_phase(const std::string& title, const std::vector<study_file::Stroke>& strokes, PhaseOf of) {
  Chart c;
  if (strokes.empty()) return c;
  const bool key = of == PhaseOf::kKey;
  c.title = titled(
      title, std::string(key ? "key" : "hammer") + ", speed against place, touch " + strokes.front().touch);
  c.remark = key ? "downwards positive; from the key's start to the check"
                 : "towards the string positive; above the line going up, below it coming back";
  Panel p;
  p.x = key ? axis("dip at the playing point", "mm") : axis("hammer below string", "mm");
  p.x.reversed = !key;
  p.y = axis(key ? "key speed" : "hammer speed", "m/s");
  for (size_t i = 0; i < strokes.size(); ++i) {
    const study_file::Stroke& s = strokes[i];
    const std::vector<double>&place = key ? s.key_dip : s.hammer_distance,
          &speed = key ? s.key_speed : s.hammer_speed;
    const auto [from, to] = window_of(s);
    Series curve = line(i, s.set_up);
    for (size_t k = 0; k < s.time.size() && k < place.size() && k < speed.size(); ++k) {
      if (s.time[k] < from || s.time[k] > to) continue;
      curve.x.push_back(kMm * place[k]);
      curve.y.push_back(speed[k]);
    }
    p.series.push_back(std::move(curve));
  }
  c.panels.push_back(std::move(p));
  return c;
}

Files draw_phase(const study_file::StudyFigures& study, const std::string& folder) {
  const std::vector<study_file::Stroke> same = strokes_to_show(study.strokes);
  if (same.empty()) return {};
  Files files;
  const auto draw = [&](std::vector<double> study_file::Stroke::*values, PhaseOf of, const char* stem) {
    if (!std::all_of(same.begin(), same.end(),
                     [&](const study_file::Stroke& s) { return !(s.*values).empty(); }))
      return;
    const Files written =
        chart::draw_chart(build_phase(study.title, same, of), folder + stem + same.front().touch);
    files.insert(files.end(), written.begin(), written.end());
  };
  draw(&study_file::Stroke::key_speed, PhaseOf::kKey, "/phase_key_");
  draw(&study_file::Stroke::hammer_speed, PhaseOf::kHammer, "/phase_hammer_");
  return files;
}

}  // namespace leverwright::figures
