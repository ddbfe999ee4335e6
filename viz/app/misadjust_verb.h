// The verb misadjust.
#pragma once
#include <string>
#include <vector>

#include "viz/app/terminal.h"

namespace leverwright::app {

struct MisadjustRequest {
  std::string case_path, set_up, out;  // set_up "": the base; out "": nothing stored, no picture
  std::string json, csv;               // "": none; "-": standard output in place of the table
  std::vector<double> amounts;         // mm; empty: 0.1 to 0.5
  bool repetition = true, pictures = true, all = false;
};
int run_misadjust(const MisadjustRequest& request, const Terminal& terminal);

}  // namespace leverwright::app
