#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/units.h"
#include "viz/figures/draw_figures.h"

namespace leverwright::figures {
namespace {
using chart::Chart;
using chart::Panel;
using chart::Series;

constexpr double kMm = 1 / base::kMillimetre, kMs = 1e3, kMilliJoule = 1e3;

chart::Axis axis(const std::string& label, const std::string& unit) {
  chart::Axis a;
  a.label = label;
  a.unit = unit;
  return a;
}

std::string titled(const std::string& title, const std::string& what) {
  return title.empty() ? what : title + ": " + what;
}

Series line(size_t set_up, const std::string& name) {
  const int i = static_cast<int>(set_up);
  Series s;
  s.name = name;
  s.role = scene::set_up_role(i);
  s.dashes = scene::set_up_dash(i);
  s.width_mm = 0.5;
  return s;
}

double time_of(const Stroke& s, const std::string& event) {
  for (const StrokeEvent& e : s.events)
    if (e.name == event) return e.time;
  return std::nan("");
}

// From just before the key starts until just after the check (or the string, or the end).
std::pair<double, double> window_of(const Stroke& s) {
  const double start = time_of(s, "key start"), check = time_of(s, "check"),
               string = time_of(s, "string contact");
  double to = s.time.empty() ? 0 : s.time.back();
  if (std::isfinite(check))
    to = check + 10e-3;
  else if (std::isfinite(string))
    to = string + 60e-3;
  return {std::isfinite(start) ? start - 5e-3 : 0.0, to};
}

}  // namespace

Chart build_ratio(const std::string& title, const std::vector<RatioCurve>& curves) {
  Chart c;
  c.title = titled(title, "distance ratio through the stroke");
  const bool frictionless =
      std::all_of(curves.begin(), curves.end(), [](const RatioCurve& r) { return r.frictionless; });
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
  c.panels.push_back(std::move(p));
  return c;
}

Chart build_changes(const std::string& title, const std::vector<Change>& changes) {
  Chart c;
  c.title = titled(title, "change against the first set-up");
  c.remark = "bar: predicted change; line across its end: two standard deviations either side of it";
  c.arrangement = chart::Arrangement::kSideBySide;
  c.key = false;
  c.width_mm = 180;
  std::vector<std::string> measures, set_ups;
  const auto keep = [](std::vector<std::string>* list, const std::string& name) {
    if (std::find(list->begin(), list->end(), name) == list->end()) list->push_back(name);
  };
  for (const Change& change : changes) keep(&measures, change.measure), keep(&set_ups, change.set_up);
  const double n = static_cast<double>(set_ups.size());
  c.height_mm = 38 + 9 * n;
  for (const std::string& measure : measures) {
    Panel p;
    p.title = measure;
    p.y.grid = false;
    p.y.low = 0.4;
    p.y.high = n + 0.6;
    double reach = 0;
    for (size_t k = 0; k < set_ups.size(); ++k) {
      const double at = n - static_cast<double>(k);
      p.y.ticks.push_back({at, set_ups[k]});
      for (const Change& change : changes) {
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
          bar.low = change.value - 2 * change.sigma, bar.high = change.value + 2 * change.sigma;
        reach = std::max({reach, std::abs(change.value), std::abs(change.value) + 2 * change.sigma});
        p.bars.push_back(std::move(bar));
      }
    }
    const double end = chart::round_range(0, std::max(reach, 1e-6)).high;
    p.x.low = -end;
    p.x.high = end;
    const double power = std::pow(10, std::floor(std::log10(0.7 * end))), lead = 0.7 * end / power;
    const double step = power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
    for (const double at : {-step, 0.0, step}) p.x.ticks.push_back({at, fmt::format("{:g}", at)});
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

Chart build_phase(const std::string& title, const std::vector<Stroke>& strokes, PhaseOf of) {
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
    const Stroke& s = strokes[i];
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

Chart build_energy(const std::string& title, const Stroke& s) {
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
      {"motion", {"kinetic"}}};
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
  for (const StrokeEvent& e : s.events)
    if (e.time >= from && e.time <= to &&
        (e.name == "jack trips" || e.name == "string contact" || e.name == "check"))
      c.events.push_back({kMs * e.time, e.name, scene::Role::kFaintInk});
  p.x.low = kMs * from;
  p.x.high = kMs * to;
  c.panels.push_back(std::move(p));
  return c;
}

Files draw_more(const StudyFigures& study, const std::string& folder) {
  Files files;
  const auto draw = [&](const Chart& c, const std::string& name) {
    const Files written = chart::draw_chart(c, folder + "/" + name);
    files.insert(files.end(), written.begin(), written.end());
  };
  if (!study.ratios.empty()) draw(build_ratio(study.title, study.ratios), "distance_ratio");
  if (!study.changes.empty()) draw(build_changes(study.title, study.changes), "changes");
  if (study.strokes.empty()) return files;
  std::string touch = study.strokes.front().touch;
  for (const Stroke& s : study.strokes)
    if (s.touch == "mf") touch = "mf";
  std::vector<Stroke> same;
  for (const Stroke& s : study.strokes)
    if (s.touch == touch) same.push_back(s);
  const auto all_have = [&](std::vector<double> Stroke::*values) {
    return std::all_of(same.begin(), same.end(), [&](const Stroke& s) { return !(s.*values).empty(); });
  };
  if (all_have(&Stroke::key_speed)) draw(build_phase(study.title, same, PhaseOf::kKey), "phase_key_" + touch);
  if (all_have(&Stroke::hammer_speed))
    draw(build_phase(study.title, same, PhaseOf::kHammer), "phase_hammer_" + touch);
  if (!same.front().energies.empty()) draw(build_energy(study.title, same.front()), "energy_" + touch);
  return files;
}

}  // namespace leverwright::figures
