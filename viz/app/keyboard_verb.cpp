// keyboard: sample notes carried to 88, the straight capstan line, leads and springs.
#include "viz/app/keyboard_verb.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "models/case/read_case.h"
#include "models/keyboard/write_keyboard.h"
#include "models/keyboard/write_note_case.h"
#include "sim/base/error.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/table/keyboard_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/figures/keyboard_figure.h"
#endif

namespace leverwright::app {

namespace {

// Notes as cases of their own; nothing is computed with the model.
int write_note_cases(const KeyboardRequest& request, const case_file::CaseDescription& d,
                     const keyboard::KeyboardCase& input, const std::optional<OutputFolder>& folder,
                     const Terminal& terminal) {
  if (!folder) throw base::UserError("--note-case writes files, but no folder is named", "add --out FOLDER");
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
  for (const int note : notes) files.push_back(folder->file(fmt::format("note_{:02}.toml", note)));
  check_new_files(files);
  const auto carried = keyboard::carry_all(input);
  std::vector<std::string> written;
  for (const int note : notes) {
    written.push_back(folder->file(fmt::format("note_{:02}.toml", note)));
    write_text_file(written.back(), keyboard::write_note_case(d, input, carried, note));
  }
  say_written(written, terminal);
  return kDone;
}

}  // namespace

int run_keyboard(const KeyboardRequest& request, const Terminal& terminal) {
  check_number_files(request.json, request.csv, request.out);
  const case_file::CaseDescription d = case_file::read_case(request.case_path);
  const keyboard::KeyboardCase input = keyboard::read_keyboard(d);
  std::optional<OutputFolder> folder;
  if (!request.out.empty() && request.pictures && request.note_cases.empty()) check_drawing_tools();
  if (!request.out.empty()) folder.emplace(request.out);
  if (!request.note_cases.empty()) return write_note_cases(request, d, input, folder, terminal);
  catch_interrupts();

  keyboard::KeyboardOptions options;
  options.uncertainty = request.uncertainty;
  if (request.every > 1)
    for (int note = keyboard::kFirstNote; note <= keyboard::kLastNote; ++note)
      if ((note - 1) % request.every == 0 || std::count(input.sampled.begin(), input.sampled.end(), note) > 0)
        options.notes.push_back(note);
  Progress progress(terminal);
  options.progress = [&](const std::string& doing, double share) {
    progress.report("keyboard", doing, share);
    return !interrupted();
  };
  const keyboard::Keyboard k = keyboard::study_keyboard(d, input, options);
  progress.clear();
  if (k.courses.empty()) {
    say(terminal, "Stopped before anything was finished: no file is left.");
    return kStopped;
  }
  if (request.json != "-" && request.csv != "-" && !(terminal.quiet && folder))
    write_result(table::write_keyboard(k, request.all, terminal.look));
  std::vector<std::string> written;
  if (!request.json.empty()) write_text_file(request.json, table::write_keyboard_json(d.path, k));
  if (!request.csv.empty()) write_text_file(request.csv, table::write_keyboard_csv(k));
  for (const auto& path : {request.json, request.csv})
    if (!path.empty() && path != "-") written.push_back(path);
  if (folder) {
    const std::string path = folder->file(case_name(request.case_path) + "_keyboard.h5");
    keyboard::write_keyboard(d, k, path);
    written.push_back(path);
#ifdef LEVERWRIGHT_HAS_PICTURES
    if (request.pictures)
      for (const auto& file : figures::draw_keyboard(path, folder->path())) written.push_back(file);
#endif
  }
  if (!written.empty()) say_written(written, terminal);
  if (!k.complete)
    say(terminal, "Stopped: what was computed is kept; notes without numbers were not reached.");
  return k.complete ? kDone : kStopped;
}

}  // namespace leverwright::app
