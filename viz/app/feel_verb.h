// The verb feel.
#pragma once
#include <string>

#include "viz/app/terminal.h"

namespace leverwright::app {

struct FeelRequest {
  std::string case_path, set_up, out;  // set_up "": all; out "": no chart
  std::string json, csv;               // "": none; "-": standard output in place of the table
};
int run_feel(const FeelRequest& request, const Terminal& terminal);

}  // namespace leverwright::app
