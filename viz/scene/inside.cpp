#include "viz/scene/inside.h"

#include <algorithm>
#include <limits>

namespace leverwright::scene {

namespace {

double distance_to_outline(const std::vector<Point>& outline, const Point& p) {
  double least = std::numeric_limits<double>::max();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point& a = outline[i];
    const Point side = outline[(i + 1) % outline.size()] - a;
    const double length2 = side.squaredNorm();
    const double share = length2 > 0 ? std::clamp((p - a).dot(side) / length2, 0.0, 1.0) : 0.0;
    least = std::min(least, (p - a - share * side).norm());
  }
  return least;
}

// Where the line on which coordinate `axis` is `level` crosses the outline: the other coordinate, in order.
std::vector<double> crossings(const std::vector<Point>& outline, int axis, double level) {
  std::vector<double> out;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Point &a = outline[i], &b = outline[(i + 1) % outline.size()];
    if ((a[axis] > level) == (b[axis] > level)) continue;
    out.push_back(a[1 - axis] + (b[1 - axis] - a[1 - axis]) * (level - a[axis]) / (b[axis] - a[axis]));
  }
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace

bool is_inside(const std::vector<Point>& outline, const Point& p) {
  const auto across = crossings(outline, 1, p.y());
  return std::count_if(across.begin(), across.end(), [&](double x) { return x > p.x(); }) % 2 == 1;
}

Point find_inner_point(const std::vector<Point>& outline) {
  Point middle(0, 0);
  Box box;
  for (const Point& p : outline) {
    middle += p / static_cast<double>(outline.size());
    box = include(box, p);
  }
  if (is_inside(outline, middle)) return middle;
  constexpr int kChords = 24;
  constexpr double kNearer = 0.02;  // distance from the outline that a way of 1 mm from the middle is worth
  Point best = middle;
  double best_score = -std::numeric_limits<double>::max();
  for (int axis = 0; axis < 2; ++axis)
    for (int k = 0; k < kChords; ++k) {
      const double share = (k + 0.5) / kChords;
      const double level = axis == 0 ? box.x0 + share * box.width() : box.y0 + share * box.height();
      const auto across = crossings(outline, axis, level);
      for (std::size_t c = 0; c + 1 < across.size(); c += 2) {
        const double centre = 0.5 * (across[c] + across[c + 1]);
        const Point p = axis == 0 ? Point(level, centre) : Point(centre, level);
        const double score = distance_to_outline(outline, p) - kNearer * (p - middle).norm();
        if (score <= best_score) continue;
        best_score = score;
        best = p;
      }
    }
  return best;
}

}  // namespace leverwright::scene
