// An action straight from the model as shapes to draw, for whoever has no results file: a bench sheet printed before
// there is a study, the page whose action follows the hand. Outlines, features and signs are those a study stores
// (models/study/write_study.cpp), so the pictures are the same.
#pragma once
#include <string>

#include "models/action/path_facts.h"
#include "models/action/play.h"
#include "viz/scene/action_scene.h"
#include "viz/scene/motion.h"

namespace leverwright::model_scene {

// As it stands with these coordinates, name for the set-up: shape and poses alone. `named`: with the words that stand
// beside parts in a picture.
scene::SetUpMoment find_moment(const action::Action& action, const planar::VecQ& q, const std::string& name,
                               bool named = false);

// The same at one sample of the slow path, with contacts, forces and the friction in the centres.
scene::SetUpMoment find_slow_moment(const action::Action& action, const run::StaticSample& sample,
                                    const std::string& name);

// Where capstan, jack and lever have been on their mates going down, with the normal force [N].
std::vector<scene::BodyTrace> find_slow_traces(const scene::ActionShape& shape,
                                               const action::PathFacts& facts);

// A stroke as a motion: poses, contacts and forces at any time.
scene::ActionMotion find_motion(const action::Action& action, const planar::VecQ& rest,
                                const action::StrokeSeries& series);

// The place in shape.bodies; 0, the ground, where there is none of this name.
int index_of(const scene::ActionShape& shape, const std::string& body);

}  // namespace leverwright::model_scene
