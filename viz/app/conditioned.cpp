#include "viz/app/conditioned.h"

#include "models/calibrate/as_found.h"
#include "models/remedies/read_case.h"
#include "viz/app/progress.h"

namespace leverwright::app {

case_file::CaseDescription read_conditioned(const std::string& case_path, bool prior_only,
                                            const Terminal& terminal) {
  const auto d = remedies::read_case(case_path);
  Progress progress(terminal);
  progress.report("as found", "readings as found", 0);
  calibrate::ConditionOptions options;
  options.prior_only = prior_only;
  return calibrate::condition_case(d, options).description;
}

}  // namespace leverwright::app
