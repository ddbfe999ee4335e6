#include "models/study/measures.h"

#include <cmath>

namespace leverwright::study {

double least_shown(const MeasureInfo& info) {
  return 0.5 * std::pow(10.0, -info.decimals) / info.display_factor;
}

std::optional<run::StaticSample> find_half_stroke(const action::Action& a, const action::Regulated& r) {
  action::FrictionlessPath path(a);
  return path.rest_found() ? path.sample_at(0.5 * r.dip_let_off) : std::nullopt;
}

}  // namespace leverwright::study
