// Bars in groups: several set-ups beside one another for each of several things, with their uncertainty.
#pragma once
#include <string>
#include <vector>

#include "viz/chart/chart.h"

namespace leverwright::chart {

struct BarMember {  // one colour, one bar in each group
  std::string name;
  std::vector<double> values;     // one for each group; NaN = no bar
  std::vector<double> low, high;  // ends of the uncertainty, or empty
  Role role = Role::kSetUpA;
};

enum class BarWay { kUpright, kLying };  // lying bars have their group's name at the left, first on top

// A panel of the groups, with a line at zero. `quantity` is the axis along the bars; members get their
// set-up colours in order unless `own_roles`.
Panel make_grouped_bars(const std::vector<std::string>& groups, const std::vector<BarMember>& members,
                        const Axis& quantity, BarWay way, bool own_roles = false);

}  // namespace leverwright::chart
