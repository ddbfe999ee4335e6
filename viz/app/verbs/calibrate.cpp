// calibrate: frictions and cloth constants found from readings on sample notes.
#include "models/calibrate/calibrate.h"

#include "models/remedies/read_case.h"
#include "viz/app/measurements.h"
#include "viz/table/calibrate_table.h"

namespace leverwright::app {

namespace {

int calibrate_case(const MeasurementsRequest& request, VerbRun& run) {
  const auto d = remedies::read_case(request.case_path);
  auto rows = calibrate::read_measurements(request.measurements_path, d);
  run.open();
  try {
    const auto c = calibrate::calibrate(d, std::move(rows), [&](const calibrate::Doing& doing) {
      return run.report("notes", doing.what, doing.share);
    });
    const table::Document answer = table::calibration_document(d, c);
    run.write([&] { return table::write_terminal(answer, run.look(), run.outputs().all); },
              [&] { return table::write_calibration_json(d, c); });
    run.draw([&] {
      std::vector<figures::BenchReading> readings;
      for (std::size_t j = 0; j < c.data.size(); ++j)
        readings.push_back(bench_reading(d, c.rows[c.data[j].row], c.data[j].reading,
                                         c.fitted[static_cast<Eigen::Index>(j)], 0));
      return figures::draw_residuals(readings, run.folder());
    });
    return run.end(c.stopped ? "what was found is shown." : "");
  } catch (const calibrate::Stopped&) {
    return run.end_with_nothing("the answer was there");
  }
}

}  // namespace

void add_calibrate(App& app) {
  Verb& verb = app.add("calibrate", "Find frictions and cloth constants from readings on sample notes.",
                       {"calibrate cases/calibrate_sample_notes/case.toml "
                        "cases/calibrate_sample_notes/measurements.csv"});
  add_measurements(verb, verb.request(calibrate_case));
  verb.add_all("Show also what cannot be told, and the readings one by one.");
}

}  // namespace leverwright::app
