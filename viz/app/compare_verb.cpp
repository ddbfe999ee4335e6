#include <fmt/format.h>

#include <memory>

#include "models/study/compare.h"
#include "models/study/friction_first.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/compare_table.h"
#include "viz/table/touch_table.h"
#include "viz/table/write_json.h"

namespace leverwright::app {

namespace {

using case_file::CaseDescription;
using study::Comparison;

Comparison compare_and_keep(const CaseDescription& d, const CompareRequest& request,
                            const std::string& study_path, const Terminal& terminal) {
  study::StudyFile file(d, study_path);
  Progress progress(terminal);
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
    progress.report(
        uncertainty ? phase : "set-ups",
        uncertainty ? phase : fmt::format("{} of {} set-ups done, {}", finished, d.set_ups.size(), p.doing),
        p.share);
    return !interrupted();
  };
  try {
    Comparison c = study::compare(d, options);
    file.discard();  // written again below, now with differences and uncertainties
    return c;
  } catch (const base::UserError&) {
    file.discard();
    throw;
  } catch (const std::exception& e) {
    progress.clear();
    if (file.stop(e.what()))
      say(terminal, fmt::format("The {} set-ups finished before are kept in {}", finished, study_path));
    throw;
  }
}

}  // namespace

int run_compare(const CompareRequest& request, const Terminal& terminal) {
  check_number_files(request.json, request.csv, request.out);
  if (request.samples > 0 && !request.uncertainty)
    throw base::UserError("--monte-carlo draws the uncertainties that --no-uncertainty leaves out",
                          "give one of them only");
  const CaseDescription d =
      study::with_friction_first(read_conditioned(request.case_path, request.prior_only, terminal));
  const std::string name = case_name(request.case_path);
  if (request.pictures) check_drawing_tools();
  const OutputFolder folder(request.out.empty() ? "out/" + name : request.out);
  const std::string study_path = folder.file(name + ".h5");

  catch_interrupts();
  const Comparison c = compare_and_keep(d, request, study_path, terminal);
  if (c.set_ups.empty()) {
    say(terminal, "Stopped before the first set-up was finished: no file is left.");
    return kStopped;
  }
  const bool whole = c.set_ups.size() == d.set_ups.size();
  // An interrupt that came when all was solved stops no more than the pictures.
  const bool sampled = !c.monte_carlo || c.monte_carlo->done == c.monte_carlo->asked;
  const bool stopped =
      interrupted() && (!whole || !sampled || (request.uncertainty && !table::has_uncertainty(c)));
  const std::string reason =
      fmt::format("interrupted by the user after {} of {} set-ups{}", c.set_ups.size(), d.set_ups.size(),
                  !whole                       ? ""
                  : !table::has_uncertainty(c) ? ", before the uncertainties"
                                               : ", before all draws were done");
  study::StudyFile file(d, study_path);
  for (const auto& s : c.set_ups) file.add(s);
  file.write_answer(c);
  if (stopped)
    file.stop(reason);
  else
    file.finish(c.warnings);

  std::vector<std::string> written{study_path};
  if (!request.json.empty())
    write_text_file(request.json, table::write_json(d, c, stopped ? "stopped" : "complete"));
  if (!request.csv.empty()) write_text_file(request.csv, table::write_csv(d, c));
  const bool table = request.json != "-" && request.csv != "-" && !terminal.quiet;
  if (table) write_result(table::write_comparison(d, c, terminal.look, request.all) + "\n");
  for (const std::string& text : {request.json, request.csv})
    if (!text.empty() && text != "-") written.push_back(text);
  if (request.pictures && !interrupted()) {
    try {
      const auto pictures = draw_pictures(study_path, folder.path());
      written.insert(written.end(), pictures.begin(), pictures.end());
    } catch (const base::UserError&) {
      say_written(written, terminal);
      if (interrupted()) return kStopped;
      say(terminal,
          fmt::format(
              "The pictures are missing. Once the cause below is put right: leverwright draw {} --out {}",
              study_path, folder.path()));
      throw;
    }
  }
  say_written(written, terminal);
  if (stopped) say(terminal, fmt::format("Stopped: {}. What is finished is kept in {}", reason, study_path));
  return stopped || interrupted() ? kStopped : kDone;
}

}  // namespace leverwright::app
