// Sensitivity to misadjustment of one set-up in the results file, table /set_ups/NN/misadjustment
// (sim/store/FORMAT.md).
#pragma once
#include <string>

#include "models/study/misadjust.h"
#include "sim/store/study_writer.h"

namespace leverwright::study {

void write_misadjustment(store::StudyWriter& writer, const std::string& at, const Misadjustment& result);

}  // namespace leverwright::study
