// Finds free places for words near what they name. Millimetres on paper.
#pragma once
#include <vector>

#include "viz/scene/shape.h"

namespace leverwright::scene {

struct LabelWish {
  Point anchor{0, 0};  // what is named
  double width = 0, height = 0;
};

// Box of each label, in the order of the wishes. Words keep off each other and off `taken`, stay inside
// `bounds` and cover as few of the `ink` points (outlines, sampled) as they can; nearer is better.
std::vector<Box> place_labels(const std::vector<LabelWish>& wishes, const std::vector<Point>& ink,
                              const std::vector<Box>& taken, const Box& bounds);

bool overlap(const Box& a, const Box& b);
bool holds(const Box& box, const Point& p);

}  // namespace leverwright::scene
