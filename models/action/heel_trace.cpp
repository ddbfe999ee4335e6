#include "models/action/heel_trace.h"

#include <algorithm>
#include <cmath>

namespace leverwright::action {

HeelTrace reachable_from_below(const std::vector<double>& x, const std::vector<double>& y) {
  const auto first = std::min_element(x.begin(), x.end()) - x.begin();
  const auto last = std::max_element(x.begin(), x.end()) - x.begin();
  HeelTrace out;
  if (first > last) {
    out.doubles_back = true;
    return out;
  }
  out.x.assign(x.begin() + first, x.begin() + last + 1);
  out.y.assign(y.begin() + first, y.begin() + last + 1);
  out.doubles_back = !std::is_sorted(out.x.begin(), out.x.end()) ||
                     std::adjacent_find(out.x.begin(), out.x.end()) != out.x.end();
  // The flank is as high as what it stands for.
  const auto rise = [&](auto from, auto to, double end) {
    return std::max(kLeastFlank, *std::max_element(from, to) - end);
  };
  if (first > 0) {
    out.cut_at_player = true;
    const double up = rise(y.begin(), y.begin() + first, out.y.front());
    out.x.insert(out.x.begin(), out.x.front() - up * std::tan(kFlankLean));
    out.y.insert(out.y.begin(), out.y.front() + up);
  }
  if (last + 1 < static_cast<std::ptrdiff_t>(x.size())) {
    out.cut_at_strings = true;
    const double up = rise(y.begin() + last + 1, y.end(), out.y.back());
    out.x.push_back(out.x.back() + up * std::tan(kFlankLean));
    out.y.push_back(out.y.back() + up);
  }
  return out;
}

}  // namespace leverwright::action
