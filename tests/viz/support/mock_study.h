// Invented curves for the figures, with the shapes real ones have; no physics.
#pragma once
#include "viz/study_file/curves.h"

namespace leverwright::mock {

study_file::StudyFigures invented_study();

}  // namespace leverwright::mock
