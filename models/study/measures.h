// The numbers a comparison is about: each with its name, unit, how it is read off one regulated set-up, and
// its target.
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "models/action/weigh.h"

namespace leverwright::study {

enum MeasureIndex {
  kDownWeight,
  kUpWeight,
  kBalanceWeight,
  kFriction,
  kCapstanFriction,
  kLetOffResistance,
  kDistanceRatio,
  kWeightRatio,
  kDip,
  kBlow,
  kAftertouch,
  kReflectedMass,
  kCapstanSlide,
  kMeasureCount
};

struct MeasureInfo {
  const char* key;           // as in [targets] where it has one, and in files
  const char* name;          // trade words
  const char* unit;          // SI, as stored
  const char* display_unit;  // as shown
  double display_factor;     // display = SI * factor
  int decimals;
};
extern const std::array<MeasureInfo, kMeasureCount> kMeasures;

// Half of the last digit shown, SI: what is smaller is worth no word.
double least_shown(const MeasureInfo& info);

using Measures = std::array<double, kMeasureCount>;  // SI; NaN where it does not exist

// Half-way in dip from rest to let-off on the path without friction: where reflected mass is read. (With
// friction the speeds there depend on whether the weight is just passing from jack to lever.)
std::optional<run::StaticSample> find_half_stroke(const action::Action& action,
                                                  const action::Regulated& regulated);

Measures find_measures(const action::Action& action, const action::Regulated& regulated,
                       const action::Weighing& weighing);

// Targets of the case, SI; empty where the case has none.
std::array<std::optional<double>, kMeasureCount> find_targets(const case_file::CaseDescription& description);

}  // namespace leverwright::study
