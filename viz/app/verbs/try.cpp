// try: one change said in words, before and after; kept in the case when asked.
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "models/case_file/change_phrase.h"
#include "models/remedies/all.h"
#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "models/study/friction_first.h"
#include "sim/base/error.h"
#include "viz/app/conditioned.h"
#include "viz/app/output.h"
#include "viz/app/set_ups.h"
#include "viz/app/verb_run.h"
#include "viz/scene/work_folder.h"
#include "viz/table/compare_table.h"
#include "viz/table/write_json.h"

namespace leverwright::app {

namespace {

namespace fs = std::filesystem;

struct Request {
  std::string case_path;
  std::vector<std::string> changes;
  bool keep = false, uncertainty = true, prior_only = false;
};

std::string read_whole(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

void write_aside(const std::string& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  if (!out)
    throw base::UserError("the temporary file " + path + " cannot be written", "free some disk space");
}

// What is said of the file aside is said of the case.
template <class Work>
auto as_of(const std::string& case_path, const std::string& aside, const Work& work) {
  try {
    return work();
  } catch (const base::UserError& error) {
    std::vector<base::Problem> problems = error.problems();
    for (auto& p : problems)
      if (p.file == aside) p.file = case_path;
    throw base::UserError(problems);
  }
}

int try_change(const Request& r, VerbRun& run) {
  const std::string set_up = case_file::write_set_up_of(r.changes, remedies::all());
  remedies::read_case(r.case_path);  // what is wrong with it is told before anything else
  const std::string before = read_whole(r.case_path);
  const std::string text = before + (before.empty() || before.back() == '\n' ? "\n" : "\n\n") + set_up;
  const scene::WorkFolder folder;
  const std::string aside = (fs::path(folder.path()) / fs::path(r.case_path).filename()).string();
  write_aside(aside, text);
  auto whole =
      as_of(r.case_path, aside, [&] { return read_conditioned(aside, r.prior_only, run.terminal()); });
  whole.path = r.case_path;
  const auto d = study::with_friction_first(only_set_up(whole, whole.set_ups.size() - 1));
  run.open();
  study::CompareOptions options;
  options.uncertainty = r.uncertainty;
  options.progress = [&](const study::Progress& p) { return run.report("try", p.doing, p.share); };
  const study::Comparison c = study::compare(d, options);
  if (run.stop_asked()) return run.end_with_nothing("the change was worked out");
  if (!c.set_ups.front().weighing.ok) throw without_answer(d.set_ups.front(), c.set_ups.front(), "the base ");
  const table::Document answer = table::comparison_document(d, c);
  run.write([&] { return table::write_terminal(answer, run.look(), run.outputs().all); },
            [&] { return table::write_json(d, c, "complete"); }, [&] { return table::write_csv(d, c); });
  if (r.keep) {
    replace_unchanged(r.case_path, before, text, "the set-up");
    run.say(fmt::format("Kept as a set-up at the end of {}:\n\n{}", r.case_path, set_up));
  } else {
    run.say(fmt::format("Nothing is kept. With --keep these lines go to the end of {}:\n\n{}", r.case_path,
                        set_up));
  }
  return run.end();
}

}  // namespace

void add_try(App& app) {
  Verb& verb = app.add(
      "try", "Work out one change said in words: before, after, and what to do.",
      {"try cases/missed_heel/case.toml \"capstan 3 mm toward the balance rail\"",
       "try cases/missed_heel/case.toml \"lead 14 g at 110 mm\" \"friction hammer centre 2 gf at 23 mm\""});
  Request& r = verb.request(try_change);
  verb.add_case(r.case_path);
  verb.add("CHANGE", "CHANGE", "The change in words; several are done together.", &r.changes).needed();
  verb.add_flag("--keep", "Write it into the case as a set-up, all else in the file as it was.", &r.keep);
  verb.add_all("Show every table, not the answer alone.");
  verb.add_prior_only(r.prior_only);
  verb.add_off("--no-uncertainty", "Leave out the +- (faster).", &r.uncertainty);
  verb.add_json();
  verb.add_csv();
}

}  // namespace leverwright::app
