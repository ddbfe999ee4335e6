// The sheet of sample notes: comma-separated, as a spreadsheet writes it.
//
//   # anything after a # is a remark
//   note, key_front_length [mm], strike_weight [gf], down_weight [gf], key_friction [gf], leads
//   C4,   246,                   9.6 +- 0.1,         52,               3,                 14 g at 150 mm; 12
//   g at 90 mm
//
// One line for each note: its number, 1 to 88, or its name. Columns are values of the case with their unit in
// square brackets ("measured.strike_weight"; the short name will do), key_friction, wanted_capstan
// (horizontally from the wippen centre to the cap's middle, towards the player), and leads ("none" when there
// is none; lead by lead "mass at distance" from the balance hole). An empty cell was not measured.
#pragma once
#include <vector>

#include "models/case_file/document.h"
#include "models/keyboard/keyboard_case.h"

namespace leverwright::keyboard {

// Adds columns and samples to `to`; problems to `problems`.
void read_samples(const case_file::CaseDescription& description, const std::string& path, KeyboardCase& to,
                  case_file::ProblemList& problems);

// The law a column follows unless the case says otherwise, and how it is shown.
SampleColumn column_for(const std::string& key, case_file::Dimension dimension);

}  // namespace leverwright::keyboard
