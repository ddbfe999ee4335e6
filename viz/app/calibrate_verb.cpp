#include "viz/app/calibrate_verb.h"

#include <memory>

#include "models/calibrate/afterwards.h"
#include "models/case/read_case.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/calibrate_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/bench_figures.h"
#endif

namespace leverwright::app {

namespace {

// Both verbs: read, work, table, JSON, picture. Nothing is written when it is stopped before the answer is
// there.
template <class Work, class Text, class Machine, class Draw>
int run_on_measurements(const MeasurementsRequest& request, const Terminal& terminal, const Work& work,
                        const Text& text, const Machine& machine, const Draw& draw) {
  const auto d = case_file::read_case(request.case_path);
  auto rows = calibrate::read_measurements(request.measurements_path, d);
  check_writable(request.json, request.out);
  std::unique_ptr<OutputFolder> folder;
  if (!request.out.empty()) check_drawing_tools();
  if (!request.out.empty()) folder = std::make_unique<OutputFolder>(request.out);
  catch_interrupts();
  Progress progress(terminal);
  try {
    const auto result = work(d, std::move(rows), [&](const calibrate::Doing& doing) {
      progress.report("notes", doing.what, doing.share);
      return !interrupted();
    });
    progress.clear();
    if (request.json != "-") write_result(text(d, result, terminal.look));
    std::vector<std::string> written;
    if (!request.json.empty()) write_text_file(request.json, machine(d, result));
    if (!request.json.empty() && request.json != "-") written.push_back(request.json);
    if (folder) {
      const auto files = draw(d, result, folder->path());
      written.insert(written.end(), files.begin(), files.end());
    }
    if (!written.empty()) say_written(written, terminal);
    return result.stopped ? kStopped : kDone;
  } catch (const calibrate::Stopped&) {
    progress.clear();
    say(terminal, "Stopped before the answer was there: nothing is left.");
    return kStopped;
  }
}

}  // namespace

int run_calibrate(const MeasurementsRequest& request, const Terminal& terminal) {
  using calibrate::Calibration;
  return run_on_measurements(
      request, terminal,
      [](const auto& d, auto rows, const auto& tell) {
        return calibrate::calibrate(d, std::move(rows), tell);
      },
      [](const auto& d, const Calibration& c, const table::Look& look) {
        return table::write_calibration(d, c, look);
      },
      [](const auto& d, const Calibration& c) { return table::write_calibration_json(d, c); },
      []([[maybe_unused]] const auto& d, [[maybe_unused]] const Calibration& c,
         [[maybe_unused]] const std::string& folder) -> std::vector<std::string> {
#ifdef LEVERWRIGHT_HAS_PICTURES
        std::vector<figures::BenchReading> readings;
        for (std::size_t j = 0; j < c.data.size(); ++j) {
          const auto& datum = c.data[j];
          const auto& info = calibrate::info_of(datum.reading.kind);
          readings.push_back({c.rows[datum.row].note + ", " + d.set_ups[c.rows[datum.row].set_up].name,
                              info.name, info.display_unit, datum.reading.value * info.display_factor,
                              datum.reading.sigma * info.display_factor,
                              c.fitted[static_cast<Eigen::Index>(j)] * info.display_factor, 0});
        }
        return figures::draw_residuals(readings, folder);
#else
        return {};
#endif
      });
}

int run_afterwards(const MeasurementsRequest& request, const Terminal& terminal) {
  using calibrate::Afterwards;
  return run_on_measurements(
      request, terminal,
      [](const auto& d, auto rows, const auto& tell) {
        return calibrate::check_afterwards(d, std::move(rows), tell);
      },
      [](const auto& d, const Afterwards& a, const table::Look& look) {
        return table::write_afterwards(d, a, look);
      },
      [](const auto& d, const Afterwards& a) { return table::write_afterwards_json(d, a); },
      []([[maybe_unused]] const auto& d, [[maybe_unused]] const Afterwards& a,
         [[maybe_unused]] const std::string& folder) -> std::vector<std::string> {
#ifdef LEVERWRIGHT_HAS_PICTURES
        std::vector<figures::BenchReading> readings;
        for (const auto& c : a.checked) {
          const auto& info = calibrate::info_of(c.reading.kind);
          readings.push_back({a.rows[c.row].note + ", " + d.set_ups[a.rows[c.row].set_up].name, info.name,
                              info.display_unit, c.reading.value * info.display_factor,
                              c.reading.sigma * info.display_factor, c.predicted * info.display_factor,
                              c.sigma * info.display_factor});
        }
        return figures::draw_predicted_measured(readings, folder);
#else
        return {};
#endif
      });
}

}  // namespace leverwright::app
