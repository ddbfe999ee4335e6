// Pressed touches played on one regulated set-up.
#pragma once
#include <string>
#include <vector>

#include "models/study/compare.h"
#include "viz/app/terminal.h"
#include "viz/table/touch_table.h"

namespace leverwright::app {

// "pp", "p", "mf", "f", "ff": those the case gives a hammer speed for.
std::vector<std::string> known_touches();
std::vector<table::PlayedTouch> play_touches(const case_file::CaseDescription& description,
                                             const study::SetUpResult& set_up,
                                             const std::vector<std::string>& names, const Terminal& terminal);

}  // namespace leverwright::app
