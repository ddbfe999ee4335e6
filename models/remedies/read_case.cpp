#include "models/remedies/read_case.h"

#include "models/remedies/all.h"

namespace leverwright::remedies {

case_file::CaseDescription read_case(const std::string& path, const std::string& models_directory) {
  return case_file::read_case(path, all(), models_directory);
}

}  // namespace leverwright::remedies
