// Shapes made of several simple ones: dimensions, force arrows, notes with a line.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::scene {

// Distance between two points, drawn `away` mm (of the action plane) to the left of the way from a to b: two
// extension lines, an arrow with two heads, the words in the middle. Empty words: the distance in mm, one
// decimal.
std::vector<Shape> dimension(const Point& a, const Point& b, double away, const std::string& words = "");

// A force in newtons acting at a point, with its size in gf beside the tip. Nothing for a zero force.
std::vector<Shape> force_arrow(const std::string& name, const Point& at, const Point& force,
                               double millimetres_per_newton, bool with_number = true,
                               Role role = Role::kForce);

// An arrow about a point, three quarters round, 3.4 mm of the action plane from it.
std::vector<Shape> turning_arrow(const std::string& name, const Point& about, bool anticlockwise, Role role);

// Words at `words_at` with a line to what they are about.
std::vector<Shape> note(const std::string& words, const Point& about, const Point& words_at);

}  // namespace leverwright::scene
