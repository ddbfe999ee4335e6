// keyboard: sample notes carried to 88, the straight capstan line, leads and springs.
#include <fmt/format.h>

#include <algorithm>

#include "models/keyboard/write_keyboard.h"
#include "models/keyboard/write_note_case.h"
#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "viz/app/verb_run.h"
#include "viz/figures/keyboard_figure.h"
#include "viz/table/keyboard_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path;
  bool uncertainty = true;
  bool prior_only = false;              // weights read on the samples are compared, not leaned on
  std::vector<std::string> note_cases;  // notes to be written as cases of their own
  int every = 1;                        // only every so many notes, and the samples
};

// Notes as cases of their own; nothing is computed with the model.
int write_note_cases(const Request& request, const case_file::CaseDescription& d,
                     const keyboard::KeyboardCase& input, VerbRun& run) {
  if (!run.has_folder())
    throw base::UserError("--note-case writes files, but no folder is named", "add --out FOLDER");
  std::vector<int> notes;
  for (const std::string& word : request.note_cases) {
    const auto note = keyboard::read_note(word);
    if (!note)
      throw base::UserError({base::Problem{"", 0, "", "\"" + word + "\" is no note",
                                           "a number from 1 to 88, or a name from A0 to C8 such as C4 or F#5",
                                           "leverwright keyboard --help"}});
    notes.push_back(*note);
  }
  std::vector<std::string> files;
  for (const int note : notes) files.push_back(run.file(fmt::format("note_{:02}.toml", note)));
  check_new_files(files);
  const auto carried = keyboard::carry_all(input);
  for (std::size_t k = 0; k < notes.size(); ++k) {
    write_text_file(files[k], keyboard::write_note_case(d, input, carried, notes[k]));
    run.keep(files[k]);
  }
  return run.end();
}

int keyboard_of(const Request& request, VerbRun& run) {
  const case_file::CaseDescription d = remedies::read_case(request.case_path);
  const keyboard::KeyboardCase input = keyboard::read_keyboard(d);
  run.open();
  if (!request.note_cases.empty()) return write_note_cases(request, d, input, run);

  keyboard::KeyboardOptions options;
  options.uncertainty = request.uncertainty;
  options.prior_only = request.prior_only;
  if (request.every > 1)
    for (int note = keyboard::kFirstNote; note <= keyboard::kLastNote; ++note)
      if ((note - 1) % request.every == 0 || std::count(input.sampled.begin(), input.sampled.end(), note) > 0)
        options.notes.push_back(note);
  options.progress = [&](const std::string& doing, double share) {
    return run.report("keyboard", doing, share);
  };
  const keyboard::Keyboard k = keyboard::study_keyboard(d, input, options);
  if (k.courses.empty()) return run.end_with_nothing();
  const table::Document answer = table::keyboard_document(k, run.outputs().all);
  run.write([&] { return table::write_terminal(answer, run.look(), run.outputs().all); },
            [&] { return table::write_keyboard_json(d.path, k); },
            [&] { return table::write_keyboard_csv(k); });
  if (run.has_folder()) {
    const std::string path = run.file(case_name(request.case_path) + "_keyboard.h5");
    keyboard::write_keyboard(d, k, path);
    run.keep(path);
    run.draw([&] { return figures::draw_keyboard(path, run.folder()); });
  }
  return run.end(k.complete ? "" : "what was computed is kept; notes without numbers were not reached.");
}

}  // namespace

void add_keyboard(App& app) {
  Verb& verb = app.add("keyboard",
                       "Carry sample notes to all 88: one straight capstan line, leads or springs, and how "
                       "sure that is.",
                       {"keyboard cases/samples_to_88/case.toml --out out/keyboard",
                        "keyboard my_piano.toml --every 8 --no-uncertainty --csv notes.csv",
                        "keyboard my_piano.toml --note-case 16 C6 --out out/notes"});
  Request& r = verb.request(keyboard_of);
  verb.add_case(r.case_path);
  verb.add_out("Write the results file and the charts into FOLDER.", "none");
  verb.add_all("Show the tables as well, with every note.");
  verb.add("--every", "N", "Run the model on every Nth note and the samples only.", &r.every, "1")
      .between(1, 44);
  verb.add("--note-case", "NOTE",
           "Write these notes (52, F#5, ...) as cases of their own into --out, to be played or compared; do "
           "nothing else.",
           &r.note_cases);
  verb.add_prior_only(r.prior_only);
  verb.add_off("--no-uncertainty", "Leave out how sure the model's answers are (faster); lean on no reading.",
               &r.uncertainty);
  verb.add_pictures("Leave out the charts.");
  verb.add_json();
  verb.add_csv("a line for each note");
}

}  // namespace leverwright::app
