// Lines and polygons of a laid-out drawing as flat triangles: dashes cut, corners rounded, concave polygons
// filled. Millimetres on paper.
#pragma once
#include <array>
#include <vector>

#include "viz/scene/drawing.h"

namespace leverwright::vtk {

using Triangle = std::array<scene::Point, 3>;

// The pieces of a line that its dash pattern leaves.
std::vector<std::vector<scene::Point>> cut_dashes(const std::vector<scene::Point>& points, bool closed,
                                                  const std::vector<double>& dashes);
// A line of some width; round corners, and round ends when not dashed.
std::vector<Triangle> widen(const scene::DrawnPath& path);
// A simple polygon's inside.
std::vector<Triangle> fill_polygon(const std::vector<scene::Point>& points);
std::vector<scene::Point> circle_points(const scene::Point& centre, double radius);

}  // namespace leverwright::vtk
