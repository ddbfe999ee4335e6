#include "models/case/read_case.h"
#include "viz/app/verbs.h"
#include "viz/table/case_table.h"

namespace leverwright::app {

int run_read(const std::string& case_path, const Terminal& terminal) {
  write_result(table::write_case(case_file::read_case(case_path), terminal.look));
  return kDone;
}

}  // namespace leverwright::app
