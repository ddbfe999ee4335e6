#include "viz/scene/drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/scene/place_labels.h"
#include "viz/scene/sheet.h"

namespace leverwright::scene {
namespace {

// Lines aslant across a polygon, by the even-odd rule; mm on paper, so that they are as close at any scale.
std::vector<DrawnPath> hatch(const std::vector<Point>& polygon, double spacing, const Pen& pen) {
  const double c = std::sqrt(0.5);
  std::vector<Point> turned;  // lines are level there
  double low = INFINITY, high = -INFINITY;
  for (const Point& p : polygon) {
    turned.emplace_back(c * (p.x() + p.y()), c * (p.y() - p.x()));
    low = std::min(low, turned.back().y());
    high = std::max(high, turned.back().y());
  }
  std::vector<DrawnPath> out;
  constexpr int kMost = 2000;
  if (!(high - low < kMost * spacing)) return out;
  for (double y = spacing * (std::floor(low / spacing) + 0.5); y < high; y += spacing) {
    std::vector<double> crossings;
    for (size_t k = 0; k < turned.size(); ++k) {
      const Point &a = turned[k], &b = turned[(k + 1) % turned.size()];
      if ((a.y() <= y) != (b.y() <= y))
        crossings.push_back(a.x() + (b.x() - a.x()) * (y - a.y()) / (b.y() - a.y()));
    }
    std::sort(crossings.begin(), crossings.end());
    for (size_t k = 0; k + 1 < crossings.size(); k += 2) {
      const auto back = [&](double x) { return Point(c * (x - y), c * (x + y)); };
      out.push_back(DrawnPath{{back(crossings[k]), back(crossings[k + 1])}, false, {}, pen});
    }
  }
  return out;
}

struct Draw {
  const Sheet& sheet;
  std::vector<Drawn>& out;

