// The verb keyboard.
#pragma once
#include <string>
#include <vector>

#include "viz/app/terminal.h"

namespace leverwright::app {

struct KeyboardRequest {
  std::string case_path, out;  // out "": nothing stored, no picture
  std::string json, csv;       // "": none; "-": standard output in place of the table
  bool all = false, uncertainty = true, pictures = true;
  std::vector<std::string> note_cases;  // notes to be written as cases of their own, into `out`
  int every = 1;                        // only every so many notes, and the samples
};
int run_keyboard(const KeyboardRequest& request, const Terminal& terminal);

}  // namespace leverwright::app
