// One stored stroke over time, for films and exports.
#pragma once
#include <string>
#include <vector>

#include "viz/scene/motion.h"
#include "viz/study_file/stored_study.h"

namespace leverwright::study_file {

struct StoredStroke {
  std::string set_up, kind;  // kind: how it was played, as in the results file ("pressed", "repeated", ...)
  std::string label;         // what the picture calls the set-up: with a mark where it cannot be undone
  scene::ActionMotion motion;
  std::vector<double> key_dip, finger_force;         // m, N
  std::vector<double> capstan_slide, knuckle_slide;  // m slid since the start, towards the strings positive
  std::vector<Event> events;                         // those that happened
};

// UserError: no such set-up or stroke (with the names there are), or no stroke series at all.
StoredStroke read_stroke(const StoredStudy& study, const std::string& set_up, const std::string& stroke);

// The strokes with a motion that every finished set-up has.
std::vector<std::string> common_strokes(const StoredStudy& study);

}  // namespace leverwright::study_file
