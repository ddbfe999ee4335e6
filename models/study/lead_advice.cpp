#include "models/study/lead_advice.h"

#include <cmath>
#include <limits>

#include "models/judgement/usual.h"
#include "sim/base/units.h"

namespace leverwright::study {

double find_wanted_balance_weight(const case_file::CaseDescription& d, double now) {
  const auto set = [&](const char* key) { return d.has(key) && !d.quantity(key).from_default; };
  if (set("targets.balance_weight")) return d.value("targets.balance_weight");
  if (set("targets.down_weight") && set("targets.up_weight"))
    return 0.5 * (d.value("targets.down_weight") + d.value("targets.up_weight"));
  if (!d.has("targets.balance_weight")) return std::numeric_limits<double>::quiet_NaN();
  auto measures = judgement::usual_measures();
  const judgement::Measure* usual = judgement::find_measure(measures, "balance_weight");
  if (usual->wanted.distance(now / base::kGramForce) <= usual->noticeable) return now;
  return d.value("targets.balance_weight");
}

LeadAdvice find_lead(double balance_weight, double wanted, double front_arm) {
  LeadAdvice out;
  const double over = balance_weight - wanted;
  if (!(std::abs(over) >= kNoticed) || !(front_arm > 0)) return out;
  const double moment = std::abs(over) * front_arm / base::kGravity;
  out.take_out = over < 0;
  for (out.count = 1; out.count < 9; ++out.count) {
    double best = 1e9;
    for (const double mass : kLeadsSold) {
      const double at = moment / (out.count * mass);
      const double off_middle = std::abs(at - 0.5 * front_arm);
      if (at < kNearest || at > kFarthest * front_arm || off_middle >= best) continue;
      best = off_middle;
      out.mass = mass;
      out.distance = at;
    }
    if (best < 1e9) return out;
  }
  return {};
}

}  // namespace leverwright::study
