// read: what was understood of a case.
#include <fmt/format.h>

#include "models/calibrate/as_found.h"
#include "models/remedies/read_case.h"
#include "models/search/read_seek.h"
#include "viz/app/verb_run.h"
#include "viz/table/case_table.h"
#include "viz/table/notes.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path;
  bool prior_only = false;
};

int read(const Request& request, VerbRun& run) {
  const auto d = remedies::read_case(request.case_path);
  const auto seeks = search::read_seeks(d);
  calibrate::ConditionOptions options;
  options.prior_only = request.prior_only;
  const auto conditioned = calibrate::condition_case(d, options).description;
  table::Document answer = table::case_document(d);
  for (const auto& one : seeks) answer.note(fmt::format("seeks \"{}\": {}", one.name, one.question));
  answer.text([&](const table::Look& look) { return table::write_notes(conditioned, look); });
  run.write(answer);
  return run.end();
}

}  // namespace

void add_read(App& app) {
  Verb& verb = app.add("read", "Check a case file and say what was understood of it.",
                       {"read cases/missed_heel/case.toml"});
  Request& r = verb.request(read);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add_all("Show every value with its source, not the readings at the bench alone.");
}

}  // namespace leverwright::app
