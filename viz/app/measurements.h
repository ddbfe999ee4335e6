// What calibrate and afterwards have in common: a case and readings on sample notes.
#pragma once
#include <string>
#include <vector>

#include "models/calibrate/measurements.h"
#include "viz/app/verb_run.h"
#include "viz/figures/bench_figures.h"

namespace leverwright::app {

struct MeasurementsRequest {
  std::string case_path, measurements_path;
};

void add_measurements(Verb& verb, MeasurementsRequest& request);

// A reading beside what the model says, as it is drawn.
figures::BenchReading bench_reading(const case_file::CaseDescription& description,
                                    const calibrate::NoteRow& row, const calibrate::Reading& reading,
                                    double predicted, double predicted_sigma);

}  // namespace leverwright::app
