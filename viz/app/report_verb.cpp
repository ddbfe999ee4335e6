// report: one HTML file about a study.
#include <fmt/format.h>

#include <filesystem>

#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/report/report.h"
#endif

namespace leverwright::app {

#ifdef LEVERWRIGHT_HAS_PICTURES
int run_report(const ReportWords& w, const Terminal& terminal) {
  report::Options options;
  options.audience = w.audience == "customer"   ? report::Audience::kCustomer
                     : w.audience == "training" ? report::Audience::kTraining
                                                : report::Audience::kWorkshop;
  options.film = w.film;
  if (!w.film.empty()) base::note_input(w.film);
  options.with_film = !w.no_film;
  std::string path = w.out;
  if (path.empty())
    path = (std::filesystem::path(w.study_path).parent_path() / ("report_" + w.audience + ".html")).string();
  need_sound_study(w.study_path);
  static_cast<void>(report::read_content(w.study_path));  // no study: refused before a folder is made
  const std::string folder = std::filesystem::path(path).parent_path().string();
  const OutputFolder made(folder.empty() ? "." : folder);
  catch_interrupts();
  Progress progress(terminal);
  options.progress = [&](const std::string& doing, double share) {
    progress.report("report", doing, share);
    return !interrupted();
  };
  const report::Written written = report::write_report(w.study_path, path, options);
  progress.clear();
  if (written.stopped) {
    say(terminal, "Stopped; no report was written.");
    return kStopped;
  }
  say(terminal, fmt::format("For {}, {:.1f} MB, with {}", w.audience,
                            1e-6 * static_cast<double>(written.bytes), written.film));
  say_written({written.path}, terminal);
  return kDone;
}
#else
int run_report(const ReportWords& w, const Terminal&) {
  throw base::UserError("this program was built without pictures, so there is no report of " + w.study_path,
                        "build with LEVERWRIGHT_VIZ=ON");
}
#endif

}  // namespace leverwright::app
