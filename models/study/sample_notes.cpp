#include "models/study/sample_notes.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "sim/base/statistics.h"

namespace leverwright::study {

namespace {

double power_of_t(double delta, double s, int n, double confidence) {
  const double freedom = n - 1, shift = delta * std::sqrt(static_cast<double>(n)) / s;
  const double critical = base::find_student_quantile(freedom, 0.5 + 0.5 * confidence);
  if (shift > 40) return 1;  // beyond what the series needs to be asked
  return base::find_power_of_t(freedom, shift, critical);
}

// One standard deviation of one reading at the bench, SI: the schema's usual uncertainty (job's table).
std::optional<double> reading_sigma(MeasureIndex k) {
  const auto usual = [](const char* key) {
    const auto* spec = case_file::schema().find_key(key);
    const auto q = case_file::read_quantity(spec->default_sigma, spec->dimension);
    return std::get<case_file::Quantity>(q).value;
  };
  switch (k) {
    case kDownWeight:
      return usual("measured.down_weight");
    case kUpWeight:
      return usual("measured.up_weight");
    case kBalanceWeight:
    case kFriction:  // half of the sum or of the difference of two readings
      return 0.5 * std::hypot(usual("measured.down_weight"), usual("measured.up_weight"));
    case kDip:
      return usual("measured.dip");
    case kBlow:
      return usual("measured.blow");
    case kAftertouch:
      return usual("measured.aftertouch");
    default:
      return std::nullopt;
  }
}

}  // namespace

int notes_needed(double delta, double s, double u, Scatter scatter, double confidence, double power) {
  const double sum = base::find_normal_quantile(0.5 + 0.5 * confidence) + base::find_normal_quantile(power);
  const double left = delta * delta - sum * sum * u * u;
  if (!(left > 0) || !std::isfinite(left)) return 0;
  const double by_z = sum * sum * s * s / left;
  if (by_z > kMostNotes) return kMostNotes;
  int n = std::max(1, static_cast<int>(std::ceil(by_z - 1e-9)));
  if (scatter == Scatter::kKnown) return n;
  n = std::max(2, n);
  while (n < kMostNotes && s > 0 && power_of_t(std::sqrt(left), s, n, confidence) < power) ++n;
  return n;
}

std::vector<NotesPlan> plan_sample_notes(const Comparison& c) {
  std::vector<NotesPlan> out;
  if (c.effects.change.empty()) return out;
  for (std::size_t a = 0; a < c.set_ups.size(); ++a)
    for (std::size_t b = a + 1; b < c.set_ups.size(); ++b) {
      if (!c.set_ups[a].weighing.ok || !c.set_ups[b].weighing.ok) continue;
      for (const MeasureIndex k :
           {kDownWeight, kUpWeight, kBalanceWeight, kFriction, kDip, kBlow, kAftertouch}) {
        NotesPlan p;
        p.a = a;
        p.b = b;
        p.measure = k;
        p.difference = c.set_ups[b].measures[k] - c.set_ups[a].measures[k];
        const double shown = least_shown(kMeasures[k]);
        if (!(std::abs(p.difference) > shown)) continue;
        double per_note = 0, common = 0, execution = 0;
        for (std::size_t i = 0; i < c.inputs.size(); ++i) {
          const double effect = c.effects.change[b][i][k] - c.effects.change[a][i][k];
          if (!std::isfinite(effect)) continue;
          (c.inputs[i].per_note ? per_note : common) += effect * effect;
          if (c.inputs[i].kind == Input::Kind::kChange && c.inputs[i].per_note) execution += effect * effect;
        }
        p.predicted_scatter = std::sqrt(per_note);
        p.predicted_common = std::sqrt(common);
        p.notes_predicted =
            notes_needed(p.difference, p.predicted_scatter, p.predicted_common, Scatter::kKnown);
        if (const auto reading = reading_sigma(k)) {
          p.tried_scatter = std::sqrt(2 * *reading * *reading + execution);
          p.notes_tried = notes_needed(p.difference, p.tried_scatter, 0, Scatter::kFromTheNotes);
        }
        out.push_back(p);
      }
    }
  return out;
}

}  // namespace leverwright::study
