// Distance ratio through the stroke.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

Chart build_ratio(const std::string& title, const std::vector<study_file::RatioCurve>& curves) {
  Chart c;
  c.title = titled(title, "distance ratio through the stroke");
  const bool frictionless = std::all_of(curves.begin(), curves.end(),
                                        [](const study_file::RatioCurve& r) { return r.frictionless; });
  c.remark =
      frictionless
          ? "strike-point over playing-point travel, without friction, until the tender meets its "
            "button; mean over 0.2 mm"
          : "strike-point over playing-point travel, with friction, whose slack makes kinks, from 1 mm "
            "until the tender meets its button";
  Panel p;
  p.x = axis("dip at the playing point", "mm");
  p.y = axis("distance ratio", "");
  for (size_t i = 0; i < curves.size(); ++i) {
    Series s = line(i, curves[i].set_up);
    for (size_t k = 0; k < curves[i].dip.size() && k < curves[i].ratio.size(); ++k) {
      s.x.push_back(kMm * curves[i].dip[k]);
      s.y.push_back(curves[i].ratio[k]);
    }
    p.series.push_back(std::move(s));
  }
  p.share = 1.4;
  std::optional<Panel> difference =
      build_difference(p, curves.empty() ? "" : "less " + curves.front().set_up, "");
  c.panels.push_back(std::move(p));
  if (difference) {
    c.height_mm = 130;
    c.panels.push_back(std::move(*difference));
  }
  put_base_last(&c);
  return c;
}

Files draw_ratio(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.ratios.empty()) return {};
  return chart::draw_chart(build_ratio(study.title, study.ratios), folder + "/distance_ratio");
}

}  // namespace leverwright::figures
