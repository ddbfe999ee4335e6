// The verb repeat.
#pragma once
#include <string>

#include "models/study/repetition.h"
#include "viz/app/terminal.h"

namespace leverwright::app {

struct RepeatRequest {
  std::string case_path, set_up, out;  // set_up "": all; out "": nothing stored, no picture
  std::string json, csv;               // "": none; "-": standard output in place of the table
  bool pictures = true;
  study::RepetitionOptions options;
};
int run_repeat(const RepeatRequest& request, const Terminal& terminal);

}  // namespace leverwright::app
