#include "viz/scene/place_labels.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "sim/base/units.h"

namespace leverwright::scene {
namespace {

constexpr double kInkCost = 1, kDistanceCost = 0.45, kOverlapCost = 1000, kOutsideCost = 1e6,
                 kLeaderCost = 200;
constexpr int kDirections = 24;
constexpr double kDistances[] = {0, 3.5, 5, 7, 9, 12, 15, 19, 24, 30};

Box box_at(const Point& centre, const LabelWish& wish) {
  return {centre.x() - 0.5 * wish.width, centre.y() - 0.5 * wish.height, centre.x() + 0.5 * wish.width,
          centre.y() + 0.5 * wish.height};
}

bool leader_crosses(const Point& from, const Point& to, const Box& box) {
  constexpr int kSteps = 40;
  for (int i = 0; i < kSteps; ++i)
    if (holds(box, from + (to - from) * (static_cast<double>(i) / kSteps))) return true;
  return false;
}

}  // namespace

bool overlap(const Box& a, const Box& b) { return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1; }

bool holds(const Box& box, const Point& p) {
  return p.x() > box.x0 && p.x() < box.x1 && p.y() > box.y0 && p.y() < box.y1;
}

std::vector<Box> place_labels(const std::vector<LabelWish>& wishes, const std::vector<Point>& ink,
                              const std::vector<Box>& taken, const Box& bounds) {
  std::vector<Box> placed;
  std::vector<std::pair<Point, Point>> leaders;
  for (const LabelWish& wish : wishes) {
    Box best = box_at(wish.anchor, wish);
    double lowest = std::numeric_limits<double>::infinity();
    for (const double distance : kDistances) {
      for (int d = 0; d < (distance > 0 ? kDirections : 1); ++d) {
        const double turn = 2 * base::kPi * d / kDirections;
        // Words are wide: the same ring for all directions, measured from their edge.
        const Point centre =
            wish.anchor + Point((distance > 0 ? distance + 0.5 * wish.width : 0) * std::cos(turn),
                                (distance > 0 ? distance + 0.5 * wish.height : 0) * std::sin(turn));
        const Box box = box_at(centre, wish), wide = grown(box, 0.6);
        double cost = kDistanceCost * distance;
        if (box.x0 < bounds.x0 || box.x1 > bounds.x1 || box.y0 < bounds.y0 || box.y1 > bounds.y1)
          cost += kOutsideCost;
        for (const Box& other : taken)
          if (overlap(wide, other)) cost += kOverlapCost;
        for (const Box& other : placed) {
          if (overlap(wide, other)) cost += kOverlapCost;
          if (distance > 0 && leader_crosses(wish.anchor, centre, other)) cost += kLeaderCost;
        }
        for (const auto& [from, to] : leaders)
          if (leader_crosses(from, to, wide)) cost += kLeaderCost;
        if (cost >= lowest) continue;
        for (const Point& p : ink) cost += holds(wide, p) ? kInkCost : 0;
        if (cost >= lowest) continue;
        lowest = cost;
        best = box;
      }
    }
    placed.push_back(best);
    leaders.emplace_back(wish.anchor, best.centre());
  }
  return placed;
}

}  // namespace leverwright::scene
