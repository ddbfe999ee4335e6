#include <fmt/format.h>

#include "models/calibrate/as_found.h"
#include "models/case/read_case.h"
#include "models/study/read_seek.h"
#include "viz/app/verbs.h"
#include "viz/table/case_table.h"
#include "viz/table/notes.h"

namespace leverwright::app {

int run_read(const std::string& case_path, bool prior_only, const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const auto seeks = study::read_seeks(d);
  std::string out = table::write_case(d, terminal.look);
  for (const auto& one : seeks)
    out += table::wrap(fmt::format("seeks \"{}\": {}", one.name, one.question), terminal.look.width);
  calibrate::ConditionOptions options;
  options.prior_only = prior_only;
  out += table::write_notes(calibrate::condition_case(d, options).description, terminal.look);
  write_result(out);
  return kDone;
}

}  // namespace leverwright::app
