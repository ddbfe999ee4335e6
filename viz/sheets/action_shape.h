// An action straight from the model as shapes to draw. A bench sheet is printed before there is a study, so
// there is no results file to draw from; outlines and features are those a study would store.
#pragma once
#include <string>

#include "models/action/action.h"
#include "models/action/regulate.h"
#include "viz/scene/action_scene.h"

namespace leverwright::sheets {

// As it stands with these coordinates, name for the set-up.
scene::SetUpMoment find_moment(const action::Action& action, const planar::VecQ& q, const std::string& name);

// For paper that is written on: wood white, cloth and leather light, metal a little darker.
void make_pale(scene::ActionShape* shape);

// A point of a body (action::BodyIndex) in W, mm.
scene::Point on_body(const scene::SetUpMoment& moment, const std::string& body, const base::Vec2& point);

}  // namespace leverwright::sheets
