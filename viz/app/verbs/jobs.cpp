// jobs: what was predicted and what was found, over all jobs of a folder.
#include "viz/app/verb_run.h"
#include "viz/table/jobs_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string folder;
};

int jobs(const Request& request, VerbRun& run) {
  const auto records = table::read_jobs(request.folder);
  run.open();
  run.write(table::jobs_document(records));
  return run.end();
}

}  // namespace

void add_jobs(App& app) {
  Verb& verb = app.add("jobs", "Show over all jobs of a folder how often the predictions held.",
                       {"jobs cases/after_the_work/jobs"});
  Request& r = verb.request(jobs);
  verb.add("FOLDER", "FOLDER",
           "Folder with the records that afterwards --json wrote; folders below it count.", &r.folder)
      .needed()
      .read();
  verb.add_all("Show every reading.");
  verb.add_json();
  verb.add_csv("a line for each reading");
}

}  // namespace leverwright::app
