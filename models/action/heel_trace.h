// The heel's traced outline as a height over the distance from the wippen centre.
//
// A capstan comes from below, so of an outline that overhangs (its ends run back under the heel) it can reach only
// what lies between the outline's furthest points towards the player and towards the strings. What runs back beyond
// them is left out, and the heel ends there in a flank that leans kFlankLean from upright: the cap's edge slides up
// it as it would round the corner. An outline that doubles back between its furthest points has no single height
// there and is refused.
#pragma once
#include <vector>

namespace leverwright::action {

struct HeelTrace {
  std::vector<double> x, y;                            // wippen frame [m], x rising
  bool cut_at_player = false, cut_at_strings = false;  // an overhang was left out there
  bool doubles_back = false;                           // between its furthest points: no height
};

inline constexpr double kFlankLean = 0.26;   // [rad] about 15 deg
inline constexpr double kLeastFlank = 2e-3;  // [m] height of a flank where an overhang was cut

// x, y: points in order from the player's side to the strings' side, at least two [m].
HeelTrace reachable_from_below(const std::vector<double>& x, const std::vector<double>& y);

}  // namespace leverwright::action
