// Where the friction is.
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

using chart::Bar;

namespace {

// Places that lose less than half of the last digit shown in every set-up go into one row.
std::vector<study_file::Ledger> gather_small_rows(std::vector<study_file::Ledger> ledgers) {
  constexpr double kSmall = 0.05 / kGf;
  const char* const rest = "all other places";
  std::vector<std::string> large;
  for (const study_file::Ledger& l : ledgers)
    for (const study_file::LedgerRow& r : l.rows)
      if (std::abs(r.force) >= kSmall) large.push_back(r.place);
  for (study_file::Ledger& l : ledgers) {
    std::vector<study_file::LedgerRow> kept;
    study_file::LedgerRow others{rest, 0};
    for (const study_file::LedgerRow& r : l.rows) {
      if (std::find(large.begin(), large.end(), r.place) != large.end())
        kept.push_back(r);
      else
        others.force += r.force;
    }
    if (kept.size() < l.rows.size()) kept.push_back(others);
    l.rows = std::move(kept);
  }
  return ledgers;
}

}  // namespace

Chart build_ledger(const std::string& title, const std::vector<study_file::Ledger>& all_ledgers) {
  const std::vector<study_file::Ledger> ledgers = gather_small_rows(all_ledgers);
  Chart c;
  c.title = title.empty() ? "where the friction is" : title + ": where the friction is";
  c.remark =
      "gf, mean over the weighed stroke; thin mark: first set-up; brackets: half of down less up weight";
  c.arrangement = chart::Arrangement::kSideBySide;
  c.key = false;
  if (ledgers.empty()) return c;
  // Rows in the order of the first set-up's size; places only others have come last.
  std::vector<study_file::LedgerRow> rows = ledgers.front().rows;
  std::stable_sort(
      rows.begin(), rows.end(),
      [](const study_file::LedgerRow& a, const study_file::LedgerRow& b) { return a.force > b.force; });
  const auto find = [](const std::vector<study_file::LedgerRow>& in, const std::string& place) {
    return std::find_if(in.begin(), in.end(),
                        [&](const study_file::LedgerRow& r) { return r.place == place; });
  };
  for (const study_file::Ledger& l : ledgers)
    for (const study_file::LedgerRow& r : l.rows)
      if (find(rows, r.place) == rows.end()) rows.push_back({r.place, 0});
  const double n = static_cast<double>(rows.size());
  double low = 0, high = 0;
  for (const study_file::Ledger& l : ledgers)
    for (const study_file::LedgerRow& r : l.rows)
      low = std::min(low, r.force * kGf), high = std::max(high, r.force * kGf);
  // Room for the number beside the longest bar.
  c.width_mm = 180;
  double widest = 0;
  for (const study_file::LedgerRow& r : rows) widest = std::max(widest, 3.0 * scene::text_width(r.place));
  const double panel_width = (c.width_mm - widest - 12) / static_cast<double>(ledgers.size());
  const double number_room = 9.5 / std::max(10.0, panel_width - 3);
  c.height_mm = 32 + 6.2 * (n + 1);
  for (size_t i = 0; i < ledgers.size(); ++i) {
    Panel p;
    p.title = ledgers[i].set_up;
    p.x = axis("", "gf");
    p.x.show = false;
    p.x.grid = false;
    p.x.low = low < 0 ? 1.3 * low : 0;
    p.x.high = std::max(high, 1e-6) / (1 - std::min(0.6, number_room));
    p.y.grid = false;
    p.y.low = -0.6;
    p.y.high = n + 0.6;
    double sum = 0;
    for (size_t k = 0; k < rows.size(); ++k) {
      const double at = n - static_cast<double>(k);
      p.y.ticks.push_back({at, rows[k].place});
      const auto found = find(ledgers[i].rows, rows[k].place);
      const double value = found == ledgers[i].rows.end() ? 0 : found->force * kGf;
      sum += value;
      p.bars.push_back(
          {0, value, at - 0.32, at + 0.32, scene::set_up_role(static_cast<int>(i)), 0.85, rows[k].place});
      p.notes.push_back({p.x.high, at, fmt::format("{:.1f}", std::abs(value) < 0.05 ? 0.0 : value),
                         chart::Side::kRight, 0, 0, scene::Role::kInk});
      const double base = rows[k].force * kGf;
      if (i > 0) {
        Series mark;
        mark.name = "first set-up: " + rows[k].place;
        mark.x = {base, base};
        mark.y = {at - 0.42, at + 0.42};
        mark.width_mm = 0.3;
        mark.in_key = false;
        p.series.push_back(std::move(mark));
      }
    }
    p.y.ticks.push_back({0, "sum"});
    std::string total = fmt::format("{:.1f}", sum);
    if (ledgers[i].weighed) total += fmt::format(" ({:.1f})", *ledgers[i].weighed * kGf);
    p.notes.push_back({p.x.high, 0, total, chart::Side::kRight, 0, 0, scene::Role::kInk});
    Series rule;
    rule.name = "sum";
    rule.x = {p.x.low, p.x.high};
    rule.y = {0.5, 0.5};
    rule.width_mm = 0.15;
    rule.in_key = false;
    p.series.push_back(std::move(rule));
    c.panels.push_back(std::move(p));
  }
  return c;
}

Files draw_ledger(const study_file::StudyFigures& study, const std::string& folder) {
  if (study.ledgers.empty()) return {};
  return chart::draw_chart(build_ledger(study.title, study.ledgers), folder + "/friction_ledger");
}

}  // namespace leverwright::figures
