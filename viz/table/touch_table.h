// Touches played on one set-up: what happens when, in words and milliseconds.
#pragma once
#include <string>
#include <vector>

#include "models/study/compare.h"
#include "viz/table/text.h"

namespace leverwright::table {

using study::PlayedTouch;

// "reaches the string, is caught, resets"; faults by name.
std::string stroke_words(const PlayedTouch& touch);

// What compare plays on every set-up, and which of them its table shows when not asked for all.
inline const std::vector<std::string> kComparedTouches = {"p", "mf", "f"};
inline const std::string kShownTouch = "mf";

// One block for each touch that was played: its measures, set-ups across, with the change against the base.
// "" when none was played.
std::string write_compared_touches(const study::Comparison& comparison, const Look& look, bool all);

// Every number, event and fault of these touches.
std::string write_touches_csv(const std::string& set_up, const std::vector<PlayedTouch>& touches);
std::string write_touches_json(const std::string& set_up, const std::vector<PlayedTouch>& touches);

std::string write_touches(const std::string& set_up, const std::vector<PlayedTouch>& touches,
                          const Look& look);

}  // namespace leverwright::table
