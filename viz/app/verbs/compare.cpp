// compare: every set-up regulated, weighed, played and compared; stored, tabulated and drawn.
#include "models/study/compare.h"

#include <fmt/format.h>

#include "models/study/friction_first.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/figures/draw_figures.h"
#include "viz/table/compare_table.h"
#include "viz/table/touch_table.h"
#include "viz/table/write_json.h"

namespace leverwright::app {

namespace {

using case_file::CaseDescription;
using study::Comparison;

struct Request {
  std::string case_path;
  bool uncertainty = true, touches = true;
  bool prior_only = false;  // readings as found are compared, not leaned on
  int samples = 0;          // of a Monte Carlo; 0: none
  std::uint64_t seed = 1;
};

Comparison compare_and_keep(const CaseDescription& d, const Request& request, const std::string& study_path,
                            VerbRun& run) {
  study::StudyFile file(d, study_path);
  study::CompareOptions options;
  options.uncertainty = request.uncertainty;
  options.monte_carlo = {request.samples, request.seed};
  if (request.touches) options.touches = table::kComparedTouches;
  std::size_t finished = 0;
  options.finished = [&](const study::SetUpResult& s) {
    if (finished == 0 && !s.weighing.ok) throw without_answer(d.set_ups.front(), s, "the base ");
    file.add(s);
    ++finished;
  };
  options.progress = [&](const study::Progress& p) {
    const bool uncertainty = finished == d.set_ups.size();
    const std::string phase = uncertainty && p.doing == "Monte Carlo" ? "Monte Carlo" : "uncertainty";
    return run.report(
        uncertainty ? phase : "set-ups",
        uncertainty ? phase : fmt::format("{} of {} set-ups done, {}", finished, d.set_ups.size(), p.doing),
        p.share);
  };
  try {
    Comparison c = study::compare(d, options);
    file.discard();  // written again below, now with differences and uncertainties
    return c;
  } catch (const base::UserError&) {
    file.discard();
    throw;
  } catch (const std::exception& e) {
    run.clear_progress();
    if (file.stop(e.what()))
      run.say(fmt::format("The {} set-ups finished before are kept in {}", finished, study_path));
    throw;
  }
}

// Why it is not whole; "" when it is, also where the interrupt came when all was solved.
std::string stopped_because(const CaseDescription& d, const Comparison& c, const Request& r,
                            const VerbRun& run) {
  const bool whole = c.set_ups.size() == d.set_ups.size();
  const bool sampled = !c.monte_carlo || c.monte_carlo->done == c.monte_carlo->asked;
  if (!run.stop_asked() || (whole && sampled && !(r.uncertainty && !table::has_uncertainty(c)))) return "";
  return fmt::format("interrupted by the user after {} of {} set-ups{}", c.set_ups.size(), d.set_ups.size(),
                     !whole                       ? ""
                     : !table::has_uncertainty(c) ? ", before the uncertainties"
                                                  : ", before all draws were done");
}

int compare(const Request& r, VerbRun& run) {
  if (r.samples > 0 && !r.uncertainty)
    throw base::UserError("--monte-carlo draws the uncertainties that --no-uncertainty leaves out",
                          "give one of them only");
  const CaseDescription d =
      study::with_friction_first(read_conditioned(r.case_path, r.prior_only, run.terminal()));
  const std::string name = case_name(r.case_path);
  run.open("out/" + name);
  const std::string study_path = run.file(name + ".h5");

  const Comparison c = compare_and_keep(d, r, study_path, run);
  if (c.set_ups.empty()) return run.end_with_nothing("the first set-up was finished");
  const std::string reason = stopped_because(d, c, r, run);
  study::StudyFile file(d, study_path);
  for (const auto& s : c.set_ups) file.add(s);
  file.write_answer(c);
  if (reason.empty())
    file.finish(c.warnings);
  else
    file.stop(reason);
  run.keep(study_path);
  const table::Document answer = table::comparison_document(d, c);
  run.write([&] { return table::write_terminal(answer, run.look(), run.outputs().all); },
            [&] { return table::write_json(d, c, reason.empty() ? "complete" : "stopped"); },
            [&] { return table::write_csv(d, c); });
  try {
    run.draw([&] { return figures::draw_study(study_path, run.folder()); });
  } catch (const base::UserError&) {
    run.say_written();
    if (run.stop_asked()) return kStopped;
    run.say(fmt::format(
        "The pictures are missing. Once the cause below is put right: leverwright draw {} --out {}",
        study_path, run.folder()));
    throw;
  }
  // An interrupt that came when all was solved stops no more than the pictures.
  if (reason.empty() && run.stop_asked() && run.outputs().pictures)
    return run.end("the pictures are not all drawn.");
  return run.end(reason.empty() ? "" : reason + ". What is finished is kept in " + study_path);
}

}  // namespace

void add_compare(App& app) {
  Verb& verb =
      app.add("compare", "Regulate, weigh and compare every set-up; store, tabulate and draw the answer.",
              {"compare cases/missed_heel/case.toml --out out/missed_heel",
               "compare my_piano.toml --out out/mine --csv out/mine/numbers.csv"});
  Request& r = verb.request(compare);
  verb.add_case(r.case_path);
  verb.add_out("Write results and pictures into FOLDER.", "out/NAME OF THE CASE");
  verb.add_all("Show every table and every touch played, not the answer alone.");
  verb.add_prior_only(r.prior_only);
  verb.add_off("--no-uncertainty", "Leave out the +- (faster).", &r.uncertainty);
  verb.add("--monte-carlo", "N", "Also draw every uncertain input N times and solve each time.", &r.samples)
      .between(10, 100000);
  verb.add("--seed", "SEED", "Begin these draws here: the same seed gives the same numbers.", &r.seed, "1");
  verb.add_off("--no-touches", "Play no touches (faster).", &r.touches);
  verb.add_pictures();
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app
