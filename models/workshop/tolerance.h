// How exactly the work has to come out: the shift of one amount of a change that moves an answer by no more
// than is allowed for, with everything regulated afresh.
//
//   f(q)   down weight, friction and what the policy lets result, of the set-up with the amount q, regulated
//          and weighed (study/trial.h)
//   slope  (f(q + h) - f(q - h)) / 2h, h the amount's own scatter or a least step
//   t      min over the answers of allowed / |slope|
//
// then both q - t and q + t are regulated and weighed; where an answer moves by more than kOver times what is
// allowed (a bend, an edge, a jump), t is made smaller until neither does. A t beyond half the amount or the
// schema's range is not critical and is cut there.
#pragma once
#include <array>
#include <functional>
#include <string>
#include <vector>

#include "models/remedies/work.h"
#include "models/search/trial.h"

namespace leverwright::workshop {

struct Allowed {                        // SI; what an answer may move by for one amount
  double down_weight = 1 * 9.80665e-3;  // 1 gf
  double friction = 0.5 * 9.80665e-3;   // 0.5 gf
  double length = 0.1e-3;               // aftertouch or dip, whichever results, m
  double blow = 0.5e-3;                 // blow where it results, m
};

struct Tolerance : remedies::Exactness {
  std::size_t change = 0;
  // Change for one standard step of the amount: down weight, up weight, friction, aftertouch. SI per SI.
  double slope_down = 0, slope_up = 0, slope_friction = 0, slope_aftertouch = 0;
};

inline constexpr double kOver = 1.1;

// Amounts of the set-up's changes that a hand sets (estimates are left out: nobody cuts to them). `progress`
// may stop by returning false: then what is found so far is returned.
std::vector<Tolerance> find_tolerances(const case_file::CaseDescription& description, std::size_t set_up,
                                       const Allowed& allowed,
                                       const std::function<bool(double share)>& progress = {});

// Two significant digits, rounded down.
double two_digits_down(double value);

}  // namespace leverwright::workshop
