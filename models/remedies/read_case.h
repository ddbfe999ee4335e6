// Reads a case that may name every remedy there is (models/case_file/read_case.h has what is read and how).
#pragma once
#include "models/case_file/read_case.h"

namespace leverwright::remedies {

case_file::CaseDescription read_case(const std::string& path, const std::string& models_directory = "");
case_file::CaseDescription read_case_text(const std::string& text, const std::string& path);

}  // namespace leverwright::remedies
