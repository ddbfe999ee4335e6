// calibrate and afterwards as text, and as JSON for other programs (keys in OUTPUT.md).
#pragma once
#include <string>

#include "models/calibrate/afterwards.h"
#include "viz/table/document.h"

namespace leverwright::table {

// Case and calibration have to outlive it.
Document calibration_document(const case_file::CaseDescription& description,
                              const calibrate::Calibration& calibration);
std::string write_calibration_json(const case_file::CaseDescription& description,
                                   const calibrate::Calibration& calibration);
// Lines to put into the case: what was found, with its standard deviation.
std::string write_found_values(const case_file::CaseDescription& description,
                               const calibrate::Calibration& calibration);

std::string write_afterwards(const case_file::CaseDescription& description,
                             const calibrate::Afterwards& afterwards, const Look& look);
std::string write_afterwards_json(const case_file::CaseDescription& description,
                                  const calibrate::Afterwards& afterwards);

}  // namespace leverwright::table
