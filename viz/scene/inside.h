// A place inside an outline where a sign can stand.
#pragma once
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::scene {

bool is_inside(const std::vector<Point>& outline, const Point& p);

// The mean of the corners where that lies inside; else (an angled or hollow outline) of the middles of a set
// of level and upright chords the one that stands farthest from the outline, a nearer one preferred.
Point find_inner_point(const std::vector<Point>& outline);

}  // namespace leverwright::scene
