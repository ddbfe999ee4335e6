// new: a case made line by line in the terminal.
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>

#include "models/remedies/read_case.h"
#include "models/study/set_up_solver.h"
#include "models/workshop/interview.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/error.h"
#include "sim/base/output_guard.h"
#include "sim/base/words.h"
#include "viz/app/ask.h"
#include "viz/app/case_from_sheet.h"
#include "viz/app/output.h"
#include "viz/app/verb_run.h"
#include "viz/table/interview_text.h"

namespace leverwright::app {

namespace {

namespace fs = std::filesystem;
using workshop::Interview;
using workshop::Question;
using workshop::Reply;

struct Request {
  std::string case_path;
  std::string begun;  // a sheet to go on with; "": a new one
  bool parts = false;
};

constexpr const char* kSheetEnd = ".sheet.csv";

std::string without_end(const std::string& path, const std::string& tail) {
  return path.size() > tail.size() && base::ends_with(path, tail) ? path.substr(0, path.size() - tail.size())
                                                                  : path;
}

void need_free(const std::string& path, const std::string& advice) {
  std::error_code ignored;
  if (fs::exists(path, ignored) && !base::outputs_are_forced())
    throw base::UserError({base::Problem{path, 0, "", "this file is there already", "", advice}});
}

// After every answer, so that nothing is lost however the run ends. The sheet is this verb's own and may be the one it
// goes on with.
void keep_sheet(const std::string& path, const Interview& interview) {
  if (interview.given() > 0) replace_text_file(path, interview.sheet_text(), "the answers");
}

// Asks until it is done or stopped; false when the input ended or Ctrl-C was pressed before.
bool ask_all(Interview& interview, const std::string& sheet_path, const VerbRun& run) {
  LineReader lines;
  table::InterviewText text(run.look());
  for (Question q = interview.question(); q.kind != Question::Kind::kNone; q = interview.question()) {
    ask(run.terminal(), text.question(q, interview));
    const auto line = lines.next();
    if (!line) {
      ask(run.terminal(), "\n");
      return false;
    }
    if (isatty(STDIN_FILENO) == 0) ask(run.terminal(), *line + "\n");  // a pipe: it would not be seen
    const Reply reply = interview.answer(*line);
    ask(run.terminal(), text.reply(reply));
    if (reply.kind != Reply::Kind::kRefused && reply.kind != Reply::Kind::kWentBack)
      keep_sheet(sheet_path, interview);
  }
  return true;
}

// Lengths that agree may still belong to no action that works.
void find_out_whether_it_regulates(const std::string& case_path, std::vector<std::string>& warnings) {
  try {
    const auto d = remedies::read_case(case_path);
    study::SetUpSolver(d).require_base(d);
  } catch (const base::UserError& error) {
    for (const auto& p : error.problems())
      warnings.push_back(p.what +
                         ": look again at the heights (lines 12 to 16), the key (21, 22) and the heel" +
                         (p.advice.empty() ? "" : "; " + p.advice));
  }
}

int new_case(const Request& r, VerbRun& run) {
  const std::string stem = !r.case_path.empty() ? without_end(r.case_path, ".toml")
                           : !r.begun.empty()   ? without_end(without_end(r.begun, kSheetEnd), ".csv")
                                                : "my_piano";
  const std::string case_path = stem + ".toml", sheet_path = r.begun.empty() ? stem + kSheetEnd : r.begun;
  need_free(case_path, "name another file with -o, or give --force to replace it");
  if (r.begun.empty())
    need_free(sheet_path,
              "go on with it: leverwright new --continue " + sheet_path + "; or begin anew with --force");
  const auto base = remedies::read_case(workshop::blank_case_path());
  Interview interview(base, r.parts);
  if (!r.begun.empty()) interview.take_over(workshop::read_filled_sheet(r.begun));
  check_writable(case_path);
  run.open();
  ask(run.terminal(), table::write_interview_head(interview, sheet_path, run.look()));
  const bool asked = ask_all(interview, sheet_path, run);
  if (!interview.is_done()) {
    if (interview.given() == 0) return run.end_with_nothing("a line was answered");
    run.say(fmt::format("{} {} kept in {}. Go on with:\n    leverwright new --continue {}", interview.given(),
                        interview.given() == 1 ? "line is" : "lines are", sheet_path, sheet_path));
    return asked ? kDone : kStopped;
  }
  const workshop::FilledSheet sheet = interview.sheet(sheet_path);
  scene::OutputFile file(case_path);
  table::ReadBack made = write_note(sheet, 0, base, case_path, file);
  file.keep();
  find_out_whether_it_regulates(case_path, made.warnings);
  run.keep({case_path, sheet_path});
  run.write([&] { return table::write_interview_end(interview, sheet, made, run.look()); });
  return run.end();
}

}  // namespace

void add_new(App& app) {
  Verb& verb = app.add("new", "Make a case of your own piano, one question after the other.",
                       {"new -o my_piano.toml", "new --continue my_piano.sheet.csv"});
  Request& r = verb.request(new_case);
  verb.add("-o,--out", "FILE", "Write the case into FILE (.toml); the answers are kept beside it.",
           &r.case_path, "my_piano.toml");
  verb.add("--continue", "FILE", "Go on with these answers (.sheet.csv).", &r.begun).read();
  verb.add_flag("--parts", "Ask for the positions on the wippen and the heel's trace as well.", &r.parts);
}

}  // namespace leverwright::app
