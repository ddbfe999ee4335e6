#include "models/search/trial.h"

#include <algorithm>
#include <limits>

namespace leverwright::search {

namespace {

std::array<study::MeasureInfo, kTrialNumberCount> all_numbers() {
  std::array<study::MeasureInfo, kTrialNumberCount> out{};
  for (std::size_t k = 0; k < kTrialNumberCount; ++k) out[k] = study::kQuantities[k];
  return out;
}

}  // namespace

const std::array<study::MeasureInfo, kTrialNumberCount> kTrialNumbers = all_numbers();

std::size_t find_trial_number(const std::string& key_or_name) {
  return std::min<std::size_t>(study::find_quantity(key_or_name), kTrialNumberCount);
}

action::ScrewSettings find_trial_start(const study::SetUpSolver& solver,
                                       const case_file::CaseDescription& d) {
  solver.require_base(d);
  study::SetUpResult base;
  base.design = action::design(d, d.set_ups.front());
  action::put_level(solver.ground().level, base.design);
  study::regulate_afresh(base, {});
  study::set_by_playing(base);
  return base.regulated.dip_let_off > 0 ? base.regulated.screws : solver.base_screws();
}

Trial try_set_up(const study::SetUpSolver& solver, const case_file::CaseDescription& d,
                 const case_file::SetUp& set_up, const action::ScrewSettings& start) {
  study::SolveOptions options;
  options.start = start;
  study::SetUpResult s = solver.try_solve(d, set_up, options);
  Trial t;
  t.numbers.fill(std::numeric_limits<double>::quiet_NaN());
  t.why = study::why_no_answer(s);
  t.ok = t.why.empty();
  if (t.ok) {
    const study::QuantityValues all = study::read_quantities(s);
    std::copy_n(all.begin(), t.numbers.size(), t.numbers.begin());
  }
  t.regulated = std::move(s.regulated);
  t.design = std::move(s.design);
  return t;
}

}  // namespace leverwright::search
