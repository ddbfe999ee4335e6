// What each set-up changes, with its uncertainty.
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

namespace {

std::string with_true_minus(std::string number) {
  if (number.front() == '-') number.replace(0, 1, "\u2212");
  return number;
}

// Round numbers with their own room along `length` mm of axis.
void put_ticks(chart::Axis& axis, double length) {
  constexpr double kGap = 2;  // mm between numbers
  const double whole = axis.high - axis.low;
  for (double power = std::pow(10, std::floor(std::log10(whole / 20)));; power *= 10)
    for (const double lead : {1.0, 2.0, 3.0, 5.0}) {
      const double step = lead * power;
      axis.ticks.clear();
      double widest = 0;
      for (double at = step * std::ceil(axis.low / step); at <= axis.high; at += step) {
        const double rounded = std::abs(at) < 0.1 * step ? 0 : at;
        axis.ticks.push_back({at, with_true_minus(fmt::format("{:g}", rounded))});
        widest = std::max(widest, chart::kTextSize * scene::text_width(axis.ticks.back().text));
      }
      if (step / whole * length >= widest + kGap || axis.ticks.size() < 2) return;
    }
}

}  // namespace

Chart build_changes(const std::string& title, const std::vector<study_file::Change>& changes,
                    const std::string& base, const std::string& finding) {
  Chart c;
  const std::string what = "change against " + (base.empty() ? "the first set-up" : base);
  c.title = titled(title, finding.empty() ? what : finding);
  const bool strips = std::any_of(changes.begin(), changes.end(),
                                  [](const study_file::Change& one) { return one.noticeable > 0; });
  c.remark =
      fmt::format("{}bar and number: {}; line across its end: 95 % band{}",
                  finding.empty() ? "" : what + "; ", finding.empty() ? "predicted change" : "as predicted",
                  strips ? "; shaded: less than can be noticed" : "");
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
  double names = 0;
  for (const std::string& name : set_ups) names = std::max(names, chart::kTextSize * scene::text_width(name));
  const double panel_width =
      std::max(15.0, (c.width_mm - names - 12) / static_cast<double>(measures.size()) - 3);
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
        const bool left = shown < 0;  // on the bar's side of the line
        p.notes.push_back({0, at + 0.3, with_true_minus(number),
                           left ? chart::Side::kRight : chart::Side::kLeft, left ? -0.6 : 0.6, 1.0,
                           scene::Role::kInk});
        if (change.noticeable > 0 && p.bands.empty()) {
          chart::Band strip;
          strip.from = -change.noticeable;
          strip.to = change.noticeable;
          strip.role = scene::Role::kFaintInk;
          strip.opacity = 0.14;
          p.bands.push_back(strip);
        }
        p.bars.push_back(std::move(bar));
      }
    }
    const double whole = std::max(most - least, 1e-6);
    p.x.low = least - 0.06 * whole;
    p.x.high = most + 0.06 * whole;
    put_ticks(p.x, panel_width);
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
      build_changes(study.title, study.changes, study.ledgers.empty() ? "" : study.ledgers.front().set_up,
                    study.finding),
      folder + "/changes");
}

}  // namespace leverwright::figures
