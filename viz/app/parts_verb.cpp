#include "models/case/read_case.h"
#include "sim/base/error.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/parts_table.h"

namespace leverwright::app {

int run_parts(const PartsOrder& order, const Terminal& terminal) {
  const auto d = case_file::read_case(order.case_path);
  study::PartsRequest request{order.slot, order.part_a,    order.part_b, study::kBalanceWeight,
                              {},         order.repetition};
  if (!order.by.empty()) request.ranked_by = study::find_trial_number(order.by);
  if (request.ranked_by >= study::kTrialNumberCount) {
    std::string all;
    for (const auto& info : study::kTrialNumbers) all += (all.empty() ? "" : ", ") + std::string(info.key);
    throw base::UserError(
        {base::Problem{"", 0, "", "there is no number \"" + order.by + "\"", "one of " + all, ""}});
  }
  check_number_files(order.json, order.csv);
  catch_interrupts();
  Progress progress(terminal);
  request.progress = [&](double share) {
    progress.report("parts", "one dimension after the other", share);
    return !interrupted();
  };
  const auto c = study::compare_parts(d, request);
  progress.clear();
  if (order.csv != "-" && order.json != "-") write_result(table::write_parts(c, terminal.look));
  std::vector<std::string> written;
  if (!order.csv.empty()) write_text_file(order.csv, table::write_parts_csv(c));
  if (!order.json.empty()) write_text_file(order.json, table::write_parts_json(c));
  for (const auto& path : {order.csv, order.json})
    if (!path.empty() && path != "-") written.push_back(path);
  if (!written.empty()) say_written(written, terminal);
  return c.whole ? kDone : kStopped;
}

}  // namespace leverwright::app
