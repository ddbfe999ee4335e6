// What one regulated set-up answers to every range of bands.csv: weighing, touches, strings, extremes and
// repetition.
#pragma once
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "viz/app/verb_run.h"
#include "viz/table/bands.h"

namespace leverwright::app {

std::map<std::string, table::BandValue> find_all_band_values(const case_file::CaseDescription& description,
                                                             const std::string& set_up_name,
                                                             const study::SetUpResult& set_up,
                                                             const std::vector<table::Band>& bands,
                                                             VerbRun& run);

// Standard deviations of what weighing and pressed touches answer, put into `values`; false when it was
// stopped.
bool put_uncertainty(const case_file::CaseDescription& description, const std::string& set_up_name,
                     std::map<std::string, table::BandValue>& values,
                     const std::function<bool(double share)>& progress);

}  // namespace leverwright::app
