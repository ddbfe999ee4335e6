// Dimension lines and encircled numbers; shared by the drawings, not for callers.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::sheets {

// A drawing of `view` (mm of the action) `width` mm wide on paper, built up piece by piece.
class CalloutScene {
 public:
  CalloutScene(const scene::Box& view, double paper_width)
      : view_(view), per_paper_(view.width() / paper_width) {}

  std::vector<scene::Shape>& shapes() { return shapes_; }
  // Millimetres of paper in millimetres of the action.
  double paper(double mm) const { return mm * per_paper_; }

  // An encircled number.
  void number(int n, const scene::Point& at);
  // The number at `at` with a line to what it is about.
  void point_out(int n, const scene::Point& about, const scene::Point& at);
  // A dimension from a to b drawn `away` mm of paper to the left of the way; the number, or words, in its
  // middle.
  void measure(int n, const scene::Point& a, const scene::Point& b, double away);
  void measure(const std::string& words, const scene::Point& a, const scene::Point& b, double away);
  void words(const std::string& text, const scene::Point& at, double size = 3.0, bool bold = false,
             scene::Across across = scene::Across::kCentre);
  void line(const std::vector<scene::Point>& points, double width, const std::vector<double>& dashes = {});

  // As SVG text, in grey; `height` mm of paper, 0: as the view has it.
  std::string write(double width, const std::string& title) const;

 private:
  scene::Box view_;
  double per_paper_;
  std::vector<scene::Shape> shapes_;
};

}  // namespace leverwright::sheets
