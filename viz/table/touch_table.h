// Touches played on one set-up: what happens when, in words and milliseconds.
#pragma once
#include <string>
#include <vector>

#include "models/action/touch.h"
#include "viz/table/text.h"

namespace leverwright::table {

struct PlayedTouch {
  std::string name;         // "mf"
  double wanted_speed = 0;  // of the hammer at the string, m/s
  action::FoundTouch found;
  action::StrokeResult stroke;
};

// "reaches the string, is caught, resets"; faults by name.
std::string stroke_words(const PlayedTouch& touch);

std::string write_touches(const std::string& set_up, const std::vector<PlayedTouch>& touches,
                          const Look& look);

}  // namespace leverwright::table
