#include "viz/chart/grouped_bars.h"

#include <algorithm>
#include <cmath>

namespace leverwright::chart {

Panel make_grouped_bars(const std::vector<std::string>& groups, const std::vector<BarMember>& members,
                        const Axis& quantity, BarWay way, bool own_roles) {
  Panel p;
  const bool upright = way == BarWay::kUpright;
  Axis& along = upright ? p.y : p.x;
  Axis& across = upright ? p.x : p.y;
  along = quantity;
  across.grid = false;
  const double n = static_cast<double>(groups.size()), m = std::max(1.0, static_cast<double>(members.size()));
  across.low = 0.4;
  across.high = n + 0.6;
  const double width = 0.8 / m;
  double low = 0, high = 0;
  for (size_t g = 0; g < groups.size(); ++g) {
    const double middle = upright ? static_cast<double>(g) + 1 : n - static_cast<double>(g);
    across.ticks.push_back({middle, groups[g]});
    for (size_t k = 0; k < members.size(); ++k) {
      const BarMember& member = members[k];
      if (g >= member.values.size() || !std::isfinite(member.values[g])) continue;
      const double offset = -0.4 + width * static_cast<double>(k), way_on = upright ? 1 : -1;
      const double a = middle + way_on * (offset + 0.06 * width),
                   b = middle + way_on * (offset + 0.94 * width);
      Bar bar;
      (upright ? bar.x0 : bar.y0) = std::min(a, b);
      (upright ? bar.x1 : bar.y1) = std::max(a, b);
      (upright ? bar.y1 : bar.x1) = member.values[g];
      bar.role = own_roles ? member.role : scene::set_up_role(static_cast<int>(k));
      bar.opacity = 0.85;
      bar.name = member.name;
      bar.in_key = true;
      bar.upright = upright;
      if (g < member.low.size() && g < member.high.size()) bar.low = member.low[g], bar.high = member.high[g];
      for (const double v : {member.values[g], bar.low, bar.high})
        if (std::isfinite(v)) low = std::min(low, v), high = std::max(high, v);
      p.bars.push_back(std::move(bar));
    }
  }
  if (!std::isfinite(along.low)) along.low = low < 0 ? round_range(low, high).low : 0;
  if (!std::isfinite(along.high)) along.high = high > 0 ? round_range(low, high).high : 0;
  if (!(along.high > along.low)) along.high = along.low + 1;
  Series zero;
  zero.name = "zero";
  zero.x = upright ? std::vector<double>{across.low, across.high} : std::vector<double>{0, 0};
  zero.y = upright ? std::vector<double>{0, 0} : std::vector<double>{across.low, across.high};
  zero.width_mm = 0.2;
  zero.in_key = false;
  p.series.push_back(std::move(zero));
  return p;
}

}  // namespace leverwright::chart