  void operator()(const Path& s) const {
    if (s.points.size() < 2) return;
    DrawnPath d{{}, s.closed, sheet.ink(s.fill), sheet.pen(s.stroke)};
    for (const Point& p : s.points) d.points.push_back(sheet.place(p));
    if (s.closed && s.fill && s.fill->role == Role::kFelt && d.pen) {  // cloth and felt are hatched
      constexpr double kSpacing = 0.8;
      const Pen thread{sheet.colour(Role::kLeather), 0.12, {}};
      out.push_back(DrawnPath{d.points, true, d.fill, {}});
      for (DrawnPath& l : hatch(d.points, kSpacing, thread)) out.push_back(std::move(l));
      d.fill.reset();
    }
    out.push_back(std::move(d));
  }
  void operator()(const Circle& s) const {
    out.push_back(
        DrawnCircle{sheet.place(s.centre), sheet.scale * s.radius, sheet.ink(s.fill), sheet.pen(s.stroke)});
  }
  void operator()(const Arc& s) const {
    const int n = std::max(2, static_cast<int>(std::ceil(std::abs(s.to - s.from) / (3 * base::kDegree))));
    DrawnPath d{{}, false, {}, sheet.pen(s.stroke)};
    for (int i = 0; i <= n; ++i) {
      const double t = s.from + (s.to - s.from) * i / n;
      d.points.push_back(sheet.place(s.centre + s.radius * Point(std::cos(t), std::sin(t))));
    }
    out.push_back(std::move(d));
  }
  void operator()(const Mark& s) const {
    const Point c = sheet.place(s.at);
    const double r = 0.5 * s.size;
    const Rgb colour = sheet.colour(s.role), paper = sheet.colour(Role::kPaper);
    const Pen line{colour, 0.3, {}}, edge{paper, 0.2, {}};
    switch (s.kind) {
      case MarkKind::kDot:
        out.push_back(DrawnCircle{c, r, Ink{colour, 1}, edge});
        break;
      case MarkKind::kRing:
        out.push_back(DrawnCircle{c, r, {}, line});
        break;
      case MarkKind::kPivot:
        out.push_back(DrawnCircle{c, r, Ink{paper, 1}, line});
        out.push_back(DrawnCircle{c, 0.35 * r, Ink{colour, 1}, {}});
        break;
      case MarkKind::kCross:
        out.push_back(DrawnPath{{c - Point(r, r), c + Point(r, r)}, false, {}, line});
        out.push_back(DrawnPath{{c - Point(r, -r), c + Point(r, -r)}, false, {}, line});
        break;
      case MarkKind::kDiamond:
        out.push_back(DrawnPath{{c - Point(r, 0), c - Point(0, r), c + Point(r, 0), c + Point(0, r)},
                                true,
                                Ink{colour, 1},
                                edge});
        break;
    }
  }
  void operator()(const Label& s) const {
    if (s.automatic) return;  // placed last, when everything else is known
    const double drop = s.upright == Upright::kBaseline ? 0
                        : s.upright == Upright::kMiddle ? 0.5 * kCapHeight * s.size
                                                        : kCapHeight * s.size;
    const double turn = s.angle_deg * base::kDegree;
    const Point down(drop * std::sin(turn), -drop * std::cos(turn));
    out.push_back(DrawnText{sheet.place(s.at) + s.offset + down, s.text, s.across, s.size, s.angle_deg,
                            sheet.colour(s.role), s.bold, s.halo});
  }
  void operator()(const Arrow& s) const {
    const Point tail = sheet.place(s.tail), tip = sheet.place(s.tip);
    const double length = (tip - tail).norm();
    if (length <= 0) return;
    const Point along = (tip - tail) / length;
    const double head = std::min(s.head, (s.both_ends ? 0.5 : 1.0) * length);
    const Pen pen = sheet.pen(s.stroke);
    const auto head_at = [&](const Point& end, const Point& way) {
      const Point side = base::perp(way) * (0.36 * head);
      out.push_back(
          DrawnPath{{end, end - head * way + side, end - head * way - side}, true, Ink{pen.colour, 1}, {}});
    };
    const Point from = s.both_ends ? Point(tail + 0.8 * head * along) : tail;
    out.push_back(DrawnPath{{from, tip - 0.8 * head * along}, false, {}, pen});
    head_at(tip, along);
    if (s.both_ends) head_at(tail, -along);
  }
  void operator()(const Trace& s) const {
    const double span = s.high > s.low ? s.high - s.low : 1;
    for (size_t i = 0; i + 1 < s.points.size() && i + 1 < s.values.size(); ++i) {
      const double mean = 0.5 * (s.values[i] + s.values[i + 1]);
      const Rgb colour = sheet.colour(value_colour((mean - s.low) / span));
      out.push_back(DrawnPath{
          {sheet.place(s.points[i]), sheet.place(s.points[i + 1])}, false, {}, Pen{colour, s.width, {}}});
    }
  }
};

void draw_shapes(const std::vector<Shape>& shapes, const Sheet& sheet, std::vector<Drawn>& out) {
  for (const Shape& shape : shapes) std::visit(Draw{sheet, out}, shape);
}

// Points along what is drawn, close enough that no label can hide between them.
std::vector<Point> sample_ink(const std::vector<Drawn>& items) {
  constexpr double kStep = 0.8;  // mm
  std::vector<Point> out;
  for (const Drawn& item : items) {
    if (const auto* circle = std::get_if<DrawnCircle>(&item)) {
      for (int i = 0; i < 16; ++i)
        out.push_back(circle->centre +
                      circle->radius * Point(std::cos(i * base::kPi / 8), std::sin(i * base::kPi / 8)));
    } else if (const auto* path = std::get_if<DrawnPath>(&item)) {
      const size_t n = path->points.size();
      for (size_t i = 0; i + (path->closed ? 0 : 1) < n; ++i) {
        const Point a = path->points[i], b = path->points[(i + 1) % n];
        const int steps = std::max(1, static_cast<int>((b - a).norm() / kStep));
        for (int k = 0; k < steps; ++k) out.push_back(a + (b - a) * (static_cast<double>(k) / steps));
      }
    }
  }
  return out;
}

// Lines from the two corners of an inset's small frame that face the large one.
std::vector<DrawnPath> leaders(const Box& from, const Box& to, const Pen& pen) {
  const bool right = to.centre().x() > from.centre().x();
  const double fx = right ? from.x1 : from.x0, tx = right ? to.x0 : to.x1;
  return {DrawnPath{{{fx, from.y1}, {tx, to.y1}}, false, {}, pen},
          DrawnPath{{{fx, from.y0}, {tx, to.y0}}, false, {}, pen}};
}

void draw_automatic_labels(const Scene& scene, const Sheet& sheet, std::vector<Drawn>& out) {
  std::vector<const Label*> labels;
  std::vector<LabelWish> wishes;
  for (const Shape& shape : scene.shapes)
    if (const auto* label = std::get_if<Label>(&shape); label != nullptr && label->automatic) {
      labels.push_back(label);
      wishes.push_back(
          {sheet.place(label->at), label->size * text_width(label->text, label->bold), 1.05 * label->size});
    }
  std::vector<Box> taken;
  std::vector<Drawn> ink = out;
  for (const Inset& inset : scene.insets) {
    taken.push_back(sheet.place(inset.to));
    taken.push_back(sheet.place(inset.from));
    for (DrawnPath& line : leaders(taken[taken.size() - 1], taken[taken.size() - 2], Pen{}))
      ink.emplace_back(std::move(line));
  }
  const std::vector<Box> boxes = place_labels(wishes, sample_ink(ink), taken, sheet.place(scene.view));
  for (size_t i = 0; i < labels.size(); ++i) {
    const Label& label = *labels[i];
    const Box& box = boxes[i];
    const Point& at = wishes[i].anchor;
    const Point nearest(std::clamp(at.x(), box.x0, box.x1), std::clamp(at.y(), box.y0, box.y1));
    const Rgb colour = sheet.colour(label.role);
    if ((nearest - at).norm() > 1) {
      out.push_back(DrawnPath{{at, nearest}, false, {}, Pen{colour, 0.15, {}}});
      out.push_back(DrawnCircle{at, 0.35, Ink{colour, 1}, {}});
    }
    out.push_back(DrawnText{{0.5 * (box.x0 + box.x1), box.y0 + 0.24 * label.size},
                            label.text,
                            Across::kCentre,
                            label.size,
                            0,
                            colour,
                            label.bold,
                            label.halo});
  }
}

void draw_inset(const Inset& inset, const Sheet& sheet, Drawing& drawing) {
  const Box to = sheet.place(inset.to), from = sheet.place(inset.from);
  const Rgb frame = sheet.colour(inset.frame);
  Layer under;
  if (!inset.alone) {
    under.items.push_back(rectangle(from, {}, Pen{frame, 0.25, {}}));
    for (DrawnPath& line : leaders(from, to, Pen{frame, 0.15, {1.2, 0.8}}))
      under.items.push_back(std::move(line));
  }
  if (!inset.clear) under.items.push_back(rectangle(to, Ink{sheet.colour(Role::kPaper), 1}, {}));
  drawing.layers.push_back(std::move(under));

  const double scale = to.width() / inset.from.width();
  const Sheet enlarged{sheet.page, scale, to.centre() - scale * inset.from.centre()};
  Layer inside{to, {}};
  draw_shapes(inset.shapes, enlarged, inside.items);
  drawing.layers.push_back(std::move(inside));

  Layer over;
  over.items.push_back(rectangle(to, {}, Pen{frame, 0.35, {}}));
  DrawnText title = text_at(sheet, {to.x0, to.y0 - 1.4 - kCapHeight * kTextSize}, inset.title, kTextSize,
                            Across::kLeft, true);
  title.halo = true;
  over.items.push_back(title);
  drawing.layers.push_back(std::move(over));
}

}  // namespace

Drawing lay_out(const Scene& scene, const Page& page) {
  const Box& view = scene.view;
  if (view.empty() || view.width() <= 0 || view.height() <= 0)
    throw base::UserError("there is nothing to draw: the picture's view is empty");
  const double margin = page.margin_mm;
  const double asked_width = page.width_mm > 0 ? page.width_mm : page.scale > 0 ? 0 : 170;
  const double head = (scene.title.empty() && scene.clock.empty()) ? 0 : kTitleSize + 3;

  Sheet sheet{page, page.scale > 0 ? page.scale : (asked_width - 2 * margin) / view.width(), {0, 0}};
  const auto width_now = [&] {
    return asked_width > 0 ? asked_width : sheet.scale * view.width() + 2 * margin;
  };
  const auto foot_now = [&] {
    const int lines = lay_legend(scene, sheet, margin, width_now() - margin, 0, nullptr);
    const double height = lines * kLineStep + static_cast<double>(scene.notes.size()) * kLineStep;
    return height > 0 ? height + 0.5 : 0;
  };
  double foot = foot_now();
  const auto height_now = [&] { return sheet.scale * view.height() + 2 * margin + head + foot; };
  if (page.scale <= 0 && page.height_mm > 0 && height_now() > page.height_mm) {
    sheet.scale = std::min(sheet.scale, (page.height_mm - 2 * margin - head - foot) / view.height());
    foot = foot_now();
    sheet.scale = std::min(sheet.scale, (page.height_mm - 2 * margin - head - foot) / view.height());
  }
  const double width = width_now(), height = page.height_mm > 0 ? page.height_mm : height_now();
  const double needed = sheet.scale * view.width() + 2 * margin;
  if (sheet.scale <= 0 || needed > width + 1e-6 || height_now() > height + 1e-6)
    throw base::UserError(
        fmt::format("a page of {:g} x {:g} mm is too small for this picture at {:g}:1", width, height,
                    page.scale > 0 ? page.scale : 0.0),
        fmt::format("use a page of at least {:.0f} x {:.0f} mm, or a smaller scale", std::ceil(needed),
                    std::ceil(std::max(height_now(), 2 * margin + head + foot + 1))));

  const double spare_x = width - needed, spare_y = height - height_now();
  sheet.origin =
      Point(margin + 0.5 * spare_x, margin + foot + 0.5 * spare_y) - sheet.scale * Point(view.x0, view.y0);

  Drawing drawing{width, height, sheet.scale, sheet.origin, {}};
  Layer picture{sheet.place(view), {}};
  draw_shapes(scene.shapes, sheet, picture.items);
  draw_automatic_labels(scene, sheet, picture.items);
  drawing.layers.push_back(std::move(picture));
  for (const Inset& inset : scene.insets) draw_inset(inset, sheet, drawing);

  Layer frame;
  const double top = height - margin - kCapHeight * kTitleSize;
  if (!scene.title.empty())
    frame.items.push_back(text_at(sheet, {margin, top}, scene.title, kTitleSize, Across::kLeft, true));
  if (!scene.clock.empty())
    frame.items.push_back(text_at(sheet, {width - margin, top}, scene.clock, kTitleSize, Across::kRight));
  const double first = margin + foot - 2.5 - kCapHeight * kTextSize;
  const int lines = lay_legend(scene, sheet, margin, width - margin, first, &frame.items);
  for (size_t i = 0; i < scene.notes.size(); ++i)
    frame.items.push_back(text_at(sheet, {margin, first - (lines + static_cast<double>(i)) * kLineStep},
                                  scene.notes[i], kNoteSize, Across::kLeft));
  if (!frame.items.empty()) drawing.layers.push_back(std::move(frame));
  return drawing;
}

}  // namespace leverwright::scene
