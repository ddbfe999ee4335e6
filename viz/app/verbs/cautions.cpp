// cautions: dangers of the work and limits of the model.
#include "viz/table/cautions.h"

#include "viz/app/verb_run.h"

namespace leverwright::app {

void add_cautions(App& app) {
  Verb& verb = app.add("cautions", "Show the dangers of the work and the limits of the model.", {"cautions"});
  verb.run = [](VerbRun& run) {
    run.write([&] { return table::write_cautions(table::all_cautions(), run.look()); });
    return run.end();
  };
}

}  // namespace leverwright::app
