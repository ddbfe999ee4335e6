// The same part of two set-ups laid over one another with their pivots together: outlines, the points that
// matter, and how far each of them differs.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/action_scene.h"

namespace leverwright::scene {

struct PartPoint {
  std::string name;
  Point first{0, 0}, second{0, 0};  // mm from the pivot, in the part's own frame (as drawn at angle 0)
  Point change() const { return second - first; }
};

// Points both set-ups have on that part ("wippen", "hammer", "key"): pivots of what it carries, where the
// capstan meets the heel at the moments given, the capstan's top, the knuckle's middle, the hammer's crown
// and tail.
std::vector<PartPoint> find_part_points(const SetUpMoment& first, const SetUpMoment& second,
                                        const std::string& part);

// Largest distance of a point of one part's drawn outlines from the other's, or between named points; mm.
double find_part_difference(const SetUpMoment& first, const SetUpMoment& second, const std::string& part);

// Smallest difference that is shown and named, mm.
inline constexpr double kPartDifference = 0.05;

// The first filled, the second as lines in its colour; an arrow and words for each point that differs; heel
// and capstan (of both, at this moment) enlarged where the part is the wippen, the capstan's top where it is
// the key.
Scene build_part_overlay(const SetUpMoment& first, const SetUpMoment& second, const std::string& part,
                         const std::string& title = "");

}  // namespace leverwright::scene
