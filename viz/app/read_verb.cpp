#include <fmt/format.h>

#include "models/case/read_case.h"
#include "models/study/read_seek.h"
#include "viz/app/verbs.h"
#include "viz/table/case_table.h"

namespace leverwright::app {

int run_read(const std::string& case_path, const Terminal& terminal) {
  const auto d = case_file::read_case(case_path);
  const auto seeks = study::read_seeks(d);
  std::string out = table::write_case(d, terminal.look);
  for (const auto& one : seeks)
    out += table::wrap(fmt::format("seeks \"{}\": {}", one.name, one.question), terminal.look.width);
  write_result(out);
  return kDone;
}

}  // namespace leverwright::app
