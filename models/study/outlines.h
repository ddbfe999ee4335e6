// Outlines of a regulated action for drawing, from its true geometry, in the body frames, SI.
#pragma once
#include <string>
#include <vector>

#include "models/action/action.h"

namespace leverwright::study {

using base::Vec2;

struct BodyOutline {
  std::string body;         // as in action::kBodyNames
  std::string colour_role;  // see viz/figures/figure_data.h
  std::vector<Vec2> outline;
};

struct Feature {
  std::string name, body, kind, colour_role;  // kind: solid, line, circle, cap, heel surface, spring
  std::vector<Vec2> points;
  double radius = 0;   // circles
  std::string body_b;  // springs
};

std::vector<BodyOutline> find_body_outlines(const action::Action& a);
std::vector<Feature> find_features(const action::Action& a);

}  // namespace leverwright::study
