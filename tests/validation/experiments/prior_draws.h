// A regulated typical note drawn from the shipped defaults: what models/materials, models/parts and the
// schema give as uncertain is drawn over its range, regulated afresh and weighed off with leads to a balance
// weight of 35 to 40 gf. The geometry is that of cases/missed_heel (invented); what that case types itself
// beside it, the frictions of two centres, is drawn from the usual range of the trade instead.
#pragma once
#include <cmath>
#include <string>
#include <vector>

#include "models/remedies/read_case.h"
#include "models/study/counter_random.h"
#include "models/study/monte_carlo.h"
#include "models/study/set_up_solver.h"
#include "sim/base/units.h"

namespace leverwright::validation {

struct PriorNote {
  case_file::CaseDescription description;
  std::vector<study::Input> inputs;
  study::SetUpSolver solver;
};

inline PriorNote typical_note() {
  PriorNote n;
  n.description = remedies::read_case("tests/validation/typical_note/case.toml");
  n.inputs = study::find_inputs(n.description);
  n.solver = study::SetUpSolver(n.description);
  return n;
}

struct PriorDraw {
  case_file::CaseDescription description;  // drawn and weighed off
  study::Measures measures;                // NaN: cannot be regulated or weighed
  std::string why_not;
};

// Front weight is balance weight while the centre of mass of the key lies level with its pivot, so the
// weights are moved together.
inline PriorDraw draw_note(const PriorNote& n, std::uint64_t seed, std::uint64_t sample) {
  PriorDraw out;
  out.description = n.description;
  for (const study::Input& in : n.inputs)
    out.description = study::move_input(out.description, in, study::draw(in, "", seed, sample));
  out.measures = n.solver.measure(out.description, 0, {}, &out.why_not);
  constexpr std::uint64_t kLeads = 77;  // stream of the wanted balance weight
  const double wanted = (35 + 5 * study::counter_uniform(seed, kLeads, sample)) * base::kGramForce;
  const double more = out.measures[study::kBalanceWeight] - wanted;
  if (!std::isfinite(more)) return out;
  out.description.quantities.at("measured.front_weight").value += more;
  for (const auto k : {study::kDownWeight, study::kUpWeight, study::kBalanceWeight}) out.measures[k] -= more;
  return out;
}

}  // namespace leverwright::validation
