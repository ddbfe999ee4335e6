#include "models/study/measures.h"

#include <cmath>
#include <limits>

#include "sim/base/units.h"

namespace leverwright::study {

namespace {
constexpr double kToGf = 1.0 / base::kGramForce;
}

const std::array<MeasureInfo, kMeasureCount> kMeasures = {{
    {"down_weight", "down weight", "N", "gf", kToGf, 1},
    {"up_weight", "up weight", "N", "gf", kToGf, 1},
    {"balance_weight", "balance weight", "N", "gf", kToGf, 1},
    {"friction", "friction", "N", "gf", kToGf, 1},
    {"capstan_friction", "friction from capstan on heel", "N", "gf", kToGf, 2},
    {"let_off_resistance", "let-off resistance", "N", "gf", kToGf, 0},
    {"distance_ratio", "distance ratio", "1", "1", 1.0, 2},
    {"weight_ratio", "weight ratio", "1", "1", 1.0, 2},
    {"dip", "dip", "m", "mm", 1e3, 2},
    {"blow", "blow", "m", "mm", 1e3, 1},
    {"aftertouch", "aftertouch", "m", "mm", 1e3, 2},
    {"reflected_mass", "reflected mass", "kg", "g", 1e3, 0},
    {"capstan_slide", "slide of capstan on heel", "m", "mm", 1e3, 2},
}};

double least_shown(const MeasureInfo& info) {
  return 0.5 * std::pow(10.0, -info.decimals) / info.display_factor;
}

std::optional<run::StaticSample> find_half_stroke(const action::Action& a, const action::Regulated& r) {
  action::QuietPath path(a);
  return path.rest_found() ? path.sample_at(0.5 * r.dip_let_off) : std::nullopt;
}

Measures find_measures(const action::Action& a, const action::Regulated& r, const action::Weighing& w) {
  Measures m;
  m.fill(std::numeric_limits<double>::quiet_NaN());
  m[kDip] = r.dip;
  m[kBlow] = r.blow;
  m[kAftertouch] = r.aftertouch;
  if (!w.ok) return m;
  m[kDownWeight] = w.down_weight;
  m[kUpWeight] = w.up_weight;
  m[kBalanceWeight] = w.balance_weight;
  m[kFriction] = w.friction;
  m[kDistanceRatio] = w.distance_ratio;
  m[kWeightRatio] = w.weight_ratio;
  // Capstan's share of the friction ledger and its slide, over the window and over the stroke to let-off.
  const std::string heel = action::kPlaceNames[action::kCapstanHeel];
  double sum = 0, length = 0, slide = 0;
  for (std::size_t k = 1; k < w.down.size(); ++k) {
    const auto& d = w.down[k];
    const double h = d.travel - w.down[k - 1].travel;
    double row = 0, rate = 0, normal = 0;
    for (std::size_t i = 0; i < d.normal.size(); ++i) {
      if (a.mechanism.contacts[i]->group != heel) continue;
      row += 0.5 * (d.ledger.friction[i] + w.up[k].ledger.friction[i]);
      rate += d.normal[i] * std::abs(d.slip_rate[i]);
      normal += d.normal[i];
    }
    if (d.travel >= w.window_from && d.travel <= w.window_to) {
      sum += h * row;
      length += h;
    }
    if (normal > 0 && d.travel <= r.dip_let_off) slide += h * rate / normal;
  }
  m[kCapstanFriction] = length > 0 ? sum / length : 0;
  m[kCapstanSlide] = slide;
  if (const auto half = find_half_stroke(a, r)) {
    m[kReflectedMass] = 0;
    for (double x : action::find_reflected_mass(a, *half)) m[kReflectedMass] += x;
  }
  if (w.down.back().travel > r.dip_let_off) m[kLetOffResistance] = w.let_off_resistance;
  return m;
}

std::array<std::optional<double>, kMeasureCount> find_targets(const case_file::CaseDescription& d) {
  std::array<std::optional<double>, kMeasureCount> out;
  for (std::size_t i = 0; i < kMeasureCount; ++i) {
    const std::string key = std::string("targets.") + kMeasures[i].key;
    if (d.has(key)) out[i] = d.value(key);
  }
  return out;
}

}  // namespace leverwright::study
