#include "viz/figures/validation_figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "viz/chart/draw_chart.h"

namespace leverwright::figures {

using chart::Chart;
using chart::Panel;
using chart::Series;

namespace {

constexpr double kFastest = 7;  // m/s: right end of the speed axes

Series line_of(const SpeedCurve& c, std::size_t k, bool in_key) {
  constexpr chart::MarkShape kMarks[] = {chart::MarkShape::kDot, chart::MarkShape::kSquare,
                                         chart::MarkShape::kTriangle, chart::MarkShape::kDiamond,
                                         chart::MarkShape::kRing};
  Series s;
  s.name = c.name;
  s.x = c.speed;
  s.y = c.value;
  s.role = scene::set_up_role(static_cast<int>(k));
  s.dashes = scene::set_up_dash(static_cast<int>(k));
  s.mark = kMarks[k % 5];
  s.in_key = in_key;
  return s;
}

void put_speed_axis(Panel& p) {
  p.x.label = "hammer at the string";
  p.x.unit = "m/s";
  p.x.low = 0;
  p.x.high = kFastest;
}

void put_boxes(const std::vector<PublishedBox>& boxes, bool in_key, Panel& p) {
  bool first = true;
  for (const PublishedBox& b : boxes) {
    chart::Bar bar;
    bar.x0 = b.speed_from;
    bar.x1 = b.speed_to;
    bar.y0 = std::max(b.low, p.y.low);
    bar.y1 = std::min(b.high, p.y.high);
    if (bar.y0 > bar.y1) continue;
    bar.role = scene::Role::kFelt;
    bar.opacity = 0.6;
    bar.upright = true;
    bar.name = in_key ? "published" : "published, enlarged";
    bar.in_key = in_key && first;
    first = false;
    p.bars.push_back(bar);
    if (b.words.empty() || in_key != (b.low > 1)) continue;  // soft ones in the whole panel, others enlarged
    chart::Note note;
    note.x = b.speed_from;
    note.y = in_key ? bar.y1 : bar.y0;
    note.text = b.words;
    note.dx_mm = 0.5;
    note.dy_mm = in_key ? 2.2 : b.low < -1 ? 2.2 : -2.4;
    note.role = scene::Role::kInk;
    p.notes.push_back(note);
  }
}

}  // namespace

Chart build_key_bottom(const ValidationCurves& v) {
  Chart c;
  c.title = v.title + ": key bottom against string";
  c.remark =
      "above zero: the key reaches its bottom after the hammer has met the string; below the same, larger";
  c.height_mm = 150;
  for (const bool whole : {true, false}) {
    Panel p;
    put_speed_axis(p);
    p.y.label = "key bottom minus string";
    p.y.unit = "ms";
    p.y.low = whole ? -6 : -5;
    p.y.high = whole ? 40 : 7;
    put_boxes(v.key_bottom_published, whole, p);
    Series zero;
    zero.name = "zero";
    zero.x = {0, kFastest};
    zero.y = {0, 0};
    zero.role = scene::Role::kFaintInk;
    zero.width_mm = 0.3;
    zero.in_key = false;
    p.series.push_back(zero);
    for (std::size_t k = 0; k < v.key_bottom.size(); ++k) {
      Series s = line_of(v.key_bottom[k], k, whole);
      for (double& y : s.y)
        if (y > p.y.high || y < p.y.low) y = std::nan("");
      p.series.push_back(std::move(s));
    }
    c.panels.push_back(std::move(p));
  }
  return c;
}

Chart build_travel_time(const ValidationCurves& v) {
  Chart c;
  c.title = v.title + ": from the key's start to the string";
  c.height_mm = 110;
  Panel p;
  put_speed_axis(p);
  p.y.label = "travel time";
  p.y.unit = "ms";
  p.y.low = 0;
  p.y.high = 300;
  put_boxes(v.travel_published, true, p);
  for (std::size_t k = 0; k < v.travel.size(); ++k) p.series.push_back(line_of(v.travel[k], k, true));
  c.panels.push_back(std::move(p));
  return c;
}

Chart build_slow_force(const ValidationCurves& v) {
  constexpr double kMostShown = 180;  // gf; the bottom goes far beyond
  Chart c;
  c.title = v.title + ": slow force against dip";
  c.remark = fmt::format(
      "friction against the motion both ways; cut at {:.0f} gf, where the front punching bears", kMostShown);
  c.height_mm = 100;
  c.events.push_back({v.dip_let_off, "let-off"});
  Panel p;
  p.x.label = "dip";
  p.x.unit = "mm";
  p.x.low = 0;
  p.x.high = v.dip.empty() ? 10 : std::ceil(*std::max_element(v.dip.begin(), v.dip.end()));
  p.y.label = "force at the playing point";
  p.y.unit = "gf";
  p.y.low = 0;
  p.y.high = kMostShown;
  for (const bool down : {true, false}) {
    Series s;
    s.name = down ? "going down" : "coming up";
    s.x = v.dip;
    s.y = down ? v.down : v.up;
    for (double& y : s.y)
      if (y > kMostShown || y < 0) y = std::nan("");
    s.role = scene::set_up_role(down ? 0 : 1);
    s.dashes = scene::set_up_dash(down ? 0 : 1);
    s.width_mm = 0.5;
    p.series.push_back(std::move(s));
  }
  c.panels.push_back(std::move(p));
  return c;
}

Chart build_contact_times(const ValidationCurves& v) {
  Chart c;
  c.title = "hammer on the string";
  c.remark =
      "published strings and felts struck by a hammer alone, and by the whole action; shaded: as quoted";
  c.height_mm = 110;
  Panel p;
  put_speed_axis(p);
  p.y.label = "contact time";
  p.y.unit = "ms";
  p.y.low = 0;
  p.y.high = 5;
  for (int ms = 0; ms <= 5; ++ms) p.y.ticks.push_back({static_cast<double>(ms), std::to_string(ms)});
  for (std::size_t k = 0; k < v.contacts.size(); ++k) {
    const auto& contact = v.contacts[k];
    if (contact.high > contact.low) {
      chart::Bar range;
      range.x0 = 0;
      range.x1 = kFastest;
      range.y0 = contact.low;
      range.y1 = contact.high;
      range.role = scene::Role::kFelt;
      range.opacity = 0.3;
      range.upright = true;
      range.name = contact.curve.name + ", published";
      p.bars.push_back(range);
      chart::Note note;
      note.x = kFastest;
      note.y = contact.high;
      note.text = contact.curve.name + ", published";
      note.side = chart::Side::kRight;
      note.dx_mm = -1;
      note.dy_mm = -2.4;
      p.notes.push_back(note);
    }
    p.series.push_back(line_of(contact.curve, k, true));
  }
  c.panels.push_back(std::move(p));
  return c;
}

std::vector<std::string> draw_validation(const ValidationCurves& v, const std::string& folder) {
  std::vector<std::string> out;
  const auto draw = [&](const Chart& c, const std::string& name) {
    const auto files = chart::draw_chart(c, folder + "/" + name);
    out.insert(out.end(), files.begin(), files.end());
  };
  draw(build_key_bottom(v), "key_bottom_against_speed");
  draw(build_travel_time(v), "travel_time_against_speed");
  draw(build_slow_force(v), "slow_force_against_dip");
  draw(build_contact_times(v), "string_contact_times");
  return out;
}

}  // namespace leverwright::figures
