#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/film/film.h"
#include "viz/scene/drawing.h"

namespace leverwright::film {
namespace {
using scene::Across;
using scene::Box;
using scene::Label;
using scene::Path;
using scene::Point;
using scene::Role;
using scene::Stroke;

constexpr double kMargin = 4;                              // mm, of the page
constexpr double kHead = 8, kStripHeight = 19, kFoot = 7;  // title line; traces; legend
constexpr double kWords = 3.0;
constexpr double kStillHead = 7, kStillRow = 33, kStillWindow = 20;  // title; enlargements, and one's height
constexpr double kForceFloor = 0.15;                                 // N; less is not shown
constexpr double kFrictionTimes = 4;  // friction is drawn at so many times the scale of normal forces

double time_of(const study_file::StoredStroke& s, const std::string& event) {
  for (const study_file::Event& e : s.events)
    if (e.name == event) return e.time;
  return std::nan("");
}

Label words(const std::string& text, const Point& at, double size = kWords, Across across = Across::kLeft,
            bool bold = false) {
  Label l;
  l.text = text;
  l.at = at;
  l.size = size;
  l.across = across;
  l.bold = bold;
  l.halo = false;
  l.upright = scene::Upright::kBaseline;
  return l;
}

Path line(const std::string& name, std::vector<Point> points, Role role, double width,
          std::vector<double> dashes = {}) {
  return Path{name, std::move(points), false, {}, Stroke{role, width, std::move(dashes)}};
}

double round_step(double span, int about) {
  const double rough = span / about, power = std::pow(10, std::floor(std::log10(rough)));
  return power * (rough / power < 1.5 ? 1 : rough / power < 3.5 ? 2 : rough / power < 7.5 ? 5 : 10);
}

// Of a body's drawing only lines in the set-up's own colour stay.
void make_ghost(std::vector<scene::Shape>* shapes, Role role, const std::vector<double>& dashes) {
  for (scene::Shape& shape : *shapes) {
    const Stroke look{role, 0.25, dashes};
    if (auto* path = std::get_if<Path>(&shape)) {
      path->fill.reset();
      path->stroke = look;
    } else if (auto* circle = std::get_if<scene::Circle>(&shape)) {
      circle->fill.reset();
      circle->stroke = look;
    } else if (auto* mark = std::get_if<scene::Mark>(&shape)) {
      mark->role = role;
    }
  }
}

}  // namespace

Span find_span(const FilmRequest& r) {
  Span out{INFINITY, -INFINITY};
  for (const study_file::StoredStroke& s : r.strokes) {
    const double start = time_of(s, "key start"), string = time_of(s, "string contact"),
                 check = time_of(s, "check"), back = time_of(s, "key back");
    if (std::isfinite(start)) out.from = std::min(out.from, start - 10e-3);
    if (std::isfinite(string)) out.to = std::max(out.to, string + 60e-3);
    if (std::isfinite(check)) out.to = std::max(out.to, check + 20e-3);
    if (s.kind == "repeated") out.to = std::max(out.to, s.motion.time.back());
    if (r.whole) out.to = std::max(out.to, std::isfinite(back) ? back + 20e-3 : s.motion.time.back());
  }
  double first = INFINITY, last = -INFINITY;
  for (const study_file::StoredStroke& s : r.strokes) {
    first = std::min(first, s.motion.time.front());
    last = std::max(last, s.motion.time.back());
  }
  if (!(out.from < out.to)) out = {first, last};
  if (r.from >= 0) out.from = r.from;
  if (r.to >= 0) out.to = r.to;
  out.from = std::max(out.from, first);
  out.to = std::min(out.to, last);
  if (!(out.from < out.to))
    throw base::UserError(fmt::format("the stretch of time asked for is not in the stroke, which lasts from "
                                      "{:.0f} to {:.0f} ms",
                                      1e3 * first, 1e3 * last),
                          "choose --from and --to between those, --from the smaller");
  return out;
}

double time_of_frame(const FilmRequest& r, int frame) {
  return std::min(find_span(r).from + frame / (r.rate * r.slow), find_span(r).to);
}

int count_frames(const FilmRequest& r) {
  const Span s = find_span(r);
  const double frames = 1 + std::floor((s.to - s.from) * r.rate * r.slow + 1e-9);
  constexpr double kMost = 1e9;  // what an int holds
  return frames >= 1 && frames < kMost ? static_cast<int>(frames)
         : frames >= kMost             ? static_cast<int>(kMost)
                                       : 0;
}

double page_width(const FilmRequest& r) { return kPageHeight * r.width / r.height; }

FilmScene::FilmScene(const FilmRequest& r) : request_(r), span_(find_span(r)) {
  // The greatest force at the capstan until let-off sets the arrows; blows are cut short.
  double most = 0;
  for (const study_file::StoredStroke& s : r.strokes) {
    const double let_off = time_of(s, "jack trips"), end = std::isfinite(let_off) ? let_off : span_.to;
    for (const scene::PlaceForces& p : s.motion.places)
      for (size_t k = 0; k < p.normal.size() && s.motion.time[k] <= end; ++k)
        if (p.name == "capstan on heel cloth") most = std::max(most, p.normal[k]);
  }
  force_scale_ = scene::find_force_scale({{"", {0, 0}, {0, most}}});
  trace_high_ = std::max(most, kForceFloor);
  for (const study_file::StoredStroke& s : r.strokes) worn_.push_back(scene::find_worn_paths(s.motion));

  Box all;
  for (const study_file::StoredStroke& s : r.strokes) {
    scene::ActionMoment rest;
    rest.poses = scene::find_poses(s.motion, span_.from);
    scene::ActionSceneOptions plain;
    plain.compress = false;
    const scene::Scene picture = build_action_scene(s.motion.shape, rest, plain);
    all = include(all, picture.view);
    if (r.arrangement == Arrangement::kBeside)  // the key's front stays outside: the stack is what differs
      all.x0 = std::max(all.x0, -40.0);
  }
  double highest = 0;  // of a string that is lifted by the blow
  for (const study_file::StoredStroke& s : r.strokes)
    for (const double rise : s.motion.string_rise) highest = std::max(highest, rise);
  all.y1 += 1e3 * highest;
  view_ = all;

  const double width = page_width(r) - 2 * kMargin, gap = 14;
  const auto add = [&](const std::string& title, double factor, auto values) {
    Strip strip;
    strip.title = title;
    double low = 0, high = 0;
    for (const study_file::StoredStroke& s : r.strokes) {
      std::vector<double> v = s.*values;
      for (size_t k = 0; k < v.size(); ++k) {
        v[k] *= factor;
        if (s.motion.time[k] >= span_.from && s.motion.time[k] <= span_.to)
          low = std::min(low, v[k]), high = std::max(high, v[k]);
      }
      strip.values.push_back(std::move(v));
    }
    if (high - low < 1e-9) high = low + 1;
    const double step = round_step(high - low, 2);
    strip.low = step * std::floor(low / step + 1e-9);
    strip.high = step * std::ceil(high / step - 1e-9);
    strip.step = step;
    strips_.push_back(std::move(strip));
  };
  add("finger force (N)", 1, &study_file::StoredStroke::finger_force);
  add("slid, capstan on heel cloth (mm)", 1e3, &study_file::StoredStroke::capstan_slide);
  add("slid, jack on knuckle (mm)", 1e3, &study_file::StoredStroke::knuckle_slide);
  const double each =
      (width - gap * static_cast<double>(strips_.size())) / static_cast<double>(strips_.size());
  for (size_t k = 0; k < strips_.size(); ++k) {
    const double x = gap * static_cast<double>(k + 1) + each * static_cast<double>(k);
    const double y = kFoot + 5;
    strips_[k].box = {x, y, x + each, y + kStripHeight};
  }
}

Box FilmScene::view_in(const Box& to) const {
  const double scale = std::min(to.width() / view_.width(), to.height() / view_.height());
  const double w = to.width() / scale, h = to.height() / scale;
  const Point middle = view_.centre();
  return {middle.x() - 0.5 * w, middle.y() - 0.5 * h, middle.x() + 0.5 * w, middle.y() + 0.5 * h};
}

std::vector<FilmScene::Window> FilmScene::windows() const {
  const FilmRequest& r = request_;
  const double width = page_width(r) - 2 * kMargin, height = kPageHeight - 2 * kMargin;
  const double low = kFoot + 5 + kStripHeight + 7, high = height - kHead;
  const bool beside = r.arrangement == Arrangement::kBeside && r.strokes.size() > 1;
  const size_t panels = beside ? 2 : 1;
  const double gap = 4, each = (width - gap * static_cast<double>(panels - 1)) / static_cast<double>(panels);
  std::vector<Window> out;
  for (size_t k = 0; k < panels; ++k) {
    const double x = static_cast<double>(k) * (each + gap);
    const Box at{x, low, x + each, high};
    out.push_back({k, at, view_in(at)});
  }
  return out;
}

void FilmScene::add_action(size_t which, const Box& to, double t, bool still, scene::Scene* out) const {
  const study_file::StoredStroke& s = request_.strokes[which];
  scene::ActionMoment moment = scene::find_moment(s.motion, t, kForceFloor);
  moment.traces = scene::find_traces(worn_[which], span_.from, t);
  for (scene::ContactSign& c : moment.contacts) {  // an arrow no longer than 45 mm
    const double longest = 45 / force_scale_, size = c.force.norm();
    if (size <= longest) continue;
    c.force *= longest / size;
    if (c.normal) *c.normal *= longest / size;
  }
  scene::ActionSceneOptions options;
  options.labels = false;
  options.millimetres_per_newton = force_scale_;
  options.force_floor = kForceFloor;
  options.friction_times = kFrictionTimes;
  options.trace_high = trace_high_;
  options.bodies = still || bodies_;
  scene::Scene picture = build_action_scene(s.motion.shape, moment, options);
  scene::Inset inset;
  inset.alone = true;
  inset.clear = !options.bodies;
  inset.frame = Role::kFaintInk;
  inset.to = to;
  const double scale = std::min(to.width() / view_.width(), to.height() / view_.height());
  const double h = to.height() / scale;
  inset.from = view_in(to);
  if (still) inset.from.y0 = still_floor(), inset.from.y1 = still_floor() + h;  // room left over lies above
  inset.shapes = std::move(picture.shapes);
  scene::ActionMoment there;
  if (request_.arrangement == Arrangement::kGhost && request_.strokes.size() > 1) {
    const study_file::StoredStroke& other = request_.strokes[1];
    there = scene::find_moment(other.motion, t, kForceFloor);
    scene::ActionSceneOptions bare = options;
    bare.forces = false;
    bare.bodies = true;  // its outlines are the ghost
    scene::Scene ghost = build_action_scene(other.motion.shape, there, bare);
    ghost.shapes.erase(
        std::remove_if(ghost.shapes.begin(), ghost.shapes.end(),
                       [](const scene::Shape& shape) { return name_of(shape) == "line of centres"; }),
        ghost.shapes.end());
    make_ghost(&ghost.shapes, scene::set_up_role(1), {});
    inset.shapes.insert(inset.shapes.end(), ghost.shapes.begin(), ghost.shapes.end());
  }
  // A scale bar in the lower left corner, 50 mm of the action.
  const Point at = Point(inset.from.x0, inset.from.y0) + Point(2.5, 2.5) / scale;
  const Point tick(0, 1.5 / scale), bar(50, 0);
  inset.shapes.push_back(line("scale bar", {at + tick, at, at + bar, at + bar + tick}, Role::kInk, 0.35));
  inset.shapes.push_back(words("50 mm", at + bar + Point(1.5, 0) / scale, 2.6));
  if (request_.arrangement == Arrangement::kBeside || still)
    inset.shapes.push_back(
        words(s.label, Point(inset.from.x0, inset.from.y1) + Point(2, -5) / scale, 3.4, Across::kLeft, true));
  out->insets.push_back(std::move(inset));
  add_close_ups(which, to, moment, &there, options, still, out);
}

// Heel and knuckle enlarged in the corner above the keys on the player's side, which is empty in every grand
// action: side by side where one action has the whole width, else one above the other.
void FilmScene::add_close_ups(size_t which, const Box& panel, const scene::ActionMoment& moment,
                              const scene::ActionMoment* ghost_moment,
                              const scene::ActionSceneOptions& options, bool still, scene::Scene* out) const {
  const study_file::StoredStroke& s = request_.strokes[which];
  const size_t window = out->insets.size() - 1;
  const bool is_ghosted = request_.arrangement == Arrangement::kGhost && request_.strokes.size() > 1;
  const scene::ActionMotion* ghost = is_ghosted ? &request_.strokes[1].motion : nullptr;
  const bool wide = still || request_.arrangement != Arrangement::kBeside;
  const double across = still ? 0.5 * (panel.width() - 10) : wide ? 46 : 31;
  const double high = still ? kStillWindow : wide ? 36 : 23, first = wide && !still ? 3 : 7, words_high = 4.5;
  const auto add = [&](const std::string& title, const Box& from, double x, double y) {
    if (from.empty()) return;
    scene::Inset inset;
    inset.alone = true;
    inset.frame = Role::kFaintInk;
    inset.from = from;
    inset.to = {x, y - high, x + across, y};
    scene::ActionSceneOptions close = options;
    close.millimetres_per_newton = 0.25 * force_scale_;
    close.labels = false;
    inset.shapes = build_close_up(s.motion.shape, moment, close);
    if (ghost != nullptr) {
      close.forces = false;
      std::vector<scene::Shape> other = build_close_up(ghost->shape, *ghost_moment, close);
      other.erase(
          std::remove_if(other.begin(), other.end(),
                         [](const scene::Shape& shape) { return name_of(shape) == "line of centres"; }),
          other.end());
      make_ghost(&other, scene::set_up_role(1), {});
      inset.shapes.insert(inset.shapes.end(), other.begin(), other.end());
    }
    // The words lie on the action's own window, which is drawn over what is on the page.
    scene::Inset& action = out->insets[window];
    const double scale = action.magnification();
    action.shapes.push_back(words(title,
                                  Point(action.from.x0, action.from.y0) +
                                      (Point(x, y - high - 3.2) - Point(panel.x0, panel.y0)) / scale,
                                  2.6));
    out->insets.push_back(std::move(inset));
  };
  const double half = 10, half_high = half * high / across;
  const double x = panel.x0 + 3, y = panel.y1 - first;
  add(still  ? "heel; line: path slid"
      : wide ? "heel; trace: slide path until now"
             : "heel",
      scene::find_heel_region(s.motion.shape, moment, half, half_high), x, y);
  const double half_k = 8, half_k_high = half_k * high / across;
  add(still  ? "knuckle; darker: harder"
      : wide ? "knuckle; darker: pressed harder"
             : "knuckle",
      scene::find_knuckle_region(s.motion.shape, moment, half_k, half_k_high), wide ? x + across + 4 : x,
      wide ? y : y - high - words_high);
}

void FilmScene::add_strip(const Strip& strip, double t, scene::Scene* out) const {
  const Box& b = strip.box;
  const auto x_of = [&](double time) {
    return b.x0 + b.width() * (time - span_.from) / (span_.to - span_.from);
  };
  const auto y_of = [&](double v) { return b.y0 + b.height() * (v - strip.low) / (strip.high - strip.low); };
  std::vector<scene::Shape>& shapes = out->shapes;
  shapes.push_back(words(strip.title, {b.x0, b.y1 + 1.6}, kWords));
  const double step = strip.step;
  for (double v = strip.low; v <= strip.high + 1e-9 * step; v += step) {
    shapes.push_back(line("grid", {{b.x0, y_of(v)}, {b.x1, y_of(v)}}, Role::kRail, 0.2));
    shapes.push_back(words(fmt::format("{:.4g}", std::abs(v) < 1e-9 * step ? 0.0 : v),
                           {b.x0 - 1.2, y_of(v) - 0.9}, 2.6, Across::kRight));
  }
  shapes.push_back(line("axis", {{b.x0, b.y0}, {b.x1, b.y0}}, Role::kFaintInk, 0.25));
  const double ms = round_step(1e3 * (span_.to - span_.from), 4);
  for (double v = ms * std::ceil(1e3 * span_.from / ms - 1e-9); v <= 1e3 * span_.to + 1e-9; v += ms) {
    const bool last = v + ms > 1e3 * span_.to + 1e-9;
    const std::string number = fmt::format("{:.4g}{}", std::abs(v) < 1e-9 * ms ? 0.0 : v, last ? " ms" : "");
    const double half = 0.5 * 2.6 * scene::text_width(number), x = x_of(1e-3 * v);
    shapes.push_back(words(number, {std::min(x, b.x1 - half), b.y0 - 3.4}, 2.6, Across::kCentre));
  }
  for (size_t i = 0; i < strip.values.size(); ++i) {
    const std::vector<double>& time = request_.strokes[i].motion.time;
    std::vector<Point> before, after;
    const double pace = (span_.to - span_.from) / 400;  // points close enough for the eye
    for (double at = span_.from; at < t; at += pace)
      before.emplace_back(x_of(at), y_of(scene::find_value(time, strip.values[i], at)));
    const Point now(x_of(t), y_of(scene::find_value(time, strip.values[i], t)));
    before.push_back(now);
    after.push_back(now);
    for (double at = t + pace; at <= span_.to; at += pace)
      after.emplace_back(x_of(at), y_of(scene::find_value(time, strip.values[i], at)));
    const int index = static_cast<int>(i);
    shapes.push_back(line("to come", std::move(after), Role::kFaintInk, 0.15));
    shapes.push_back(
        line("trace", std::move(before), scene::set_up_role(index), 0.5, scene::set_up_dash(index)));
    shapes.push_back(scene::Mark{"now", now, scene::MarkKind::kDot, 1.6, scene::set_up_role(index)});
  }
  shapes.push_back(line("now", {{x_of(t), b.y0}, {x_of(t), b.y1}}, Role::kContact, 0.25));
}

// An arrow of a round number of newtons for each kind of force, from x on along the foot of the page.
void FilmScene::add_force_keys(double x, double scale, scene::Scene* out) const {
  double newtons = 1;
  while (newtons * scale > 16) newtons *= 0.5;
  while (newtons * scale < 4) newtons *= 2;
  for (const auto& [text, role] :
       {std::pair<std::string, Role>{fmt::format("normal force {:g} N", newtons), Role::kForce},
        std::pair<std::string, Role>{
            fmt::format("friction {:g} N (about a centre: way only)", newtons / kFrictionTimes),
            Role::kFriction}}) {
    out->shapes.push_back(
        scene::Arrow{"key", {x, 2.0}, {x + newtons * scale, 2.0}, Stroke{role, 0.5, {}}, 2.2, false});
    out->shapes.push_back(words(text, {x + newtons * scale + 1.5, 1}));
    x += newtons * scale + 7 + kWords * scene::text_width(text);
  }
}

scene::Scene FilmScene::build(double t) const {
  const FilmRequest& r = request_;
  scene::Scene out;
  const double width = page_width(r) - 2 * kMargin, height = kPageHeight - 2 * kMargin;
  out.view = {0, 0, width, height};
  std::string title = r.title.empty() ? "" : r.title + ": ";
  title += (r.strokes.front().kind == "repeated" ? "" : "touch ") + r.stroke;
  out.shapes.push_back(words(title, {0, height - 4.2}, 4, Across::kLeft, true));
  out.shapes.push_back(words(fmt::format("{:.1f} ms   {:g} times slower", 1e3 * t, r.slow),
                             {width, height - 4.2}, 4, Across::kRight));
  const bool beside = r.arrangement == Arrangement::kBeside && r.strokes.size() > 1;
  const std::vector<Window> actions = windows();
  for (const Window& w : actions) add_action(w.stroke, w.on_page, t, false, &out);
  for (const Strip& strip : strips_) add_strip(strip, t, &out);

  // What has happened last, by the first set-up's events.
  std::string last;
  double when = -INFINITY;
  for (const study_file::Event& e : r.strokes.front().events)
    if (e.time <= t && e.time > when) last = e.name, when = e.time;
  double x = 0;
  for (size_t i = 0; i < r.strokes.size(); ++i) {
    const int index = static_cast<int>(i);
    const bool ghost = i > 0 && r.arrangement == Arrangement::kGhost;
    out.shapes.push_back(
        line("key", {{x, 2.0}, {x + 9, 2.0}}, scene::set_up_role(index), 0.6, scene::set_up_dash(index)));
    const std::string side = !beside ? (ghost ? " (outlines)" : "") : i == 0 ? " (left)" : " (right)";
    out.shapes.push_back(words(r.strokes[i].label + side, {x + 10.5, 1}));
    x += 16 + kWords * scene::text_width(r.strokes[i].label + side);
  }
  const Box& first = actions.front().on_page;
  add_force_keys(x, std::min(first.width() / view_.width(), first.height() / view_.height()) * force_scale_,
                 &out);
  if (!last.empty()) out.shapes.push_back(words("last: " + last, {width, 1}, kWords, Across::kRight));
  return out;
}

// A still leaves out what lies deeper than its scale bar.
double FilmScene::still_floor() const { return std::max(view_.y0, -24.0); }

scene::Scene FilmScene::build_still(double t, const std::string& when) const {
  const FilmRequest& r = request_;
  const bool beside = r.arrangement == Arrangement::kBeside && r.strokes.size() > 1;
  const double gap = 4, each = beside ? 0.5 * (kStillWidth - gap) : kStillWidth;
  const double scale = each / view_.width();
  const double low = kFoot, high = low + scale * (view_.y1 - still_floor()) + kStillRow;
  scene::Scene out;
  out.view = {0, 0, kStillWidth, high + kStillHead};
  std::string title = r.strokes.front().kind == "repeated" ? r.stroke : "touch " + r.stroke;
  out.shapes.push_back(words(title + ", " + when, {0, high + 2.6}, 4, Across::kLeft, true));
  out.shapes.push_back(
      words(fmt::format("{:.1f} ms", 1e3 * t), {kStillWidth, high + 2.6}, 4, Across::kRight));
  for (size_t k = 0; k < (beside ? 2 : 1); ++k) {
    const double x = static_cast<double>(k) * (each + gap);
    add_action(k, {x, low, x + each, high}, t, true, &out);
  }
  add_force_keys(0, scale * force_scale_, &out);
  return out;
}

}  // namespace leverwright::film
