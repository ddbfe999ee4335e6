// An invented grand action for pictures and their tests: every number is invented, the motion follows fixed
// ratios (no physics).
#pragma once
#include "viz/scene/action_scene.h"

namespace leverwright::mock {

struct Variation {
  double capstan_shift = 0;  // m towards the strings
  double capstan_lean = 0;   // rad
  double build_up = 0;       // m of strip under the heel cloth
};

scene::ActionShape invented_action(const Variation& variation = {});
scene::ActionMoment invented_moment(double dip, const std::string& name, const Variation& variation = {});

}  // namespace leverwright::mock
