// One set-up tried by the SetUpSolver, check and spring left as they are, and its numbers alone kept: for
// work that asks hundreds of them. What is not regulated or jams is no number: it is excluded, with the
// reason.
#pragma once
#include <array>
#include <string>
#include <vector>

#include "models/study/quantities.h"
#include "models/study/set_up_solver.h"

namespace leverwright::search {

// The quantities of one set-up by itself: the catalogue without what is told against the base.
inline constexpr std::size_t kTrialNumberCount = study::kOwnCount;
extern const std::array<study::MeasureInfo, kTrialNumberCount> kTrialNumbers;

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

// Where trials begin: the base's screws with back check and repetition spring set by playing, as a comparison
// sets them. base::UserError when the base cannot be regulated.
action::ScrewSettings find_trial_start(const study::SetUpSolver& solver,
                                       const case_file::CaseDescription& description);

// From `start`, weighed over the whole stroke as a comparison does, so the
// numbers are the same but for check and spring.
Trial try_set_up(const study::SetUpSolver& solver, const case_file::CaseDescription& description,
                 const case_file::SetUp& set_up, const action::ScrewSettings& start);

}  // namespace leverwright::search
