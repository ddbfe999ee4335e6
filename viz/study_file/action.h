// Outlines and positions of the set-ups of a study, for drawings.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/action_scene.h"
#include "viz/study_file/stored_study.h"

namespace leverwright::study_file {

struct ActionPictures {                                  // one entry for each set-up, the base first
  std::vector<std::vector<scene::SetUpMoment>> moments;  // [moment][set-up]: rest, half stroke, let-off
};

// Adds the set-up to each moment that it holds.
void add_moments(const StoredStudy& study, const SetUp& set_up, ActionPictures* out);

}  // namespace leverwright::study_file
