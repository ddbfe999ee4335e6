// sheet: the bench sheet printed, or a filled one read back into a case.
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "models/case/read_case.h"
#include "sim/base/error.h"
#include "viz/app/bench_verbs.h"
#include "viz/app/interrupt.h"
#include "viz/app/output.h"
#include "viz/app/progress.h"
#include "viz/app/verbs.h"
#include "viz/scene/output_file.h"
#include "viz/table/sheet_table.h"
#ifdef LEVERWRIGHT_HAS_PICTURES
#include "viz/bench/pages.h"
#endif

namespace leverwright::app {

namespace {

constexpr std::size_t kMostNotes = 4;  // columns a pencil finds room in

std::vector<std::string> note_names(const std::string& asked, const case_file::CaseDescription& d,
                                    bool blank) {
  std::vector<std::string> out;
  if (asked.empty()) return {blank ? "note A" : d.choice("note.name"), "note B", "note C"};
  for (std::size_t from = 0; from <= asked.size();) {
    const std::size_t to = std::min(asked.find(',', from), asked.size());
    std::string name = asked.substr(from, to - from);
    while (!name.empty() && name.front() == ' ') name.erase(0, 1);
    while (!name.empty() && name.back() == ' ') name.pop_back();
    if (name.empty() || std::find(out.begin(), out.end(), name) != out.end())
      throw base::UserError("--notes \"" + asked + "\" names a note twice, or none between two commas",
                            "names with commas between them: --notes C4,G3,E5");
    out.push_back(name);
    from = to + 1;
  }
  if (out.size() > kMostNotes)
    throw base::UserError(fmt::format("a sheet has room for {} sample notes, not {}", kMostNotes, out.size()),
                          "print two sheets");
  return out;
}

// The case under a temporary name in its folder, checked by reading it again. It gets its name when all notes
// have come through.
table::ReadBack write_note(const bench::FilledSheet& sheet, std::size_t note,
                           const case_file::CaseDescription& base, const std::string& path,
                           scene::OutputFile& file) {
  table::ReadBack out;
  out.made = bench::write_case_text(sheet, note, base);
  out.path = path;
  file.write(out.made.text);
  const auto final_name = [&](std::string text) {
    for (auto at = text.find(file.part_path()); at != std::string::npos; at = text.find(file.part_path(), at))
      text.replace(at, file.part_path().size(), path);
    return text;
  };
  try {
    const auto made = case_file::read_case(file.part_path());
    out.warnings = bench::find_misfits(sheet, note, made);
    for (const auto& w : made.warnings) out.warnings.push_back(final_name(w));
  } catch (const base::UserError& error) {
    std::vector<base::Problem> problems = error.problems();
    for (auto& p : problems) p.file = final_name(p.file);
    throw base::UserError(problems);
  }
  return out;
}

int read_sheet(const SheetRequest& request, const case_file::CaseDescription& base,
               const Terminal& terminal) {
  const auto sheet = bench::read_filled_sheet(request.filled);
  check_writable(request.json, request.out);
  const OutputFolder folder(request.out.empty() ? "out/" + case_name(request.filled) : request.out);
  std::vector<std::string> written;
  std::vector<std::size_t> numbers;
  for (std::size_t n = 0; n < sheet.notes.size(); ++n) {
    const bool filled = std::any_of(sheet.cells.begin(), sheet.cells.end(),
                                    [&](const auto& cell) { return cell.first.second == n; });
    if (!filled && n > 0) continue;
    numbers.push_back(n);
    written.push_back(folder.file("case_" + file_word(sheet.notes[n]) + ".toml"));
  }
  const std::string rows = bench::write_notes_file(sheet, base.set_ups.front().name);
  if (!rows.empty()) written.push_back(folder.file("notes.csv"));
  check_new_files(written);
  std::vector<table::ReadBack> notes;
  std::vector<std::unique_ptr<scene::OutputFile>> files;
  for (std::size_t k = 0; k < numbers.size(); ++k) {
    files.push_back(std::make_unique<scene::OutputFile>(written[k]));
    notes.push_back(write_note(sheet, numbers[k], base, written[k], *files.back()));
  }
  for (const auto& file : files) file->keep();
  if (!rows.empty()) write_text_file(written.back(), rows);
  if (request.json != "-") write_result(table::write_read_back(sheet, notes, terminal.look));
  if (!request.json.empty()) write_text_file(request.json, table::write_read_back_json(sheet, notes));
  if (!request.json.empty() && request.json != "-") written.push_back(request.json);
  say_written(written, terminal);
  return kDone;
}

}  // namespace

int run_sheet(const SheetRequest& request, const Terminal& terminal) {
  const bool with_case = !request.case_path.empty();
  const auto d = case_file::read_case(with_case ? request.case_path : bench::blank_case_path());
  if (!request.filled.empty()) return read_sheet(request, d, terminal);
  const auto notes = note_names(request.notes, d, request.blank || !with_case);
  check_writable(request.json, request.out);
  const OutputFolder folder(request.out.empty()
                                ? "out/" + (with_case ? case_name(request.case_path) : std::string("sheet"))
                                : request.out);
  check_new_files({folder.file("sheet.html"), folder.file("sheet.csv")});
  bench::AccuracyPlan plan;
  catch_interrupts();
  if (with_case && request.uncertainty) {
    Progress progress(terminal);
    study::CompareOptions options;
    options.progress = [&](const study::Progress& p) {
      progress.report("what matters most", p.doing, p.share);
      return !interrupted();
    };
    plan = bench::plan_accuracy(study::compare(d, options));
    progress.clear();
    if (interrupted()) say(terminal, "Stopped: the sheet asks for the usual accuracies.");
  }
  const case_file::CaseDescription* known = with_case && !request.blank ? &d : nullptr;
  if (request.json != "-") write_result(table::write_sheet(plan, with_case, terminal.look));
  std::vector<std::string> written;
#ifdef LEVERWRIGHT_HAS_PICTURES
  bench_pages::SheetPage page;
  page.description = &d;
  page.known = known;
  page.plan = &plan;
  page.notes = notes;
  page.supplement = request.parts;
  page.paper = request.paper;
  page.with_case = with_case;
  written.push_back(folder.file("sheet.html"));
  write_text_file(written.back(), bench_pages::write_sheet_page(page));
#endif
  written.push_back(folder.file("sheet.csv"));
  write_text_file(written.back(), bench::write_blank_file(known, notes, request.parts));
  if (!request.json.empty()) write_text_file(request.json, table::write_sheet_json(known, plan));
  if (!request.json.empty() && request.json != "-") written.push_back(request.json);
  say_written(written, terminal);
  return interrupted() ? kStopped : kDone;
}

}  // namespace leverwright::app
