// report: one HTML file about a study.
#include "viz/report/report.h"

#include <fmt/format.h>

#include <filesystem>

#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/chart/draw_chart.h"
#include "viz/study_file/stored_study.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string study_path, out, audience = "workshop", film;
  bool with_film = true;
};

int write_report(const Request& r, VerbRun& run) {
  report::Options options;
  options.audience = r.audience == "customer"   ? report::Audience::kCustomer
                     : r.audience == "training" ? report::Audience::kTraining
                                                : report::Audience::kWorkshop;
  options.film = r.film;
  options.with_film = r.with_film;
  std::string path = r.out;
  if (path.empty())
    path = (std::filesystem::path(r.study_path).parent_path() / ("report_" + r.audience + ".html")).string();
  need_sound_study(r.study_path);
  chart::need_tools();
  study_file::StoredStudy(r.study_path)
      .need_finished("to report");  // no study: refused before a folder is made
  const std::string folder = std::filesystem::path(path).parent_path().string();
  const OutputFolder made(folder.empty() ? "." : folder);
  run.open();
  options.progress = [&](const std::string& doing, double share) {
    return run.report("report", doing, share);
  };
  const report::Written written = report::write_report(r.study_path, path, options);
  run.clear_progress();
  if (written.stopped) return run.end_with_nothing("the report was written");
  run.say(fmt::format("For {}, {:.1f} MB, with {}", r.audience, 1e-6 * static_cast<double>(written.bytes),
                      written.film));
  run.keep(written.path);
  return run.end();
}

}  // namespace

void add_report(App& app) {
  Verb& verb = app.add("report", "Write one HTML file about a study, to open offline, print or send.",
                       {"report out/missed_heel/missed_heel.h5 --for customer",
                        "report study.h5 -o report.html --for training --film clip.mp4"});
  Request& r = verb.request(write_report);
  verb.add_study(r.study_path);
  verb.add("-o,--out", "FILE", "Write this file.", &r.out, "report_AUDIENCE.html beside the study");
  verb.add("--for", "AUDIENCE", "Write it for these readers.", &r.audience, "workshop")
      .one_of({"customer", "training", "workshop"});
  verb.add("--film", "FILE", "Put in this film, made with leverwright film.", &r.film).read();
  verb.add_off("--no-film", "Leave out the film.", &r.with_film);
}

}  // namespace leverwright::app
