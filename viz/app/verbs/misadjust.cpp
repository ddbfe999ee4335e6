// misadjust: what each regulation setting does when it is a little off.
#include <fmt/format.h>

#include <algorithm>

#include "models/playing/write_misadjust.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/figures/study_charts.h"
#include "viz/table/misadjust_table.h"
#include "viz/table/notes.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;
  std::vector<double> amounts;  // mm; empty: 0.1 to 0.5
  bool repetition = true;
  bool prior_only = false;  // readings as found are compared, not leaned on
};

playing::MisadjustOptions options_of(const Request& request) {
  playing::MisadjustOptions options;
  options.repetition = request.repetition;
  if (request.amounts.empty()) return options;
  options.amounts.clear();
  for (const double mm : request.amounts) {
    if (!(mm > 0 && mm <= 2))
      throw base::UserError({base::Problem{"", 0, "", fmt::format("--amount {:g}", mm),
                                           "a length from 0 to 2 mm; each is tried both ways",
                                           "leverwright misadjust --help"}});
    options.amounts.push_back(mm * 1e-3);
  }
  std::sort(options.amounts.begin(), options.amounts.end());
  options.amounts.erase(std::unique(options.amounts.begin(), options.amounts.end()), options.amounts.end());
  return options;
}

int misadjust(const Request& request, VerbRun& run) {
  playing::MisadjustOptions options = options_of(request);
  const case_file::CaseDescription whole =
      read_conditioned(request.case_path, request.prior_only, run.terminal());
  const case_file::CaseDescription d = only_set_up(whole, find_set_up(whole, request.set_up));
  run.open();
  const study::Comparison c = regulate_set_ups(d, run);
  if (run.stop_asked() || c.set_ups.size() < d.set_ups.size()) return run.end_with_nothing();
  const study::SetUpResult& s = c.set_ups.back();
  if (!s.weighing.ok) throw without_use(request.case_path, s, "weighed");
  bool begun = false;  // the touches are found: now row after row is finished
  options.progress = [&](double share) {
    const bool go_on = run.report(begun ? "misadjustment" : "touches",
                                  (begun ? "settings of " : "touches of ") + s.name, share);
    begun = true;
    return go_on;
  };
  const playing::Misadjustment result = playing::find_misadjustment(d, s, options);
  if (result.rows.empty()) return run.end_with_nothing();
  const std::string reason =
      fmt::format("interrupted by the user after {} of {} rows; not tried: {}", result.rows.size(),
                  result.rows.size() + result.missing.size(), playing::missing_words(result));
  const std::string path =
      run.has_folder() ? run.file(case_name(request.case_path) + "_misadjustment.h5") : "";
  if (run.has_folder()) {
    study::StudyFile file(d, path);
    for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
      file.add(c.set_ups[k]);
      if (k + 1 == c.set_ups.size())
        playing::write_misadjustment(file.writer(), fmt::format("/set_ups/{:02}", k), result);
    }
    if (result.complete)
      file.finish(c.warnings);
    else
      file.stop(reason);
    run.keep(path);
  }
  table::Document answer = table::misadjustment_document(d.path, result, run.outputs().all);
  answer.text([&](const table::Look& look) { return table::write_notes(d, look); });
  run.write(answer);
  run.draw([&] { return figures::draw_misadjustment(path, run.folder()); });
  return run.end(result.complete ? "" : reason + ". What is finished is kept.");
}

}  // namespace

void add_misadjust(App& app) {
  Verb& verb = app.add("misadjust",
                       "Find what each regulation setting does when it is a few tenths of a millimetre off.",
                       {"misadjust cases/missed_heel/case.toml --out out/misadjust",
                        "misadjust my_piano.toml --amount 0.2 --no-repetition --csv settings.csv"});
  Request& r = verb.request(misadjust);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add_set_up(r.set_up, "the base");
  verb.add("--amount", "MM", "Move each setting by so much, both ways; one or more.", &r.amounts,
           "0.1 to 0.5 in tenths");
  verb.add_all("Show every amount in the table, not only the least and the greatest.");
  verb.add_off("--no-repetition", "Leave out the repetition rate (faster).", &r.repetition);
  verb.add_out("Write the results file and the chart into FOLDER.", "none");
  verb.add_pictures("Leave out the chart.");
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app
