#include <fmt/format.h>

#include "sim/store/study_reader.h"
#include "viz/figures/study_charts.h"

namespace leverwright::figures {

using chart::Panel;
using chart::Series;

namespace {

constexpr double kHolds = 0.9;  // share of good strokes at which a rate holds

Panel ladder_panel(const std::vector<RepetitionLadder>& ladders, bool full) {
  Panel p;
  p.x.label = "rate";
  p.x.unit = "strokes/s";
  p.y.label = "good strokes";
  p.y.unit = "%";
  p.y.low = 0;
  p.y.high = 105;
  p.title = fmt::format("{} return, {:.1f} mm at the finger", full ? "full" : "partial",
                        1e3 * (full ? ladders.front().back_full : ladders.front().back_partial));
  const std::vector<double>& rates = ladders.front().rate;
  p.x.low = rates.front();
  p.x.high = rates.back();
  Series holds;
  holds.name = "from here up the rate holds";
  holds.x = {rates.front(), rates.back()};
  holds.y = {100 * kHolds, 100 * kHolds};
  holds.role = scene::Role::kFaintInk;
  holds.in_key = full;
  holds.width_mm = 0.3;
  p.series.push_back(std::move(holds));
  for (std::size_t i = 0; i < ladders.size(); ++i) {
    const RepetitionLadder& l = ladders[i];
    Series s;
    s.name = l.set_up;
    s.x = l.rate;
    for (const double share : full ? l.share_full : l.share_partial) s.y.push_back(100 * share);
    s.role = scene::set_up_role(static_cast<int>(i));
    s.dashes = scene::set_up_dash(static_cast<int>(i));
    s.width_mm = 0.5;
    s.in_key = full;
    p.series.push_back(std::move(s));
  }
  return p;
}

}  // namespace

chart::Chart build_repetition(const std::string& title, const std::vector<RepetitionLadder>& ladders) {
  chart::Chart c;
  c.title = title.empty() ? "repetition" : title + ": repetition";
  c.remark =
      "a stroke is good with 80 % or more of the hammer speed of a single stroke of the same key travel";
  c.height_mm = 120;
  c.panels = {ladder_panel(ladders, true), ladder_panel(ladders, false)};
  return c;
}

std::vector<std::string> draw_repetition(const std::string& results_path, const std::string& folder) {
  const store::StudyReader in(results_path);
  std::vector<RepetitionLadder> ladders;
  for (const store::SetUpEntry& entry : in.set_ups()) {
    const std::string at = entry.path + "/repetition";
    if (!in.has(at + "/full/rate") || !in.has(at + "/partial/rate")) continue;
    RepetitionLadder l;
    l.set_up = entry.name;
    l.rate = in.read_series(at + "/full/rate").values;
    l.share_full = in.read_series(at + "/full/share_good").values;
    l.share_partial = in.read_series(at + "/partial/share_good").values;
    l.back_full = in.number_attribute(at + "/full", "back");
    l.back_partial = in.number_attribute(at + "/partial", "back");
    l.limit_full = in.number_attribute(at + "/full", "unbroken_rate");
    l.limit_partial = in.number_attribute(at + "/partial", "unbroken_rate");
    ladders.push_back(std::move(l));
  }
  if (ladders.empty()) return {};
  return chart::draw_chart(build_repetition("", ladders), folder + "/repetition");
}

}  // namespace leverwright::figures
