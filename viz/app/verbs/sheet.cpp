// sheet: the bench sheet printed, or a filled one read back into a case.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>

#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "models/workshop/new_part.h"
#include "sim/base/error.h"
#include "viz/app/case_from_sheet.h"
#include "viz/app/has_pictures.h"
#include "viz/app/verb_run.h"
#include "viz/scene/output_file.h"
#include "viz/sheets/pages.h"
#include "viz/table/sheet_table.h"

namespace leverwright::app {

namespace {

struct Request {
  std::string case_path;     // "": the blank case
  std::string notes;         // names of the sample notes, "C4,G3,E5"; "": the case's own and blanks
  std::string paper = "A4";  // or "Letter"
  std::string new_part;      // slot of a part that is to be fitted: a column for it; "": none
  std::string filled;        // a filled sheet to read back; "": print one
  bool blank = false;        // known values are not filled in
  bool parts = false;        // with the page of positions and the heel's trace
  bool uncertainty = true;   // work out which measurements matter most
};

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

// The part files stand there while the case that names them is read; they go again when it cannot be.
class PartsBeside {
 public:
  PartsBeside(const std::optional<workshop::PartFiles>& parts, VerbRun& run) {
    if (!parts) return;
    write_text_file(run.file(parts->old_name), parts->old_text);
    paths_.push_back(run.file(parts->old_name));
    write_text_file(run.file(parts->new_name), parts->new_text);
    paths_.push_back(run.file(parts->new_name));
  }
  ~PartsBeside() {
    std::error_code ignored;
    for (const auto& path : paths_)
      if (!kept_) std::filesystem::remove(path, ignored);
  }
  PartsBeside(const PartsBeside&) = delete;
  PartsBeside& operator=(const PartsBeside&) = delete;
  void keep() const { kept_ = true; }

