// repeat: how fast each set-up repeats, and what holds it back.
#include <fmt/format.h>

#include <optional>

#include "models/playing/repetition.h"
#include "models/playing/write_repetition.h"
#include "models/study/friction_first.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/figures/study_charts.h"
#include "viz/table/answer.h"
#include "viz/table/notes.h"
#include "viz/table/repetition_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path, set_up;  // set_up "": all
  playing::RepetitionOptions options;
  bool prior_only = false;  // readings as found are compared, not leaned on
};

void check_rates(const playing::RepetitionOptions& o) {
  const auto wrong = [](const std::string& what, const std::string& expected) {
    throw base::UserError({base::Problem{"", 0, "", what, expected, "leverwright repeat --help"}});
  };
  if (!(o.slowest >= 1 && o.fastest <= 40 && o.slowest < o.fastest))
    wrong(fmt::format("rates from {:g} to {:g} /s make no ladder", o.slowest, o.fastest),
          "--from below --to, between 1 and 40 strokes a second");
  if (!(o.step >= 0.05 && o.step <= 5))
    wrong(fmt::format("--step {:g}", o.step), "0.05 to 5 strokes a second");
  if (!(o.partial > 0.05 && o.partial <= 1))
    wrong(fmt::format("--partial {:g}", o.partial), "0.05 to 1 of the dip");
  if (o.strokes < 11) wrong(fmt::format("--strokes {}", o.strokes - 1), "10 or more");
}

int repeat(const Request& request, VerbRun& run) {
  check_rates(request.options);
  case_file::CaseDescription d = read_conditioned(request.case_path, request.prior_only, run.terminal());
  const std::string name = case_name(request.case_path);
  d = request.set_up.empty() ? study::with_friction_first(d) : only_set_up(d, find_set_up(d, request.set_up));
  const std::size_t asked = request.set_up.empty() ? 0 : d.set_ups.size() - 1;
  run.open();
  study::Comparison c = regulate_set_ups(d, run, true);

  const std::string study_path = run.has_folder() ? run.file(name + "_repetition.h5") : "";
  std::optional<study::StudyFile> file;
  if (run.has_folder()) file.emplace(d, study_path);
  std::vector<playing::Repetition> results;
  std::vector<std::string> left_out;
  std::size_t done = 0;
  for (; done < c.set_ups.size() && !run.stop_asked(); ++done) {
    study::SetUpResult& s = c.set_ups[done];
    if (!s.weighing.ok) {
      left_out.push_back(s.name);
      if (file) file->add(s);
      continue;
    }
    playing::RepetitionOptions options = request.options;
    options.why = options.why && done == asked;
    options.progress = [&](double share) {
      return run.report("repetition",
                        fmt::format("repetition of {}, {} of {}", s.name, done + 1, c.set_ups.size()),
                        (static_cast<double>(done) + share) / static_cast<double>(c.set_ups.size()));
    };
    playing::Repetition r = playing::find_repetition(d, done, s, options);
    if (!r.complete) break;
    if (file) {
      s.touches.push_back(playing::play_for_film(s, r.full, "repeated full", options));
      s.touches.push_back(playing::play_for_film(s, r.partial, "repeated partial", options));
      file->add(s);
      playing::write_repetition(file->writer(), fmt::format("/set_ups/{:02}", done), r, options);
    }
    results.push_back(std::move(r));
  }
  const bool stopped = done < d.set_ups.size();
  if (results.empty()) {
    if (file) file->discard();
    if (stopped) return run.end_with_nothing("the first set-up was finished");
    throw without_any_use(request.case_path);
  }
  const std::string reason =
      fmt::format("interrupted by the user after {} of {} set-ups", done, d.set_ups.size());
  if (file) {
    if (stopped)
      file->stop(reason);
    else
      file->finish(c.warnings);
    run.keep(study_path);
  }
  table::Document answer =
      table::repetition_document(d.path, results, request.options, stopped ? "stopped" : "complete");
  table::add_answer(answer, c, request.set_up.empty());
  answer.text([&](const table::Look& look) { return table::write_no_way_back(d, look); });
  answer.text([&](const table::Look& look) { return table::write_notes(d, look); });
  run.write(answer);
  run.draw([&] { return figures::draw_repetition(study_path, run.folder()); });
  for (const auto& s : left_out) run.say("\"" + s + "\" cannot be weighed and was left out.");
  return run.end(stopped ? reason : "");
}

}  // namespace

void add_repeat(App& app) {
  Verb& verb = app.add("repeat", "Find how fast each set-up repeats a note, and what holds it back.",
                       {"repeat cases/missed_heel/case.toml --out out/repetition",
                        "repeat my_piano.toml --set-up \"heel build-up\" --partial 0.5 --csv rates.csv"});
  Request& r = verb.request(repeat);
  verb.add_case(r.case_path);
  verb.add_prior_only(r.prior_only);
  verb.add("--set-up", "NAME", "Take the base and the set-up of this name.", &r.set_up, "all");
  verb.add("--from", "RATE", "Begin at this rate, strokes a second.", &r.options.slowest, "6");
  verb.add("--to", "RATE", "End at this rate.", &r.options.fastest, "18");
  verb.add("--step", "RATE", "Go up by so much.", &r.options.step, "0.5");
  verb.add("--partial", "SHARE", "Let the finger return by this share of the dip.", &r.options.partial,
           "0.6");
  verb.add("--seed", "SEED", "Begin the finger's jitter here.", &r.options.seed, "1");
  verb.add_all("Show also the good strokes rate by rate, and what moves the limits.");
  verb.add_off("--no-why", "Leave out what moves the limits (faster).", &r.options.why);
  verb.add_out("Write the results file and the chart into FOLDER.", "none");
  verb.add_pictures("Leave out the chart.");
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app
