// Strokes over time: the blow, and the key let go.
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

namespace {

// What the picture shows of the strokes, s: from the key's start to the check, or from just before the key's
// return to its end. Events are told by their names; without them the whole is shown.
struct Window {
  double from = 0, to = 0;
};

Window find_window(const std::vector<study_file::Stroke>& strokes, StrokePart part) {
  constexpr double kBefore = 10e-3, kAfter = 10e-3, kLeastAfterString = 40e-3, kReturn = 120e-3;
  double from = INFINITY, to = -INFINITY;
  for (const study_file::Stroke& s : strokes) {
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
  for (const study_file::Stroke& s : strokes)
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
void add_marks(const std::vector<study_file::Stroke>& strokes, const std::vector<Mark>& marks, Window w,
               std::vector<double> study_file::Stroke::*values, Panel* panel) {
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

Chart build_stroke(const std::string& title, const std::vector<study_file::Stroke>& strokes,
                   StrokePart part) {
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
  const bool speeds = std::all_of(strokes.begin(), strokes.end(),
                                  [](const study_file::Stroke& s) { return !s.hammer_speed.empty(); });
  for (size_t i = 0; i < strokes.size(); ++i) {
    const study_file::Stroke& s = strokes[i];
    const std::vector<double> t = rows_in(s.time, s.time, window, kMs);
    key.series.push_back(line(i, s.set_up, t, rows_in(s.time, s.key_dip, window, kMm)));
    hammer.series.push_back(line(i, s.set_up, t, rows_in(s.time, s.hammer_distance, window, kMm)));
    if (speeds) speed.series.push_back(line(i, s.set_up, t, rows_in(s.time, s.hammer_speed, window, 1)));
  }
  using chart::MarkShape;
  if (blow) {
    add_marks(strokes, {{"key bottom", MarkShape::kSquare}}, window, &study_file::Stroke::key_dip, &key);
    add_marks(strokes, {{"jack trips", MarkShape::kTriangle}, {"check", MarkShape::kDiamond}}, window,
              &study_file::Stroke::hammer_distance, &hammer);
  } else {
    add_marks(strokes, {{"jack reset", MarkShape::kSquare}}, window, &study_file::Stroke::key_dip, &key);
  }
  for (const study_file::Event& e : strokes.front().events)
    if (e.time >= window.from && e.time <= window.to)
      c.events.push_back({kMs * e.time, e.name, scene::Role::kFaintInk});
  std::optional<Panel> difference;
  if (strokes.size() > 1) {
    Panel lines = hammer;
    lines.series.resize(strokes.size());  // without the marks
    difference = build_difference(lines, "hammer ahead of " + strokes.front().set_up, "mm", -1);
  }
  c.panels = {std::move(key), std::move(hammer)};
  if (difference) {
    c.height_mm = 175;
    c.panels.push_back(std::move(*difference));
  }
  if (speeds) c.panels.push_back(std::move(speed));
  for (Panel& p : c.panels) {
    p.x = axis("time", "ms");
    p.x.low = kMs * window.from;
    p.x.high = kMs * window.to;
  }
  put_base_last(&c);
  return c;
}

Files draw_strokes(const study_file::StudyFigures& study, const std::string& folder) {
  const auto resets = [](const study_file::Stroke& s) {
    return std::any_of(s.events.begin(), s.events.end(),
                       [](const study_file::Event& e) { return e.name == "jack reset"; });
  };
  std::vector<std::string> touches;
  for (const study_file::Stroke& s : study.strokes)
    if (std::find(touches.begin(), touches.end(), s.touch) == touches.end()) touches.push_back(s.touch);
  Files files;
  const auto draw = [&](const std::vector<study_file::Stroke>& same, StrokePart part,
                        const std::string& stem) {
    const Files written = chart::draw_chart(build_stroke(study.title, same, part), folder + stem);
    files.insert(files.end(), written.begin(), written.end());
  };
  for (const std::string& touch : touches) {
    std::vector<study_file::Stroke> same;
    for (const study_file::Stroke& s : study.strokes)
      if (s.touch == touch) same.push_back(s);
    draw(same, StrokePart::kBlow, "/stroke_" + stem_word(touch));
    if (std::any_of(same.begin(), same.end(), resets))
      draw(same, StrokePart::kReturn, "/key_let_go_" + stem_word(touch));
  }
  return files;
}

}  // namespace leverwright::figures
