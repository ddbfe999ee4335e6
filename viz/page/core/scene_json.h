// A scene as the page draws it: the same list of plain shapes as every picture, each with its role in place of a
// colour, which the page chooses for light and dark.
#pragma once
#include <nlohmann/json.hpp>

#include "viz/scene/shape.h"

namespace leverwright::page {

using Json = nlohmann::ordered_json;

const char* word_of(scene::Role role);  // "key_wood"
Json to_json(const std::vector<scene::Shape>& shapes);
Json to_json(const scene::Scene& scene);
// The words of parts where there is room for them on paper of this width [mm]: text, place of its baseline, what it
// names; in mm of the action.
Json placed_words(const scene::Scene& scene, double paper_width);

}  // namespace leverwright::page
