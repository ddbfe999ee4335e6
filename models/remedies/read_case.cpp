#include "models/remedies/read_case.h"

#include "models/remedies/all.h"

namespace leverwright::remedies {

case_file::CaseDescription read_case(const std::string& path, const std::string& models_directory) {
  return case_file::read_case(path, all(), models_directory);
}

case_file::CaseDescription read_case_text(const std::string& text, const std::string& path) {
  return case_file::read_case_text(text, path, all());
}

}  // namespace leverwright::remedies
