// The sheet a scene is being laid out on; shared by the pieces of lay_out, not for callers.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "viz/scene/drawing.h"

namespace leverwright::scene {

inline constexpr double kCapHeight = 0.729;  // of DejaVu Sans, in em
inline constexpr double kTitleSize = 4.2, kTextSize = 3.2, kNoteSize = 2.8, kLineStep = 4.6;

struct Sheet {  // where things go, mm on paper
  const Page& page;
  double scale;
  Point origin;

  Point place(const Point& p) const { return origin + scale * p; }
  Box place(const Box& b) const {
    const Point lo = place(Point(b.x0, b.y0)), hi = place(Point(b.x1, b.y1));
    return {lo.x(), lo.y(), hi.x(), hi.y()};
  }
  Rgb colour(const Rgb& c) const { return page.grey ? grey(c) : c; }
  Rgb colour(Role r) const { return colour(rgb(r)); }
  Pen pen(const Stroke& s) const {
    Pen out{colour(s.role), s.width, s.dashes};
    for (double& d : out.dashes) d *= s.width;
    return out;
  }
  std::optional<Pen> pen(const std::optional<Stroke>& s) const {
    return s ? std::optional<Pen>(pen(*s)) : std::nullopt;
  }
  std::optional<Ink> ink(const std::optional<Fill>& f) const {
    return f ? std::optional<Ink>(Ink{colour(f->role), f->opacity}) : std::nullopt;
  }
};

inline DrawnText text_at(const Sheet& sheet, const Point& at, const std::string& text, double size,
                         Across across, bool bold = false) {
  return {at, text, across, size, 0, sheet.colour(Role::kInk), bold, false};
}

inline DrawnPath rectangle(const Box& b, std::optional<Ink> fill, std::optional<Pen> pen) {
  return {{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}, true, fill, std::move(pen)};
}

// Scale bar, key of values and key of lines flow from left to right in lines below the picture; returns the
// number of lines used and, when `out` is given, draws them from `top` downwards.
int lay_legend(const Scene& scene, const Sheet& sheet, double left, double right, double top,
               std::vector<Drawn>* out);

}  // namespace leverwright::scene
