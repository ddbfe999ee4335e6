// The action as a plate of a book: one set-up at one moment, every part named in columns beside it, no forces.
#pragma once
#include <string>

#include "viz/scene/action_scene.h"

namespace leverwright::scene {

Scene build_plate(const ActionShape& shape, const ActionMoment& moment, const std::string& title);

}  // namespace leverwright::scene
