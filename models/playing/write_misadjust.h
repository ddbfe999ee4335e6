// Sensitivity to misadjustment of one set-up in the results file, table /set_ups/NN/misadjustment
// (sim/store/FORMAT.md).
#pragma once
#include <string>

#include "models/playing/misadjust.h"
#include "sim/store/study_writer.h"

namespace leverwright::playing {

void write_misadjustment(store::StudyWriter& writer, const std::string& at, const Misadjustment& result);

}  // namespace leverwright::playing
