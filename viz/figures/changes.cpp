// What each set-up changes, with its uncertainty.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/figures/chart_parts.h"
#include "viz/figures/draw_figures.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

Chart build_changes(const std::string& title, const std::vector<study_file::Change>& changes,
                    const std::string& base) {
  Chart c;
  c.title = titled(title, "change against " + (base.empty() ? "the first set-up" : base));
  c.remark = "bar and number: predicted change; line across its end: 95 % band";
  c.arrangement = chart::Arrangement::kSideBySide;
  c.key = false;
  c.width_mm = 180;
  std::vector<std::string> measures, set_ups;
  const auto keep = [](std::vector<std::string>* list, const std::string& name) {
    if (std::find(list->begin(), list->end(), name) == list->end()) list->push_back(name);
  };
  for (const study_file::Change& change : changes)
    keep(&measures, change.measure), keep(&set_ups, change.set_up);
  const double n = static_cast<double>(set_ups.size());
  c.height_mm = 38 + 10 * n;
  for (const std::string& measure : measures) {
    Panel p;
    p.title = measure;
    p.y.grid = false;
    p.y.low = 0.4;
    p.y.high = n + 0.6;
    double least = 0, most = 0;
    for (size_t k = 0; k < set_ups.size(); ++k) {
      const double at = n - static_cast<double>(k);
      p.y.ticks.push_back({at, set_ups[k]});
      for (const study_file::Change& change : changes) {
        if (change.measure != measure || change.set_up != set_ups[k] || !std::isfinite(change.value))
          continue;
        p.x = axis("", change.unit);
        p.x.label = change.unit;
        p.x.unit.clear();
        chart::Bar bar;
        bar.x1 = change.value;
        bar.y0 = at - 0.3;
        bar.y1 = at + 0.3;
        bar.role = scene::set_up_role(static_cast<int>(k) + 1);
        bar.opacity = 0.85;
        bar.name = change.set_up;
        if (change.sigma > 0)
          bar.low = change.value - kBand95 * change.sigma, bar.high = change.value + kBand95 * change.sigma;
        least = std::min(least, change.value - kBand95 * change.sigma);
        most = std::max(most, change.value + kBand95 * change.sigma);
        const double shown = std::abs(change.value) < 0.005 ? 0 : change.value;
        std::string number = fmt::format("{:+.{}f}", shown, change.unit == "mm" ? 2 : 1);
        if (number.find_first_not_of("+-0.") == std::string::npos) number = "0";
        if (number.front() == '-') number.replace(0, 1, "\u2212");
        p.notes.push_back({0, at + 0.3, number, chart::Side::kCentre, 0, 1.0, scene::Role::kInk});
        p.bars.push_back(std::move(bar));
      }
    }
    const double whole = std::max(most - least, 1e-6);
    p.x.low = least - 0.06 * whole;
    p.x.high = most + 0.06 * whole;
    const double rough = whole / 1.8, power = std::pow(10, std::floor(std::log10(rough))),
                 lead = rough / power;
    const double step = power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
    for (double at = step * std::ceil(p.x.low / step); at <= p.x.high; at += step)
      p.x.ticks.push_back({at, fmt::format("{}{:g}", at < -0.1 * step ? "\u2212" : "",
                                           std::abs(at) < 0.1 * step ? 0 : std::abs(at))});
    Series zero;
    zero.name = "no change";
    zero.x = {0, 0};
    zero.y = {p.y.low, p.y.high};
    zero.width_mm = 0.2;
    zero.in_key = false;
    p.series.push_back(std::move(zero));
    c.panels.push_back(std::move(p));
  }
  return c;
}

Files draw_changes(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.changes.empty()) return {};
  return chart::draw_chart(
      build_changes(study.title, study.changes, study.ledgers.empty() ? "" : study.ledgers.front().set_up),
      folder + "/changes");
}

}  // namespace leverwright::figures
