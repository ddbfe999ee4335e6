// States at rest from which motion can start.
#pragma once
#include <vector>

#include "sim/run/statics.h"

namespace leverwright::run {

// At rest with the memories of a quasi-static path that carried friction and hysteresis.
std::vector<double> start_state(const planar::Mechanism& model, const StaticState& state);

// At rest in a frictionless equilibrium: every cloth half way between loading and unloading (d0 = d, so its
// force is the backbone's), no bristle bent, each pivot's lagged reaction at the joint's present force.
// Nothing moves then.
std::vector<double> neutral_start_state(const planar::Mechanism& model, const planar::VecQ& q);

}  // namespace leverwright::run
