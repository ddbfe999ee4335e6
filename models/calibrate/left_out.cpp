#include "models/calibrate/left_out.h"

#include <cmath>

#include "sim/base/units.h"

namespace leverwright::calibrate {

namespace {
constexpr double kEitherWay = 8 * base::kGramForce, kBesidePunching = 3.5 * base::kGramForce;
}

case_file::Quantity left_out_of(const case_file::CaseDescription& d) {
  const auto own = d.quantities.find(kLeftOutKey);
  if (own != d.quantities.end()) return own->second;
  case_file::Quantity q;
  q.dimension = case_file::Dimension::kWeight;
  q.knowledge = case_file::Knowledge::kEstimate;
  q.high = d.choice("options.balance_punching") == "on" ? kBesidePunching : kEitherWay;
  q.low = -q.high;
  q.sigma = (q.high - q.low) / std::sqrt(12.0);
  q.source = "estimate";
  return q;
}

void add_left_out(case_file::CaseDescription& d) { d.quantities.emplace(kLeftOutKey, left_out_of(d)); }

}  // namespace leverwright::calibrate
