// bands: one action against the ranges regulated grands fall in.
#include "viz/table/bands.h"

#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "viz/app/band_values.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;
  bool uncertainty = false;
};

int bands(const Request& request, VerbRun& run) {
  const auto d = remedies::read_case(request.case_path);
  const auto bands = table::read_bands(case_file::default_models_directory() + "/handbook/bands.csv");
  run.open();
  const auto s = solve_one(d, request.set_up, study::known_touches(), run.terminal());
  auto values = find_all_band_values(d, request.set_up, s, bands, run);
  if (run.stop_asked()) return run.end_with_nothing();
  if (request.uncertainty)  // what is there is shown without it when stopped
    put_uncertainty(d, request.set_up, values, run.reporter("uncertainty", "uncertainty"));
  const table::Document answer = table::bands_document(
      d.title + ", \"" + s.name + "\", against ranges of regulated grands", bands, values);
  run.write([&] { return table::write_terminal(answer, run.look(), run.outputs().all); }, {},
            [&] { return table::write_bands_csv(bands, values); });
  return run.end(run.stop_asked() ? "the uncertainties are left out." : "");
}

}  // namespace

void add_bands(App& app) {
  Verb& verb = app.add("bands", "Hold one action against the ranges regulated grands fall in.",
                       {"bands cases/missed_heel/case.toml"});
  Request& r = verb.request(bands);
  verb.add_case(r.case_path);
  verb.add_set_up(r.set_up, "the base");
  verb.add_all("Show every row with its range and source.");
  verb.add_csv("the table");
  verb.add_flag("--uncertainty", "Carry the measurements' uncertainty through the strokes (some minutes).",
                &r.uncertainty);
}

}  // namespace leverwright::app
