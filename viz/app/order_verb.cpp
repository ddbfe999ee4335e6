// order: the work order for a set-up of a case.
#include "models/bench/order.h"
#include "models/case/read_case.h"
#include "models/case/schema.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/app/bench_verbs.h"
#include "viz/app/conditioned.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/order_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/bench/pages.h"
#endif

namespace leverwright::app {

int run_order(const OrderRequest& request, const Terminal& terminal) {
  const auto whole = read_conditioned(request.case_path, request.prior_only, terminal);
  const std::size_t index = find_set_up(whole, request.set_up);
  if (index == 0)
    throw base::UserError(
        {{whole.path, whole.set_ups.front().place.line, whole.set_ups.front().place.line_text,
          "\"" + whole.set_ups.front().name + "\" is the base: there is nothing to do for it",
          "the name of another set-up", "leverwright compare shows what each would do"}});
  const auto d = only_set_up(whole, index);
  bench::OrderOptions options;
  // Friction comes first: an order for anything else is judged beside the set-up that eases friction alone.
  for (std::size_t k = 1; k < whole.set_ups.size(); ++k)
    if (k != index && case_file::eases_friction_only(whole.set_ups[k]))
      options.beside.push_back(whole.set_ups[k]);
  options.allowed.down_weight = request.weight * base::kGramForce;
  options.allowed.friction = request.friction * base::kGramForce;
  options.allowed.length = request.length * 1e-3;
  if (!request.notes.empty()) {
    // Lines of other set-ups are not before this work.
    for (auto& row : calibrate::read_measurements(request.notes, whole))
      if (row.set_up == 0) options.notes.push_back(row);
    if (options.notes.empty())
      throw base::UserError(
          {{request.notes, 0, "", "no line was measured before the work",
            "lines with the base, \"" + whole.set_ups.front().name + "\", under set_up", ""}});
  }
  check_writable(request.json, request.out);
  const OutputFolder folder(request.out.empty() ? "out/" + case_name(request.case_path) : request.out);
  const std::string stem = folder.file("order_" + file_word(d.set_ups[1].name));
  check_new_files({stem + ".html", stem + "_after.csv"});
  catch_interrupts();
  Progress progress(terminal);
  options.progress = [&](const std::string& doing, double share) {
    progress.report("order", doing, share);
    return !interrupted();
  };
  const bench::WorkOrder order = bench::write_order(d, options);
  progress.clear();
  if (order.stopped) {
    say(terminal, "Stopped before the order was there: nothing is left.");
    return kStopped;
  }
  if (request.json != "-") write_result(table::write_order(d, order, terminal.look));
  std::vector<std::string> written;
#ifdef LEVERWRIGHT_HAS_PICTURES
  written.push_back(stem + ".html");
  write_text_file(written.back(), bench_pages::write_order_page(d, order, request.paper));
#endif
  written.push_back(stem + "_after.csv");
  write_text_file(written.back(), order.after_file);
  if (!request.json.empty()) write_text_file(request.json, table::write_order_json(d, order));
  if (!request.json.empty() && request.json != "-") written.push_back(request.json);
  say_written(written, terminal);
  return kDone;
}

}  // namespace leverwright::app
