// seek: amounts that meet a target.
#include "models/search/seek.h"

#include "viz/app/conditioned.h"
#include "viz/app/searches.h"
#include "viz/app/verb_run.h"
#include "viz/table/seek_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, name;  // name "": all
  bool prior_only = false;
};

int seek(const Request& r, VerbRun& run) {
  const auto d = read_conditioned(r.case_path, r.prior_only, run.terminal());
  const auto wanted = find_searches(d, r.name);
  run.open();
  std::vector<search::SeekResult> results;
  bool whole = true;
  for (const auto& one : wanted) {
    if (run.stop_asked()) {
      whole = false;
      break;
    }
    search::SeekOptions options;
    options.progress = run.reporter(one.name, one.name);
    results.push_back(search::seek(d, one, options));
    run.clear_progress();
    whole = whole && results.back().whole;
  }
  run.write(table::seek_document(d, results));
  return run.end(whole ? "" : "what was found is kept.");
}

}  // namespace

void add_seek(App& app) {
  Verb& verb = app.add("seek", "Find the amount of one or two changes that meets a target.",
                       {"seek cases/sought_heel/case.toml \"least slide friction\""});
  Request& r = verb.request(seek);
  verb.add_case(r.case_path);
  verb.add("NAME", "NAME", "Which [[seek]] of the case.", &r.name, "all");
  verb.add_prior_only(r.prior_only);
  verb.add_all("Show also the numbers before and after, and how each amount was sought.");
  verb.add_csv();
  verb.add_json();
}

}  // namespace leverwright::app