 private:
  std::vector<std::string> paths_;
  mutable bool kept_ = false;
};

int read_sheet(const Request& request, const case_file::CaseDescription& base, VerbRun& run) {
  const auto sheet = workshop::read_filled_sheet(request.filled);
  run.open("out/" + case_name(request.filled));
  std::vector<std::string> written;
  std::vector<std::size_t> numbers;
  for (std::size_t n = 0; n < sheet.notes.size(); ++n) {
    const bool filled = std::any_of(sheet.cells.begin(), sheet.cells.end(),
                                    [&](const auto& cell) { return cell.first.second == n; });
    if (!filled && n > 0) continue;
    numbers.push_back(n);
    written.push_back(run.file("case_" + file_word(sheet.notes[n]) + ".toml"));
  }
  const std::string rows = workshop::write_notes_file(sheet, base.set_ups.front().name);
  if (!rows.empty()) written.push_back(run.file("notes.csv"));
  std::optional<workshop::PartFiles> parts;
  if (!sheet.new_slot.empty()) {
    parts = workshop::write_part_files(sheet, numbers.front(), base);
    written.push_back(run.file(parts->old_name));
    written.push_back(run.file(parts->new_name));
  }
  check_new_files(written);
  const PartsBeside beside(parts, run);
  std::vector<table::ReadBack> notes;
  std::vector<std::unique_ptr<scene::OutputFile>> files;
  for (std::size_t k = 0; k < numbers.size(); ++k) {
    files.push_back(std::make_unique<scene::OutputFile>(written[k]));
    notes.push_back(
        write_note(sheet, numbers[k], base, written[k], *files.back(), parts ? parts->set_up_text : ""));
  }
  for (const auto& file : files) file->keep();
  beside.keep();
  if (!rows.empty()) write_text_file(run.file("notes.csv"), rows);
  run.keep(written);
  run.write([&] { return table::write_read_back(sheet, notes, run.look()); },
            [&] { return table::write_read_back_json(sheet, notes); });
  if (parts) {
    run.say(fmt::format(
        "The {0} as found and the new one stand in {1} and {2}. Side by side:\n    leverwright parts {3} "
        "{0} {1} {2}",
        parts->slot, run.file(parts->old_name), run.file(parts->new_name), written.front()));
    if (!parts->unmeasured.empty())
      run.say(fmt::format("Not measured on the new one, and taken to be as on the old one: {}.",
                          fmt::join(parts->unmeasured, ", ")));
  }
  return run.end();
}

int sheet(const Request& request, VerbRun& run) {
  const bool with_case = !request.case_path.empty();
  const auto d = remedies::read_case(with_case ? request.case_path : workshop::blank_case_path());
  if (!request.filled.empty()) return read_sheet(request, d, run);
  auto notes = note_names(request.notes, d, request.blank || !with_case);
  if (!request.new_part.empty() && request.notes.empty()) notes.pop_back();  // room for the new part
  if (!request.new_part.empty() && notes.size() >= kMostNotes)
    throw base::UserError(
        fmt::format("a sheet has room for {} sample notes beside a new part", kMostNotes - 1),
        "print two sheets");
  run.open("out/" + (with_case ? case_name(request.case_path) : std::string("sheet")));
  const std::string page_path = run.file("sheet.html"), blank_path = run.file("sheet.csv");
  check_new_files({page_path, blank_path});
  workshop::AccuracyPlan plan;
  if (with_case && request.uncertainty) {
    study::CompareOptions options;
    options.progress = [&](const study::Progress& p) {
      return run.report("what matters most", p.doing, p.share);
    };
    plan = workshop::plan_accuracy(study::compare(d, options));
  }
  const case_file::CaseDescription* known = with_case && !request.blank ? &d : nullptr;
  if (has_pictures()) {
    sheets::SheetPage page;
    page.description = &d;
    page.known = known;
    page.plan = &plan;
    page.notes = notes;
    page.supplement = request.parts;
    page.new_part = request.new_part;
    page.paper = request.paper;
    page.with_case = with_case;
    write_text_file(page_path, sheets::write_sheet_page(page));
    run.keep(page_path);
  }
  write_text_file(blank_path, workshop::write_blank_file(known, notes, request.parts, request.new_part));
  run.keep(blank_path);
  run.write([&] { return table::write_sheet(plan, with_case, run.look()); },
            [&] { return table::write_sheet_json(known, plan); });
  return run.end(run.stop_asked() ? "the sheet asks for the usual accuracies." : "");
}

}  // namespace

void add_sheet(App& app) {
  Verb& verb = app.add(
      "sheet", "Print a bench sheet to write the measurements on, or read a filled one back into a case.",
      {"sheet cases/work_order/case.toml --notes C4,G3 --out out/sheet",
       "sheet cases/work_order/case.toml --read cases/work_order/filled.csv --out out/read"});
  Request& r = verb.request(sheet);
  verb.add("CASE", "CASE", "Case file (.toml).", &r.case_path, "a sheet for any action").read();
  verb.add("--read", "FILE", "Make a case of this filled sheet (.csv), in place of printing one.", &r.filled)
      .read();
  verb.add_out("Write into FOLDER.", "out/NAME OF THE CASE");
  verb.add("--notes", "NAMES", "Name the sample notes, commas between them, four at most.", &r.notes);
  verb.add("--paper", "FORM", "Print on this paper.", &r.paper, "A4").one_of({"A4", "Letter"});
  verb.add_flag("--blank", "Do not fill in what the case knows.", &r.blank);
  verb.add("--new-part", "PART", "Add a column for a new part beside the old one.", &r.new_part)
      .one_of(workshop::slots_of_new_parts());
  verb.add_flag("--parts", "Add the page of positions and the heel's trace.", &r.parts);
  verb.add_off("--no-uncertainty", "Do not work out which measurements matter most.", &r.uncertainty);
  verb.add_json();
}

}  // namespace leverwright::app
