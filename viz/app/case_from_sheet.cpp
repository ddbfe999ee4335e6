#include "viz/app/case_from_sheet.h"

#include "models/remedies/read_case.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/error.h"

namespace leverwright::app {

table::ReadBack write_note(const workshop::FilledSheet& sheet, std::size_t note,
                           const case_file::CaseDescription& base, const std::string& path,
                           scene::OutputFile& file, const std::string& more) {
  table::ReadBack out;
  out.made = workshop::write_case_text(sheet, note, base);
  out.made.text += more;
  out.path = path;
  file.write(out.made.text);
  const auto final_name = [&](std::string text) {
    for (auto at = text.find(file.part_path()); at != std::string::npos; at = text.find(file.part_path(), at))
      text.replace(at, file.part_path().size(), path);
    return text;
  };
  try {
    const auto made = remedies::read_case(file.part_path());
    out.warnings = workshop::find_misfits(sheet, note, made);
    for (const auto& w : made.warnings) out.warnings.push_back(final_name(w));
  } catch (const base::UserError& error) {
    std::vector<base::Problem> problems = error.problems();
    for (auto& p : problems) p.file = final_name(p.file);
    throw base::UserError(problems);
  }
  return out;
}

}  // namespace leverwright::app
