#include <fmt/format.h>

#include <algorithm>
#include <cstring>

#include "viz/scene/sheet.h"

namespace leverwright::scene {

double text_width(const std::string& text, bool bold) {
  double width = 0;
  for (size_t i = 0; i < text.size(); ++i) {
    const unsigned char c = static_cast<unsigned char>(text[i]);
    if ((c & 0xC0) == 0x80) continue;  // the rest of a character of several bytes
    if (c >= 0x80)
      width += 0.68;
    else if (std::strchr("ijl.,:;'|! ", c) != nullptr)
      width += 0.31;
    else if (std::strchr("ftrI()[]-/\\", c) != nullptr)
      width += 0.38;
    else if (std::strchr("mwMW%@", c) != nullptr)
      width += 0.92;
    else if (c >= 'A' && c <= 'Z')
      width += 0.69;
    else if (std::strchr("+=<>~", c) != nullptr)
      width += 0.84;
    else
      width += 0.615;
  }
  return bold ? 1.13 * width : width;
}

int lay_legend(const Scene& scene, const Sheet& sheet, double left, double right, double top,
               std::vector<Drawn>* out) {
  double x = left;
  int line = 0;
  const auto room_for = [&](double width) {
    if (x > left && x + width > right) {
      x = left;
      ++line;
    }
    return Point(x, top - line * kLineStep);
  };
  bool any = false;
  if (scene.scale_bar > 0) {
    const std::string text = fmt::format("{:g} mm", scene.scale_bar);
    const double bar = sheet.scale * scene.scale_bar, width = bar + 1.5 + kTextSize * text_width(text) + 6;
    const Point at = room_for(width);
    if (out != nullptr) {
      const Pen pen{sheet.colour(Role::kInk), 0.35, {}};
      out->push_back(
          DrawnPath{{at + Point(0, 2), at, at + Point(bar, 0), at + Point(bar, 2)}, false, {}, pen});
      out->push_back(text_at(sheet, at + Point(bar + 1.5, 0), text, kTextSize, Across::kLeft));
    }
    x += width;
    any = true;
  }
  if (scene.value_legend) {
    const ValueLegend& v = *scene.value_legend;
    const std::string low = fmt::format("{:.3g}", v.low), high = fmt::format("{:.3g} {}", v.high, v.text);
    const double strip = 24, lw = kTextSize * text_width(low),
                 width = lw + strip + 3 + kTextSize * text_width(high) + 6;
    const Point at = room_for(width);
    if (out != nullptr) {
      out->push_back(text_at(sheet, at, low, kTextSize, Across::kLeft));
      for (int i = 0; i < 24; ++i) {
        const Box cell{at.x() + lw + 1.5 + i, at.y(), at.x() + lw + 2.5 + i, at.y() + 2.3};
        out->push_back(rectangle(cell, Ink{sheet.colour(value_colour((i + 0.5) / 24)), 1}, {}));
      }
      out->push_back(text_at(sheet, at + Point(lw + strip + 3, 0), high, kTextSize, Across::kLeft));
    }
    x += width;
    any = true;
  }
  for (const LegendEntry& e : scene.legend) {
    const double sample = e.arrow > 0 ? sheet.scale * e.arrow
                          : e.line    ? 11
                                      : 5,
                 width = sample + 1.5 + kTextSize * text_width(e.text) + 5;
    const Point at = room_for(width);
    if (out != nullptr) {
      const double y = 0.5 * kCapHeight * kTextSize;
      if (e.arrow > 0) {
        const Ink ink{sheet.colour(e.role), 1};
        const Point tip = at + Point(sample, y);
        const double head = std::min(2.2, sample);
        out->push_back(DrawnPath{{at + Point(0, y), tip - Point(0.8 * head, 0)},
                                 false,
                                 {},
                                 sheet.pen(Stroke{e.role, 0.5, e.dashes})});
        out->push_back(DrawnPath{
            {tip, tip + Point(-head, 0.36 * head), tip + Point(-head, -0.36 * head)}, true, ink, {}});
      } else if (e.line)
        out->push_back(DrawnPath{
            {at + Point(0, y), at + Point(sample, y)}, false, {}, sheet.pen(Stroke{e.role, 0.5, e.dashes})});
      else
        out->push_back(rectangle({at.x(), at.y(), at.x() + sample, at.y() + 2.4},
                                 Ink{sheet.colour(e.role), 1}, Pen{sheet.colour(Role::kInk), 0.15, {}}));
      out->push_back(text_at(sheet, at + Point(sample + 1.5, 0), e.text, kTextSize, Across::kLeft));
    }
    x += width;
    any = true;
  }
  return any ? line + 1 : 0;
}

}  // namespace leverwright::scene
