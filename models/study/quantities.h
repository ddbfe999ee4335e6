// The catalogue of quantities: every number that is read off a set-up, once. Tables, CSV, JSON, results file,
// [[seek]], maps and parts go through it, so that one quantity has one key, one name, one unit, one number of
// digits and one way it is found. A new number is a row in quantities.cpp.
//
// A quantity that does not exist on a set-up, or whose number lies outside of anything an action can have, is
// absent, with the reason in words; it is never shown as an answer.
#pragma once
#include <array>
#include <string>

#include "models/study/measures.h"

namespace leverwright::study {

struct SetUpResult;

// After the measures. What is told against the base stands last: it exists only in a comparison.
enum QuantityIndex : std::size_t {
  kLetOff = kMeasureCount,
  kDrop,
  kJackClearance,
  kDipAtLetOff,
  kDipAtButton,
  kMeanDownForce,
  kMeanUpForce,
  kDipOfDownWeight,
  kDipOfUpWeight,
  kLeverProduct,
  kKeyRatio,
  kCapstanSlideToDip,
  kShankRestGap,
  kJackDepth,
  kJackClearanceAtDip,
  kCapToClothEdge,
  kLineDistance,
  kCapEdgeMargin,
  kFaceMargin,
  kFrontWeight,
  kWippenWeight,
  kKeyHeight,
  kScrewSetting,  // one for each screw, in the order of action::Screw
  kCapstanScrew = kScrewSetting + action::kCapstan,
  kJackButton = kScrewSetting + action::kJackStop,
  kScrewTurns = kScrewSetting + action::kScrewCount,
  kScrewLeft = kScrewTurns + action::kScrewCount,
  kKeyHeightChange = kScrewLeft + action::kScrewCount,
  kLeadMass,
  kLeadDistance,
  kFrontWeightWithLead,
  kQuantityCount,
  kOwnCount = kScrewTurns  // those of one set-up by itself
};

// What has to be there before a quantity can be read.
enum class Needs { kRegulated, kWeighed, kWholeStroke, kBase };

struct Quantity : MeasureInfo {
  const char* group;     // "measure", "regulation", "weighing", "bench", "lead", "screw"
  const char* also;      // an older key that is still understood; "" none
  const char* label;     // where there is little room, with its unit where it stands alone
  const char* how_read;  // one line
  Needs needs;
  double low, high;    // outside of it no answer, SI
  const char* absent;  // why, where it is NaN though all that it needs is there
  double (*value)(const SetUpResult&);
};
extern const std::array<Quantity, kQuantityCount> kQuantities;

// By key, older key or name ("capstan_friction", "friction from capstan on heel"); kQuantityCount when there
// is none.
std::size_t find_quantity(const std::string& key_or_name);

struct Reading {
  double value = 0;        // SI; NaN: absent
  std::string why_absent;  // "" where there is a value
};
Reading read_quantity(const Quantity& quantity, const SetUpResult& set_up);

using QuantityValues = std::array<double, kQuantityCount>;  // SI; NaN: absent
QuantityValues read_quantities(const SetUpResult& set_up);
Measures read_measures(const SetUpResult& set_up);

// Front weight after the lead that restores the base's balance weight [N].
double front_weight_with_lead(const SetUpResult& set_up);

}  // namespace leverwright::study
