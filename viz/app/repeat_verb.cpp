// repeat: how fast each set-up repeats, and what holds it back.
#include "viz/app/repeat_verb.h"

#include <fmt/format.h>

#include <optional>

#include "models/case/read_case.h"
#include "models/study/write_repetition.h"
#include "models/study/write_study.h"
#include "sim/base/error.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/repetition_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/study_charts.h"
#endif

namespace leverwright::app {

namespace {

void check_request(const RepeatRequest& r) {
  const auto wrong = [](const std::string& what, const std::string& expected) {
    throw base::UserError({base::Problem{"", 0, "", what, expected, "leverwright repeat --help"}});
  };
  const auto& o = r.options;
  check_number_files(r.json, r.csv, r.out);
  if (!(o.slowest >= 1 && o.fastest <= 40 && o.slowest < o.fastest))
    wrong(fmt::format("rates from {:g} to {:g} /s make no ladder", o.slowest, o.fastest),
          "--from below --to, between 1 and 40 strokes a second");
  if (!(o.step >= 0.05 && o.step <= 5))
    wrong(fmt::format("--step {:g}", o.step), "0.05 to 5 strokes a second");
  if (!(o.partial > 0.05 && o.partial <= 1))
    wrong(fmt::format("--partial {:g}", o.partial), "0.05 to 1 of the dip");
  if (o.strokes < 11) wrong(fmt::format("--strokes {}", o.strokes - 1), "10 or more");
}

}  // namespace

int run_repeat(const RepeatRequest& request, const Terminal& terminal) {
  check_request(request);
  case_file::CaseDescription d = case_file::read_case(request.case_path);
  const std::string name = case_name(request.case_path);
  if (!request.set_up.empty()) d = only_set_up(d, find_set_up(d, request.set_up));
  const std::size_t asked = request.set_up.empty() ? 0 : d.set_ups.size() - 1;
  std::optional<OutputFolder> folder;
  if (!request.out.empty() && request.pictures) check_drawing_tools();
  if (!request.out.empty()) folder.emplace(request.out);
  catch_interrupts();

  Progress progress(terminal);
  study::Comparison c = regulate_set_ups(d, progress);

  const std::string study_path = folder ? folder->file(name + "_repetition.h5") : "";
  std::optional<study::StudyFile> file;
  if (folder) file.emplace(d, study_path);
  std::vector<study::Repetition> results;
  std::vector<std::string> left_out;
  std::size_t done = 0;
  for (; done < c.set_ups.size() && !interrupted(); ++done) {
    study::SetUpResult& s = c.set_ups[done];
    if (!s.weighing.ok) {
      left_out.push_back(s.name);
      if (file) file->add(s);
      continue;
    }
    study::RepetitionOptions options = request.options;
    options.why = options.why && done == asked;
    options.progress = [&](double share) {
      progress.report("repetition",
                      fmt::format("repetition of {}, {} of {}", s.name, done + 1, c.set_ups.size()),
                      (static_cast<double>(done) + share) / static_cast<double>(c.set_ups.size()));
      return !interrupted();
    };
    study::Repetition r = study::find_repetition(d, done, s, options);
    if (!r.complete) break;
    if (file) {
      s.touches.push_back(study::play_for_film(s, r.full, "repeated full", options));
      s.touches.push_back(study::play_for_film(s, r.partial, "repeated partial", options));
      file->add(s);
      study::write_repetition(file->writer(), fmt::format("/set_ups/{:02}", done), r, options);
    }
    results.push_back(std::move(r));
  }
  progress.clear();
  const bool stopped = done < d.set_ups.size();
  if (results.empty()) {
    if (file) file->discard();
    if (stopped) {
      say(terminal, "Stopped before the first set-up was finished: no file is left.");
      return kStopped;
    }
    throw base::UserError("no set-up of this case can be played",
                          "see: leverwright regulate " + request.case_path);
  }
  std::vector<std::string> written;
  if (file) {
    if (stopped)
      file->stop(fmt::format("interrupted by the user after {} of {} set-ups", done, d.set_ups.size()));
    else
      file->finish(c.warnings);
    written.push_back(study_path);
  }
  const std::string status = stopped ? "stopped" : "complete";
  if (!request.json.empty())
    write_text_file(request.json, table::write_repetition_json(d.path, results, request.options, status));
  if (!request.csv.empty()) write_text_file(request.csv, table::write_repetition_csv(results));
  if (request.json != "-" && request.csv != "-" && !terminal.quiet)
    write_result(table::write_repetition_table(results, request.options, terminal.look));
  for (const auto& text : {request.json, request.csv})
    if (!text.empty() && text != "-") written.push_back(text);
#ifdef LEVERWRIGHT_HAS_PICTURES
  if (folder && request.pictures) {
    const auto pictures = figures::draw_repetition(study_path, folder->path());
    written.insert(written.end(), pictures.begin(), pictures.end());
  }
#endif
  for (const auto& s : left_out) say(terminal, "\"" + s + "\" cannot be weighed and was left out.");
  if (!written.empty()) say_written(written, terminal);
  if (stopped) say(terminal, fmt::format("Stopped after {} of {} set-ups.", done, d.set_ups.size()));
  return stopped ? kStopped : kDone;
}

}  // namespace leverwright::app
