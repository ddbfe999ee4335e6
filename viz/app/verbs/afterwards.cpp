// afterwards: what was measured after the work against what was predicted.
#include "models/calibrate/afterwards.h"

#include "models/remedies/read_case.h"
#include "viz/app/measurements.h"
#include "viz/table/calibrate_table.h"

namespace leverwright::app {

namespace {

int afterwards(const MeasurementsRequest& request, VerbRun& run) {
  const auto d = remedies::read_case(request.case_path);
  auto rows = calibrate::read_measurements(request.measurements_path, d);
  run.open();
  try {
    const auto a = calibrate::check_afterwards(d, std::move(rows), [&](const calibrate::Doing& doing) {
      return run.report("notes", doing.what, doing.share);
    });
    run.write([&] { return table::write_afterwards(d, a, run.look()); },
              [&] { return table::write_afterwards_json(d, a); });
    run.draw([&] {
      std::vector<figures::BenchReading> readings;
      for (const auto& c : a.checked)
        readings.push_back(bench_reading(d, a.rows[c.row], c.reading, c.predicted, c.sigma));
      return figures::draw_predicted_measured(readings, run.folder());
    });
    return run.end(a.stopped ? "what was found is shown." : "");
  } catch (const calibrate::Stopped&) {
    return run.end_with_nothing("the answer was there");
  }
}

}  // namespace

void add_afterwards(App& app) {
  Verb& verb = app.add("afterwards", "Hold what was measured after the work against what was predicted.",
                       {"afterwards cases/after_the_work/case.toml cases/after_the_work/measurements.csv"});
  add_measurements(verb, verb.request(afterwards));
}

}  // namespace leverwright::app
