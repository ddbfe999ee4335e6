// Plain shapes that drawn parts are made of. Lengths in m.
#pragma once
#include <vector>

#include "sim/base/vec2.h"

namespace leverwright::drawing {

using base::Vec2;

std::vector<Vec2> box(double x0, double y0, double x1, double y1);
std::vector<Vec2> offset(const std::vector<Vec2>& points, const Vec2& by);
// Turned about the origin.
std::vector<Vec2> turned(const std::vector<Vec2>& points, double angle);
// A bar of this width from a to b.
std::vector<Vec2> bar(const Vec2& a, const Vec2& b, double width);
// A coil seen from its side: this many turns from the outer radius to the inner.
std::vector<Vec2> coil(const Vec2& centre, double outer, double inner, double turns, double start);
// What of a simple polygon lies between x0 and x1 and between y0 and y1: its largest piece, or nothing.
std::vector<Vec2> clipped(const std::vector<Vec2>& polygon, double x0, double y0, double x1, double y1);
// A smooth closed line through all points of a polygon (Catmull and Rom's), `pieces` to each side; corners
// sharper than `corner` radians stay.
std::vector<Vec2> smoothed(const std::vector<Vec2>& polygon, int pieces, double corner);
// A line of points moved to its left by a distance, each along the mean of its neighbours' normals.
std::vector<Vec2> beside(const std::vector<Vec2>& line, double distance);

}  // namespace leverwright::drawing
