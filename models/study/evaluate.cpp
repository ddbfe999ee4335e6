#include "models/study/evaluate.h"

#include <limits>

#include "sim/base/error.h"

namespace leverwright::study {

namespace {
constexpr int kSpringTries = 4;
constexpr double kSpringStep = 5e-3;  // [N m]
}  // namespace

Prepared prepare(const case_file::CaseDescription& d, std::size_t set_up, const action::KeyLevel& level,
                 const action::ScrewSettings& start) {
  Prepared p;
  p.design = action::design(d, d.set_ups[set_up]);
  action::put_level(level, p.design);
  action::ScrewSettings screws = start;
  p.regulated = action::regulate(p.design, screws, p.design.policy);
  // The repetition spring stays as it was set by playing elsewhere. Where it is too soft for this action to
  // rest on it, a technician makes it stronger before turning any other screw.
  for (int k = 0; k < kSpringTries && p.regulated.dip_let_off <= 0; ++k) {
    screws[action::kRepetitionSpring] += kSpringStep;
    p.regulated = action::regulate(p.design, screws, p.design.policy);
  }
  return p;
}

Measures evaluate(const case_file::CaseDescription& d, std::size_t set_up, const action::KeyLevel& level,
                  const action::ScrewSettings& start, std::string* why_not) {
  Measures none;
  none.fill(std::numeric_limits<double>::quiet_NaN());
  const auto because = [&](const std::string& reason) {
    if (why_not) *why_not = reason;
  };
  because("");
  try {
    const Prepared p = prepare(d, set_up, level, start);
    if (p.regulated.dip_let_off <= 0) {
      because(p.regulated.failures.empty() ? "regulation" : p.regulated.failures.front().requirement);
      return none;
    }
    const action::Action a = action::assemble(p.design, p.regulated.screws);
    action::WeighOptions quick;
    quick.step = kQuickStep;
    quick.whole_stroke = false;
    const action::Weighing w = action::weigh(a, p.regulated, quick);
    if (!w.ok) because(w.jam.jammed ? "a contact jams" : "blocked under way, or no stroke to weigh");
    return find_measures(a, p.regulated, w);
  } catch (const base::UserError&) {
    because("measurements that cannot belong to one action");
    return none;  // moved beyond what fits together
  }
}

action::KeyLevel find_key_level(const case_file::CaseDescription& d) {
  action::ActionDesign design = action::design(d, d.set_ups[0]);
  action::level_key(design, {});
  const action::Regulated r = action::regulate(design, {}, design.policy);
  if (r.dip_let_off > 0) action::level_key(design, r.screws);
  return action::level_of(design);
}

}  // namespace leverwright::study
