// order: the work order for a set-up of a case.
#include "models/workshop/order.h"

#include "models/case_file/read_case.h"
#include "models/case_file/remedy.h"
#include "models/study/friction_first.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "viz/app/conditioned.h"
#include "viz/app/has_pictures.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/sheets/pages.h"
#include "viz/table/order_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;
  std::string notes;  // measurements file of the sample notes before the work; "": none
  std::string paper = "A4";
  double weight = 1, friction = 0.5, length = 0.1;  // gf, gf, mm: what one amount may move
  bool prior_only = false;                          // readings as found are compared, not leaned on
};

int order(const Request& request, VerbRun& run) {
  const auto whole =
      study::with_friction_first(read_conditioned(request.case_path, request.prior_only, run.terminal()));
  const std::size_t index = find_set_up(whole, request.set_up);
  if (index == 0)
    throw base::UserError(
        {{whole.path, whole.set_ups.front().place.line, whole.set_ups.front().place.line_text,
          "\"" + whole.set_ups.front().name + "\" is the base: there is nothing to do for it",
          "the name of another set-up", "leverwright compare shows what each would do"}});
  const auto d = only_set_up(whole, index);
  workshop::OrderOptions options;
  // Whether it is advised is asked beside all that the case knows to do, as compare asks.
  for (std::size_t k = 1; k < whole.set_ups.size(); ++k)
    if (k != index) options.beside.push_back(whole.set_ups[k]);
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
  run.open("out/" + case_name(request.case_path));
  const std::string stem = run.file("order_" + file_word(d.set_ups[1].name));
  check_new_files({stem + ".html", stem + "_after.csv"});
  options.progress = [&](const std::string& doing, double share) {
    return run.report("order", doing, share);
  };
  const workshop::WorkOrder order = workshop::write_order(d, options);
  if (order.stopped) return run.end_with_nothing("the order was there");
  if (has_pictures()) {
    write_text_file(stem + ".html", sheets::write_order_page(d, order, request.paper));
    run.keep(stem + ".html");
  }
  write_text_file(stem + "_after.csv", order.after_file);
  run.keep(stem + "_after.csv");
  const table::Document answer = table::order_document(d, order);
  run.write([&] { return table::write_terminal(answer, run.look(), run.outputs().all); },
            [&] { return table::write_order_json(d, order); });
  return run.end();
}

}  // namespace

void add_order(App& app) {
  Verb& verb = app.add(
      "order",
      "Write the work order for one set-up: marks, tolerances, steps, what must be found, when to stop.",
      {"order cases/work_order/case.toml \"capstan relocated\" --notes cases/work_order/before.csv"});
  Request& r = verb.request(order);
  verb.add_case(r.case_path);
  verb.add("SET-UP", "SET-UP", "Name of the set-up to carry out.", &r.set_up).needed();
  verb.add_prior_only(r.prior_only);
  verb.add("--notes", "FILE", "Read sample notes measured before the work (.csv, as for calibrate).",
           &r.notes)
      .read();
  verb.add_out("Write into FOLDER.", "out/NAME OF THE CASE");
  verb.add("--paper", "FORM", "Print on this paper.", &r.paper, "A4").one_of({"A4", "Letter"});
  verb.add("--weight", "GF", "Let a tolerance move the down weight by so much.", &r.weight, "1")
      .between(0.1, 10);
  verb.add("--friction", "GF", "Let it move the friction by so much.", &r.friction, "0.5").between(0.05, 10);
  verb.add("--length", "MM", "Let it move aftertouch or dip by so much.", &r.length, "0.1").between(0.02, 2);
  verb.add_all("Show every step, as the printed page has them.");
  verb.add_json();
}

}  // namespace leverwright::app
