// Invented curves for the figures, with the shapes real ones have; no physics.
#pragma once
#include "viz/figures/figure_data.h"

namespace leverwright::mock {

figures::StudyFigures invented_study();

}  // namespace leverwright::mock
