// One set-up tried by the SetUpSolver, check and spring left as they are, and its numbers alone kept: for
// work that asks hundreds of them. What is not regulated or jams is no number: it is excluded, with the
// reason.
#pragma once
#include <array>
#include <string>
#include <vector>

#include "models/study/set_up_solver.h"

namespace leverwright::study {

// The measures of a comparison and, after them, what only the bench sees.
enum TrialNumber : std::size_t {
  kLineDistance = kMeasureCount,  // contact above the line of centres at half stroke
  kFrontWeight,
  kWippenWeight,
  kJackButton,     // setting of the jack's screw against the drawing
  kJackDepth,      // jack clear of the knuckle's core at full dip
  kCapstanScrew,   // height of the capstan against the drawing
  kKeyHeight,      // playing point at rest, against the drawing
  kCapEdgeMargin,  // least distance of the contact from the end of the cap's dome
  kFaceMargin,     // least distance of the contact from the ends of the lifting face
  kTrialNumberCount
};
extern const std::array<MeasureInfo, kTrialNumberCount> kTrialNumbers;

// By key or name ("capstan_friction", "friction from capstan on heel"); the count when there is none.
std::size_t find_trial_number(const std::string& key_or_name);

using TrialNumbers = std::array<double, kTrialNumberCount>;  // SI; NaN where it does not exist

struct Trial {
  bool ok = false;
  std::string why;  // not ok: what fails, in words
  TrialNumbers numbers{};
  action::Regulated regulated;
  action::ActionDesign design;
};

// From `start` (null: the base's screws), weighed over the whole stroke as a comparison does, so the
// numbers are the same but for check and spring.
Trial try_set_up(const SetUpSolver& solver, const case_file::CaseDescription& description,
                 const case_file::SetUp& set_up, const action::ScrewSettings* start = nullptr);

}  // namespace leverwright::study
