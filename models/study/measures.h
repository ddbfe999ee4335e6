// The numbers a comparison is about. They stand first in the catalogue of quantities (quantities.h), which
// says of each how it is named, read and shown.
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "models/action/path_facts.h"

namespace leverwright::study {

enum MeasureIndex {
  kDownWeight,
  kUpWeight,
  kBalanceWeight,
  kFriction,
  kForceFall,     // the part of it that is no friction: the force curves fall between where D and U are set
  kMeanFriction,  // the rest: half of the mean force going down less coming up
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

}  // namespace leverwright::study
