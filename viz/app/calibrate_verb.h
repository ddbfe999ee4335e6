// calibrate and afterwards: sample-note measurements against the model.
#pragma once
#include <string>

#include "viz/app/terminal.h"

namespace leverwright::app {

struct MeasurementsRequest {
  std::string case_path, measurements_path, out,
      json;  // out "": no picture; json "": none, "-": standard output
};
int run_calibrate(const MeasurementsRequest& request, const Terminal& terminal);
int run_afterwards(const MeasurementsRequest& request, const Terminal& terminal);

}  // namespace leverwright::app
