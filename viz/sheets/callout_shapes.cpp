#include "viz/sheets/callout_shapes.h"

#include "viz/paper/paper.h"
#include "viz/scene/callouts.h"
#include "viz/scene/drawing.h"

namespace leverwright::sheets {

using scene::Point;
using scene::Role;

namespace {
constexpr double kRing = 2.3;  // radius of an encircled number on paper, mm
}

void CalloutScene::number(int n, const Point& at) {
  shapes_.push_back(scene::Circle{"number", at, paper(kRing), scene::Fill{Role::kPaper, 1},
                                  scene::Stroke{Role::kInk, 0.25, {}}});
  scene::Label label;
  label.text = std::to_string(n);
  label.at = at;
  label.across = scene::Across::kCentre;
  label.size = n > 99 ? 2.3 : 2.8;
  label.bold = true;
  label.halo = false;
  shapes_.emplace_back(label);
}

void CalloutScene::point_out(int n, const Point& about, const Point& at) {
  shapes_.push_back(scene::Path{"note line", {about, at}, false, {}, scene::Stroke{Role::kInk, 0.2, {}}});
  shapes_.push_back(scene::Mark{"note", about, scene::MarkKind::kDot, 0.9, Role::kInk});
  number(n, at);
}

void CalloutScene::measure(int n, const Point& a, const Point& b, double away) {
  auto parts = scene::dimension(a, b, paper(away), " ");
  if (parts.empty()) return;
  const auto& arrow = std::get<scene::Arrow>(parts[2]);
  const Point middle = 0.5 * (arrow.tail + arrow.tip);
  parts.pop_back();
  shapes_.insert(shapes_.end(), parts.begin(), parts.end());
  number(n, middle);
}

void CalloutScene::measure(const std::string& text, const Point& a, const Point& b, double away) {
  auto parts = scene::dimension(a, b, paper(away), text);
  for (auto& part : parts)
    if (auto* label = std::get_if<scene::Label>(&part)) label->offset = Point(0, 2.0);  // above its line
  shapes_.insert(shapes_.end(), parts.begin(), parts.end());
}

void CalloutScene::words(const std::string& text, const Point& at, double size, bool bold,
                         scene::Across across) {
  scene::Label label;
  label.text = text;
  label.at = at;
  label.across = across;
  label.size = size;
  label.bold = bold;
  shapes_.emplace_back(label);
}

void CalloutScene::line(const std::vector<Point>& points, double width, const std::vector<double>& dashes) {
  shapes_.push_back(scene::Path{"line", points, false, {}, scene::Stroke{Role::kInk, width, dashes}});
}

std::string CalloutScene::write(double width, const std::string& title) const {
  scene::Scene s;
  s.view = view_;
  s.shapes = shapes_;
  scene::Page page;
  page.width_mm = width;
  page.margin_mm = 0.5;
  page.grey = true;
  return paper::write_svg(scene::lay_out(s, page), title);
}

}  // namespace leverwright::sheets
