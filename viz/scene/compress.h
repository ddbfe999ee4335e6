// Cloth and leather as they are pressed in.
//
// The mechanism lets surfaces overlap: the depth of the overlap along the common normal is the compression of
// the cloth. Drawn, the soft surface follows the hard one: every point of it that lies inside the hard
// outline is moved to the nearest point of that outline. For overlaps that are shallow against the outline's
// width that is along its normal, so the greatest move is the compression the mechanism computed.
#pragma once
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::scene {

// Points along the outline no farther apart than `step`, corners kept.
std::vector<Point> refine(const std::vector<Point>& outline, bool closed, double step);

// The place on a closed outline nearest to a point, and the unit normal there out of the outline (of its
// side; at a corner of either side).
struct NearestPoint {
  Point at{0, 0}, outward{0, 1};
  double distance = 0;
};
NearestPoint find_nearest(const std::vector<Point>& outline, const Point& p);

// Greatest distance a point was moved.
double press(std::vector<Point>* soft, const std::vector<Point>& hard);

// Same order: a soft shape (felt or leather, closed path or circle, or a cloth's surface line) gives way to
// every hard closed path that is no part of its own body, but the drop leather to no jack (it passes beside).
// `body` says whose each shape is. Circles that give
// way become paths of the same name.
void press_soft_shapes(std::vector<Shape>* shapes, const std::vector<int>& body);

}  // namespace leverwright::scene
