// weigh: one set-up looked at closely, nothing stored.
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/table/weigh_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;
  bool prior_only = false;
};

int weigh(const Request& r, VerbRun& run) {
  const auto d = read_conditioned(r.case_path, r.prior_only, run.terminal());
  const study::SetUpResult s = solve_one(d, r.set_up, {}, run.terminal());
  if (!s.weighing.ok) throw without_answer(d.set_ups[find_set_up(d, r.set_up)], s);
  run.write(table::weighing_document(d, s));
  return run.end();
}

}  // namespace

void add_weigh(App& app) {
  Verb& verb = app.add("weigh", "Weigh one set-up: its weights, where its friction is, where surfaces rub.",
                       {"weigh cases/missed_heel/case.toml --set-up \"capstan relocated\""});
  Request& r = verb.request(weigh);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add_set_up(r.set_up, "the base");
  verb.add_all("Show also where the surfaces rub.");
}

}  // namespace leverwright::app
