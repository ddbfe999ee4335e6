#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/units.h"
#include "viz/figures/draw_figures.h"
#include "viz/scene/drawing.h"

namespace leverwright::figures {
namespace {
using chart::Bar;
using chart::Chart;
using chart::Panel;
using chart::Series;

constexpr double kMm = 1 / base::kMillimetre, kGf = 1 / base::kGramForce, kMs = 1e3;

std::vector<double> times(const std::vector<double>& v, double factor) {
  std::vector<double> out;
  out.reserve(v.size());
  for (const double x : v) out.push_back(factor * x);
  return out;
}

Series line(size_t set_up, const std::string& name, std::vector<double> x, std::vector<double> y) {
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

// Value of a curve at x by straight lines between its points; NaN outside.
double value_at(const std::vector<double>& x, const std::vector<double>& y, double at) {
  for (size_t i = 0; i + 1 < x.size() && i + 1 < y.size(); ++i) {
    const double a = x[i], b = x[i + 1];
    if ((at - a) * (at - b) <= 0 && a != b) return y[i] + (y[i + 1] - y[i]) * (at - a) / (b - a);
  }
  return std::nan("");
}

}  // namespace

Chart build_force_dip(const std::string& title, const std::vector<ForceDipCurve>& curves) {
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
    const ForceDipCurve& f = curves[i];
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
  return c;
}

Chart build_slide_path(const std::string& title, const std::vector<SlidePath>& paths) {
  Chart c;
  c.title = title.empty() ? "slide path on the heel cloth" : title + ": slide path on the heel cloth";
  c.remark =
      "above: cloth surface, thick where the capstan runs; below: contact through the stroke; player on the "
      "left";
  c.height_mm = 125;
  Panel heel, path;
  heel.y = axis("cloth surface", "mm");
  heel.share = 0.8;
  path.y = axis("dip", "mm");
  path.y.reversed = true;
  path.y.low = 0;
  path.share = 1.2;
  heel.x = path.x = axis("distance from the wippen centre, along the wippen", "mm");
  double low = INFINITY, high = -INFINITY;
  for (const SlidePath& s : paths)
    for (const double x : s.place)
      if (std::isfinite(x)) {
        low = std::min(low, x * kMm);
        high = std::max(high, x * kMm);
      }
  if (low > high) low = -70, high = -60;
  // Wide enough to see the lifting face's ends, never so wide that the path is lost.
  if (!paths.empty() && paths.front().face_from && paths.front().face_to) {
    const double from = std::min(*paths.front().face_from, *paths.front().face_to) * kMm;
    const double to = std::max(*paths.front().face_from, *paths.front().face_to) * kMm;
    low = std::min(low, from);
    high = std::max(high, to);
    const bool same = std::all_of(paths.begin(), paths.end(), [&](const SlidePath& other) {
      return other.face_from == paths.front().face_from && other.face_to == paths.front().face_to;
    });
    const std::string label = same ? "lifting face" : "lifting face, " + paths.front().set_up;
    for (Panel* p : {&heel, &path}) p->bands.push_back({true, from, to, scene::Role::kFelt, 0.22, label});
  }
  const double room = std::max(1.0, 0.15 * (high - low));
  low -= room;
  high += room;
  const chart::Range round = chart::round_range(low, high);
  heel.x.low = path.x.low = round.low;
  heel.x.high = path.x.high = round.high;
  for (size_t i = 0; i < paths.size(); ++i) {
    const SlidePath& s = paths[i];
    std::vector<double> x, y, run_x, run_y;
    double from = INFINITY, to = -INFINITY;
    for (const double v : s.place)
      if (std::isfinite(v)) from = std::min(from, v), to = std::max(to, v);
    for (const scene::Point& p : s.heel_surface) {
      if (p.x() * kMm < round.low || p.x() * kMm > round.high) continue;
      x.push_back(p.x() * kMm);
      y.push_back(p.y() * kMm);
    }
    std::vector<double> surface_x, surface_y;
    for (const scene::Point& p : s.heel_surface) surface_x.push_back(p.x()), surface_y.push_back(p.y());
    for (int k = 0; k <= 24 && from <= to; ++k) {
      const double at = from + (to - from) * k / 24;
      run_x.push_back(at * kMm);
      run_y.push_back(value_at(surface_x, surface_y, at) * kMm);
    }
    Series surface = line(i, s.set_up, std::move(x), std::move(y));
    surface.width_mm = 0.3;
    surface.in_key = false;
    heel.series.push_back(std::move(surface));
    Series run = line(i, s.set_up + ", where the capstan runs", std::move(run_x), std::move(run_y));
    run.dashes.clear();
    run.width_mm = 1.1;
    run.in_key = false;
    heel.series.push_back(std::move(run));
    path.series.push_back(line(i, s.set_up, times(s.place, kMm), times(s.dip, kMm)));
  }
  c.panels = {std::move(heel), std::move(path)};
  return c;
}

namespace {

// Places that lose less than half of the last digit shown in every set-up go into one row.
std::vector<Ledger> gather_small_rows(std::vector<Ledger> ledgers) {
  constexpr double kSmall = 0.05 / kGf;
  const char* const rest = "all other places";
  std::vector<std::string> large;
  for (const Ledger& l : ledgers)
    for (const LedgerRow& r : l.rows)
      if (std::abs(r.force) >= kSmall) large.push_back(r.place);
  for (Ledger& l : ledgers) {
    std::vector<LedgerRow> kept;
    LedgerRow others{rest, 0};
    for (const LedgerRow& r : l.rows) {
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

Chart build_ledger(const std::string& title, const std::vector<Ledger>& all_ledgers) {
  const std::vector<Ledger> ledgers = gather_small_rows(all_ledgers);
  Chart c;
  c.title = title.empty() ? "where the friction is" : title + ": where the friction is";
  c.remark =
      "gf, mean over the weighed stroke; thin mark: first set-up; brackets: half of down less up weight";
  c.arrangement = chart::Arrangement::kSideBySide;
  c.key = false;
  if (ledgers.empty()) return c;
  // Rows in the order of the first set-up's size; places only others have come last.
  std::vector<LedgerRow> rows = ledgers.front().rows;
  std::stable_sort(rows.begin(), rows.end(),
                   [](const LedgerRow& a, const LedgerRow& b) { return a.force > b.force; });
  const auto find = [](const std::vector<LedgerRow>& in, const std::string& place) {
    return std::find_if(in.begin(), in.end(), [&](const LedgerRow& r) { return r.place == place; });
  };
  for (const Ledger& l : ledgers)
    for (const LedgerRow& r : l.rows)
      if (find(rows, r.place) == rows.end()) rows.push_back({r.place, 0});
  const double n = static_cast<double>(rows.size());
  double low = 0, high = 0;
  for (const Ledger& l : ledgers)
    for (const LedgerRow& r : l.rows)
      low = std::min(low, r.force * kGf), high = std::max(high, r.force * kGf);
  // Room for the number beside the longest bar.
  c.width_mm = 180;
  double widest = 0;
  for (const LedgerRow& r : rows) widest = std::max(widest, 3.0 * scene::text_width(r.place));
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

namespace {

// NaN when the stroke has no such event.
double time_of(const Stroke& s, const std::string& event) {
  for (const StrokeEvent& e : s.events)
    if (e.name == event) return e.time;
  return std::nan("");
}

// What the picture shows of the strokes, s: from the key's start to the check, or from just before the key's
// return to its end. Events are told by their names; without them the whole is shown.
struct Window {
  double from = 0, to = 0;
};

Window find_window(const std::vector<Stroke>& strokes, StrokePart part) {
  constexpr double kBefore = 10e-3, kAfter = 10e-3, kLeastAfterString = 40e-3, kReturn = 120e-3;
  double from = INFINITY, to = -INFINITY;
  for (const Stroke& s : strokes) {
    const double start = time_of(s, "key start"), string = time_of(s, "string contact");
    const double check = time_of(s, "check"), reset = time_of(s, "jack reset");
    if (part == StrokePart::kBlow) {
      if (std::isfinite(start)) from = std::min(from, start - kBefore);
      if (std::isfinite(string)) to = std::max(to, string + kLeastAfterString);
      if (std::isfinite(check)) to = std::max(to, check + kAfter);
    } else if (std::isfinite(reset)) {
      from = std::min(from, reset - 5 * kAfter);
      to = std::max(to, reset + kReturn);
    }
  }
  if (from < to) return {std::max(0.0, from), to};
  for (const Stroke& s : strokes)
    if (!s.time.empty()) from = std::min(from, s.time.front()), to = std::max(to, s.time.back());
  return {from, to};
}

// The rows of a list whose time lies in the window, with one more on either side.
std::vector<double> rows_in(const std::vector<double>& time, const std::vector<double>& values, Window w,
                            double factor) {
  const auto first = std::lower_bound(time.begin(), time.end(), w.from);
  const auto last = std::upper_bound(time.begin(), time.end(), w.to);
  const auto from = static_cast<size_t>(first - time.begin()), to = static_cast<size_t>(last - time.begin());
  std::vector<double> out;
  for (size_t k = from > 0 ? from - 1 : 0; k < std::min(to + 1, values.size()); ++k)
    out.push_back(factor * values[k]);
  return out;
}

struct Mark {
  const char* event;
  chart::MarkShape shape;
};

// Where the events lie on one curve, in the set-up's colour; the key shows each shape once, in black.
void add_marks(const std::vector<Stroke>& strokes, const std::vector<Mark>& marks, Window w,
               std::vector<double> Stroke::*values, Panel* panel) {
  for (const Mark& mark : marks) {
    for (size_t i = 0; i < strokes.size(); ++i) {
      const double at = time_of(strokes[i], mark.event);
      if (!(at >= w.from && at <= w.to)) continue;
      Series m = line(i, strokes[i].set_up + ", " + mark.event, {kMs * at},
                      {kMm * value_at(strokes[i].time, strokes[i].*values, at)});
      m.line = false;
      m.dashes.clear();
      m.mark = mark.shape;
      m.in_key = false;
      panel->series.push_back(m);
      if (i > 0) continue;
      m.name = mark.event;
      m.in_key = true;
      panel->series.push_back(std::move(m));
    }
  }
}

}  // namespace

Chart build_stroke(const std::string& title, const std::vector<Stroke>& strokes, StrokePart part) {
  Chart c;
  if (strokes.empty()) return c;
  const bool blow = part == StrokePart::kBlow;
  c.title = (title.empty() ? std::string() : title + ": ") + (blow ? "one stroke" : "the key let go") +
            ", touch " + strokes.front().touch;
  c.remark = strokes.size() > 1 ? "dashed: events of the first set-up, " + strokes.front().set_up +
                                      "; marks: each set-up's own"
                                : strokes.front().set_up;
  c.height_mm = 150;
  Panel key, hammer, speed;
  key.y = axis("key dip", "mm");
  key.y.reversed = true;
  hammer.y = axis("hammer below string", "mm");
  hammer.y.reversed = true;
  hammer.share = 1.4;
  speed.y = axis("hammer speed", "m/s");
  const Window window = find_window(strokes, part);
  const bool speeds =
      std::all_of(strokes.begin(), strokes.end(), [](const Stroke& s) { return !s.hammer_speed.empty(); });
  for (size_t i = 0; i < strokes.size(); ++i) {
    const Stroke& s = strokes[i];
    const std::vector<double> t = rows_in(s.time, s.time, window, kMs);
    key.series.push_back(line(i, s.set_up, t, rows_in(s.time, s.key_dip, window, kMm)));
    hammer.series.push_back(line(i, s.set_up, t, rows_in(s.time, s.hammer_distance, window, kMm)));
    if (speeds) speed.series.push_back(line(i, s.set_up, t, rows_in(s.time, s.hammer_speed, window, 1)));
  }
  using chart::MarkShape;
  if (blow) {
    add_marks(strokes, {{"key bottom", MarkShape::kSquare}}, window, &Stroke::key_dip, &key);
    add_marks(strokes, {{"jack trips", MarkShape::kTriangle}, {"check", MarkShape::kDiamond}}, window,
              &Stroke::hammer_distance, &hammer);
  } else {
    add_marks(strokes, {{"jack reset", MarkShape::kSquare}}, window, &Stroke::key_dip, &key);
  }
  for (const StrokeEvent& e : strokes.front().events)
    if (e.time >= window.from && e.time <= window.to)
      c.events.push_back({kMs * e.time, e.name, scene::Role::kFaintInk});
  c.panels = {std::move(key), std::move(hammer)};
  if (speeds) c.panels.push_back(std::move(speed));
  for (Panel& p : c.panels) {
    p.x = axis("time", "ms");
    p.x.low = kMs * window.from;
    p.x.high = kMs * window.to;
  }
  return c;
}

}  // namespace leverwright::figures
