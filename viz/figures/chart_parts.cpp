#include "viz/figures/chart_parts.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace leverwright::figures {

using chart::Series;
using scene::Role;

std::vector<double> times(const std::vector<double>& v, double factor) {
  std::vector<double> out;
  out.reserve(v.size());
  for (const double x : v) out.push_back(factor * x);
  return out;
}

chart::Series line(size_t set_up, const std::string& name, std::vector<double> x, std::vector<double> y) {
  const int i = static_cast<int>(set_up);
  Series s;
  s.name = name;
  s.x = std::move(x);
  s.y = std::move(y);
  s.role = scene::set_up_role(i);
  s.dashes = scene::set_up_dash(i);
  s.width_mm = 0.5;
  return s;
}

chart::Axis axis(const std::string& label, const std::string& unit) {
  chart::Axis a;
  a.label = label;
  a.unit = unit;
  return a;
}

double value_at(const std::vector<double>& x, const std::vector<double>& y, double at) {
  for (size_t i = 0; i + 1 < x.size() && i + 1 < y.size(); ++i) {
    const double a = x[i], b = x[i + 1];
    if ((at - a) * (at - b) <= 0 && a != b) return y[i] + (y[i + 1] - y[i]) * (at - a) / (b - a);
  }
  return std::nan("");
}

void put_base_last(chart::Chart* chart) {
  constexpr double kSame = 1.0 / 250;
  constexpr size_t kTried = 100;  // places of a line
  struct Merged {
    bool keyed = false;
    std::set<std::pair<std::string, std::string>> pairs;  // names, the earlier first
  };
  std::vector<Merged> merged;
  const auto is_plain = [](const Series& t) {
    return t.line && t.mark == chart::MarkShape::kNone && !t.band;
  };
  for (chart::Panel& panel : chart->panels) {
    double low = INFINITY, high = -INFINITY;
    for (const Series& s : panel.series)
      for (const double v : s.y)
        if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
    const auto same = [&](const Series& a, const Series& b) {
      if (a.x.empty() || b.x.empty() || a.width_mm != b.width_mm) return false;
      for (const auto& [one, other] : {std::pair(&a, &b), std::pair(&b, &a)})
        for (size_t k = 0; k < one->x.size() && k < one->y.size(); k += 1 + one->x.size() / kTried) {
          if (!std::isfinite(one->x[k]) || !std::isfinite(one->y[k])) continue;
          const double there = value_at(other->x, other->y, one->x[k]);
          if (!(std::abs(there - one->y[k]) < kSame * (high - low))) return false;
        }
      return true;
    };
    Merged& here = merged.emplace_back();
    here.keyed = std::any_of(panel.series.begin(), panel.series.end(),
                             [&](const Series& t) { return t.in_key && is_plain(t); });
    for (size_t i = 0; i < panel.series.size(); ++i)
      for (size_t j = i + 1; j < panel.series.size(); ++j) {
        const Series &a = panel.series[i], &b = panel.series[j];
        if (is_plain(a) && is_plain(b) && a.in_key && b.in_key && a.role != b.role && same(a, b))
          here.pairs.insert({a.name, b.name});
      }
  }
  // Two are one in the key only where they are one in every panel the key is of.
  std::set<std::pair<std::string, std::string>> everywhere;
  for (const Merged& m : merged)
    for (const auto& pair : m.pairs)
      if (std::all_of(merged.begin(), merged.end(),
                      [&](const Merged& other) { return !other.keyed || other.pairs.count(pair) > 0; }))
        everywhere.insert(pair);
  for (chart::Panel& panel : chart->panels) {
    for (size_t i = 0; i < panel.series.size(); ++i)
      for (size_t j = i + 1; j < panel.series.size(); ++j) {
        Series &kept = panel.series[i], &later = panel.series[j];
        if (kept.hidden || later.hidden || everywhere.count({kept.name, later.name}) == 0) continue;
        later.hidden = true;
        later.in_key = false;
        kept.key_name = (kept.key_name.empty() ? kept.name : kept.key_name) + " = " + later.name;
      }
    const Role base = scene::set_up_role(0);
    for (Series& s : panel.series)
      if (is_plain(s) && s.role == base) s.width_mm *= 1.3;
    std::stable_partition(panel.series.begin(), panel.series.end(),
                          [&](const Series& s) { return s.role != base || !is_plain(s); });
  }
}

std::optional<chart::Panel> build_difference(const chart::Panel& of, const std::string& label,
                                             const std::string& unit, double factor) {
  if (of.series.size() < 2) return std::nullopt;
  chart::Panel out;
  out.x = of.x;
  out.y = axis(label, unit);
  const Series& base = of.series.front();
  for (size_t i = 0; i < of.series.size(); ++i) {
    const Series& s = of.series[i];
    if (!s.line || !s.in_key) continue;
    Series d = s;
    d.name += ", difference to " + base.name;
    d.in_key = false;
    d.x.clear();
    d.y.clear();
    // At the base's own places; what only one of them has is no difference.
    for (size_t k = 0; k < base.x.size() && k < base.y.size(); ++k) {
      d.x.push_back(base.x[k]);
      d.y.push_back(factor * (i == 0 ? 0 : value_at(s.x, s.y, base.x[k]) - base.y[k]));
    }
    out.series.push_back(std::move(d));
  }
  if (out.series.size() < 2) return std::nullopt;
  return out;
}

std::string titled(const std::string& title, const std::string& what) {
  return title.empty() ? what : title + ": " + what;
}

double time_of(const study_file::Stroke& s, const std::string& event) {
  for (const study_file::Event& e : s.events)
    if (e.name == event) return e.time;
  return std::nan("");
}

std::pair<double, double> window_of(const study_file::Stroke& s) {
  const double start = time_of(s, "key start"), check = time_of(s, "check"),
               string = time_of(s, "string contact");
  double to = s.time.empty() ? 0 : s.time.back();
  if (std::isfinite(check))
    to = check + 10e-3;
  else if (std::isfinite(string))
    to = string + 60e-3;
  return {std::isfinite(start) ? start - 5e-3 : 0.0, to};
}

std::vector<study_file::Stroke> strokes_to_show(const std::vector<study_file::Stroke>& strokes) {
  std::vector<study_file::Stroke> out;
  if (strokes.empty()) return out;
  std::string touch = strokes.front().touch;
  for (const study_file::Stroke& s : strokes)
    if (s.touch == "mf") touch = "mf";
  for (const study_file::Stroke& s : strokes)
    if (s.touch == touch) out.push_back(s);
  return out;
}

std::string stem_word(const std::string& text) {
  std::string out;
  for (const char c : text)
    out += (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c
           : c >= 'A' && c <= 'Z'                           ? static_cast<char>(c - 'A' + 'a')
                                                            : '_';
  return out;
}

}  // namespace leverwright::figures
