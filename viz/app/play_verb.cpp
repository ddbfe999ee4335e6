#include <algorithm>

#include "models/case/nearest.h"
#include "models/case/read_case.h"
#include "models/study/compare.h"
#include "sim/base/error.h"
#include "viz/app/verbs.h"
#include "viz/table/touch_table.h"

namespace leverwright::app {

int run_play(const std::string& case_path, const std::string& set_up, const std::vector<std::string>& touches,
             const Terminal& terminal) {
  const auto& known = study::known_touches();
  for (const auto& touch : touches)
    if (std::find(known.begin(), known.end(), touch) == known.end())
      throw base::UserError(
          {base::Problem{"", 0, "", "unknown touch \"" + touch + "\"", "pp, p, mf, f or ff", ""}});
  const auto s =
      solve_one(case_file::read_case(case_path), set_up, touches.empty() ? known : touches, terminal);
  if (!s.weighing.ok)
    throw base::UserError("\"" + s.name + "\" cannot be played. " + s.verdict,
                          "see: leverwright regulate " + case_path);
  write_result(table::write_touches(s.name, s.touches, terminal.look));
  return kDone;
}

}  // namespace leverwright::app
