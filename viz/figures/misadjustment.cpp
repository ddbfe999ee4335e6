#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/store/study_reader.h"
#include "viz/figures/study_charts.h"

namespace leverwright::figures {

namespace {

constexpr double kSmall = 0.2e-3;  // m: the panel of small changes shows the amount nearest to this
constexpr double kDarkest = 6;     // noticeable changes at which the scale ends

// Columns of the table that are shown, with their heads.
struct Known {
  const char* key;
  const char* name;
  int decimals;
};
constexpr Known kKnown[] = {
    {"aftertouch", "aftertouch", 2},   {"down_weight", "down", 1},  {"up_weight", "up", 1},
    {"let_off_resistance", "bump", 0}, {"hammer_speed_p", "p", 2},  {"hammer_speed_mf", "mf", 2},
    {"check_distance", "checking", 1}, {"repetition", "repeat", 1},
};

chart::Panel panel_for(const MisadjustedStudy& s, double amount) {
  chart::Panel p;
  std::vector<const MisadjustedRow*> rows;
  for (const MisadjustedRow& r : s.rows)
    if (std::abs(std::abs(r.moved) - amount) < 1e-9) rows.push_back(&r);
  p.title = fmt::format("{:.1f} mm off (repetition spring {:.0f} %)", amount * 1e3, amount * 1e3 * 20);
  chart::HeatMap map;
  map.name = "noticeable changes";
  map.unit = "";
  map.low = 0;
  map.high = kDarkest;
  const std::size_t nx = s.measures.size(), ny = rows.size();
  for (std::size_t k = 0; k < nx; ++k) {
    map.x.push_back(static_cast<double>(k));
    p.x.ticks.push_back({static_cast<double>(k), s.measures[k].name});
  }
  for (std::size_t j = 0; j < ny; ++j) {
    const MisadjustedRow& r = *rows[ny - 1 - j];  // the first setting at the top
    map.y.push_back(static_cast<double>(j));
    p.y.ticks.push_back(
        {static_cast<double>(j), r.setting + ": " + r.words + (r.faults.empty() ? "" : " *")});
    for (std::size_t k = 0; k < nx; ++k) {
      const double change = r.values[k] - s.rows.front().values[k];
      const double size = std::abs(change) / s.measures[k].noticeable;
      map.values.push_back(std::isfinite(size) ? std::min(size, kDarkest) : kDarkest);
      chart::Note note;
      note.x = static_cast<double>(k);
      note.y = static_cast<double>(j);
      note.side = chart::Side::kCentre;
      if (!std::isfinite(change))
        note.text = "none";
      else if (size >= 0.25)
        note.text = fmt::format("{:+.{}f}", change, s.measures[k].decimals);
      note.role = map.values.back() > 0.55 * kDarkest ? scene::Role::kPaper : scene::Role::kInk;
      if (!note.text.empty()) p.notes.push_back(note);
    }
  }
  p.map = std::move(map);
  p.x.grid = p.y.grid = false;
  return p;
}

}  // namespace

chart::Chart build_misadjustment(const MisadjustedStudy& s) {
  chart::Chart c;
  c.title = s.set_up + ": one setting off at a time";
  c.remark =
      "changes: aftertouch and checking mm, weights and let-off bump gf, hammer speed at p and mf m/s, "
      "repetition 1/s; "
      "shade: in noticeable changes; *: something goes wrong";
  std::vector<double> amounts;
  for (const MisadjustedRow& r : s.rows)
    if (r.moved > 0) amounts.push_back(r.moved);
  std::sort(amounts.begin(), amounts.end());
  amounts.erase(std::unique(amounts.begin(), amounts.end(), [](double a, double b) { return b - a < 1e-9; }),
                amounts.end());
  const double small = *std::min_element(amounts.begin(), amounts.end(), [](double a, double b) {
    return std::abs(a - kSmall) < std::abs(b - kSmall);
  });
  c.panels.push_back(panel_for(s, small));
  if (amounts.back() - small > 1e-9) c.panels.push_back(panel_for(s, amounts.back()));
  c.width_mm = 230;
  c.height_mm = 40 + 95.0 * static_cast<double>(c.panels.size());
  c.key = false;
  return c;
}

std::vector<std::string> draw_misadjustment(const std::string& results_path, const std::string& folder) {
  const store::StudyReader in(results_path);
  for (const store::SetUpEntry& entry : in.set_ups()) {
    const std::string at = entry.path + "/misadjustment";
    if (!in.has(at)) continue;
    const store::Table table = in.read_table(at);
    const store::Column *setting = table.find("setting"), *words = table.find("words"),
                        *moved = table.find("moved"), *faults = table.find("faults");
    if (!setting || !words || !moved) continue;
    MisadjustedStudy s;
    s.set_up = entry.name;
    for (std::size_t i = 0; i < table.rows(); ++i)
      s.rows.push_back(
          {setting->texts[i], words->texts[i], moved->numbers[i], {}, faults ? faults->texts[i] : ""});
    for (const Known& k : kKnown) {
      const store::Column* column = table.find(k.key);
      if (!column || !std::isfinite(column->numbers.front())) continue;
      const std::string noticeable = std::string("noticeable_") + k.key;
      if (!in.has_attribute(at, noticeable)) continue;
      s.measures.push_back({k.name, column->meta.display_unit,
                            in.number_attribute(at, noticeable) * column->meta.display_factor, k.decimals});
      for (std::size_t i = 0; i < table.rows(); ++i)
        s.rows[i].values.push_back(column->numbers[i] * column->meta.display_factor);
    }
    if (s.rows.size() < 2 || s.measures.empty()) continue;
    return chart::draw_chart(build_misadjustment(s), folder + "/misadjustment");
  }
  return {};
}

}  // namespace leverwright::figures
