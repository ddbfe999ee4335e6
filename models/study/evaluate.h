// One set-up regulated and weighed quickly, for studies that repeat it many times (uncertainty, Monte Carlo,
// calibration). Coarser in dip than a comparison's own curves; whoever takes differences takes both sides
// from here.
#pragma once
#include <string>

#include "models/action/weigh.h"
#include "models/study/measures.h"

namespace leverwright::study {

inline constexpr double kQuickStep = 0.2e-3;  // of dip [m]

// The design of this set-up regulated from `start`; `ok` as regulate() says. A repetition spring too soft for
// the action to rest on is made stronger first.
struct Prepared {
  action::ActionDesign design;
  action::Regulated regulated;
};
Prepared prepare(const case_file::CaseDescription& description, std::size_t set_up,
                 const action::KeyLevel& level, const action::ScrewSettings& start);

// Measures of the set-up, SI; all NaN when it does not fit together, cannot be regulated or cannot be weighed
// (dip, blow and aftertouch are there when only the weighing fails). `why_not`: the reason in a few words, ""
// when it could be.
Measures evaluate(const case_file::CaseDescription& description, std::size_t set_up,
                  const action::KeyLevel& level, const action::ScrewSettings& start,
                  std::string* why_not = nullptr);

// Heights of back-rail cloth and balance punching at which the base's key, regulated, rests as measured.
action::KeyLevel find_key_level(const case_file::CaseDescription& description);

}  // namespace leverwright::study
