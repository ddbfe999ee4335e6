// Force against dip.
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

Chart build_force_dip(const std::string& title, const std::vector<study_file::ForceDipCurve>& curves) {
  Chart c;
  c.title = title.empty() ? "force against dip" : title + ": force against dip";
  c.remark = "slow key, upper line of each pair going down, lower line coming up";
  c.height_mm = 115;
  Panel p;
  p.x = axis("dip at the playing point", "mm");
  p.y = axis("force at the playing point", "gf");
  double highest = 0, reach = 0;
  std::vector<double> marks_x, marks_y;
  for (size_t i = 0; i < curves.size(); ++i) {
    const study_file::ForceDipCurve& f = curves[i];
    p.series.push_back(line(i, f.set_up, times(f.dip_down, kMm), times(f.force_down, kGf)));
    Series up = line(i, f.set_up + ", coming up", times(f.dip_up, kMm), times(f.force_up, kGf));
    up.in_key = false;
    up.width_mm = 0.35;
    p.series.push_back(std::move(up));
    // The bottom of the key would squeeze everything else flat: the force scale ends a little above the
    // let-off bump.
    const double end = f.let_off_dip ? *f.let_off_dip * kMm + 0.5 : 1e9;
    for (size_t k = 0; k < std::min(f.dip_down.size(), f.force_down.size()); ++k) {
      reach = std::max(reach, f.dip_down[k] * kMm);
      if (f.dip_down[k] * kMm <= end && std::isfinite(f.force_down[k]))
        highest = std::max(highest, f.force_down[k] * kGf);
    }
    if (f.let_off_dip && !f.dip_down.empty() && f.dip_down.size() == f.force_down.size()) {
      marks_x.push_back(*f.let_off_dip * kMm);
      marks_y.push_back(value_at(f.dip_down, f.force_down, *f.let_off_dip) * kGf);
    }
  }
  if (!marks_x.empty()) {
    Series let_off;
    let_off.name = "let-off";
    let_off.x = marks_x;
    let_off.y = marks_y;
    let_off.line = false;
    let_off.mark = chart::MarkShape::kRing;
    let_off.role = scene::Role::kContact;
    p.series.push_back(std::move(let_off));
  }
  p.y.low = 0;
  p.y.high = chart::round_range(0, std::max(1.0, highest)).high;
  p.x.low = 0;
  p.x.high = 0.5 * std::ceil(2 * std::max(1.0, reach) + 0.2);
  c.panels.push_back(std::move(p));
  put_base_last(&c);
  return c;
}

Files draw_force_dip(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.force_dip.empty()) return {};
  return chart::draw_chart(build_force_dip(study.title, study.force_dip), folder + "/force_against_dip");
}

}  // namespace leverwright::figures
