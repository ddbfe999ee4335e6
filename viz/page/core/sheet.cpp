#include "viz/page/core/sheet.h"

#include <algorithm>
#include <cstdlib>

#include "models/case_file/document.h"
#include "models/remedies/read_case.h"
#include "models/study/set_up_solver.h"
#include "models/workshop/case_text.h"
#include "models/workshop/first_lines.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/error.h"

namespace leverwright::page {

using workshop::Reply;
using workshop::SheetLine;

namespace {

constexpr const char* kPath = "sheet";

case_file::CaseDescription blank() { return remedies::read_case(workshop::blank_case_path()); }

Json texts(const std::vector<std::string>& list) { return Json(list); }

}  // namespace

Json sheet_lines() {
  Json out = Json::array();
  for (const SheetLine& l : workshop::sheet_lines()) {
    const auto& first = workshop::first_lines();
    Json line{{"number", l.number},
              {"section", l.section},
              {"name", l.name},
              {"where", l.where},
              {"tool", l.tool},
              {"usual", workshop::usual_words(l)},
              {"unit", l.unit},
              {"uncertainty", workshop::usual_uncertainty(l)},
              {"supplement", l.supplement},
              {"first",
               std::any_of(first.begin(), first.end(), [&](const auto& f) { return f.number == l.number; })}};
    if (const auto words = workshop::words_of(l); !words.empty()) line["words"] = words;
    if (l.number > 2) out.push_back(line);  // 1 and 2 follow from the note's name
  }
  return {{"lines", out}};
}

Sheet::Sheet() : interview_(blank(), true) {}

Json Sheet::answer(const Json& request) {
  Json out{{"replies", Json::object()}};
  const std::string note = request.value("note", "");
  if (note != note_ || written_.empty()) {  // another note: the sheet's own first question
    const auto as_before = written_;
    interview_ = workshop::Interview(blank(), true);
    written_.clear();
    note_ = note;
    const bool is_note = note.empty() || workshop::note_named(note);
    const Reply reply = interview_.answer(is_note ? note : "C4");
    if (!is_note || reply.kind == Reply::Kind::kRefused)
      out["replies"]["note"] = {{"taken", false},
                                {"says", texts({"\"" + note + "\" is no note: write C4 or F#5"})}};
    for (const auto& [line, text] : as_before)
      if (!text.empty()) interview_.answer(std::to_string(line) + " = " + text);
    written_ = as_before;
  }
  const Json cells = request.value("cells", Json::object());
  std::map<int, std::string> now;
  for (const auto& [number, text] : cells.items())
    if (const int line = std::atoi(number.c_str()); workshop::find_line(line) != nullptr)
      now[line] = text.get<std::string>();
  for (const auto& [line, text] : written_) now.try_emplace(line, "");
  // In the order of the sheet: the place of a lead after its mass.
  for (const SheetLine& l : workshop::sheet_lines()) {
    const auto said = now.find(l.number);
    if (said == now.end()) continue;
    const auto before = written_.find(l.number);
    if (before == written_.end() ? said->second.empty() : before->second == said->second) continue;
    const std::string text = said->second.empty() ? "?" : said->second;
    Reply reply = interview_.answer(std::to_string(l.number) + " = " + text);
    const bool taken = reply.kind != Reply::Kind::kRefused;
    if (taken && !reply.says.empty()) reply.says.erase(reply.says.begin());  // "line 11, spread: changed"
    out["replies"][std::to_string(l.number)] = {{"taken", taken}, {"says", texts(reply.says)}};
    written_[l.number] = said->second;
  }
  out["note"] = interview_.note();
  out["given"] = interview_.given();
  return out;
}

Json Sheet::write_case(const Json& request) const {
  const auto base = blank();
  if (interview_.given() == 0) throw base::UserError("nothing is measured yet: answer a line first");
  const workshop::FilledSheet sheet = interview_.sheet(kPath);
  workshop::CaseFromSheet made = workshop::write_case_text(sheet, 0, base);
  if (const std::string title = request.value("title", ""); !title.empty()) {
    workshop::CaseText text(made.text);
    text.put("", "title", case_file::toml_text(title));
    made.text = text.text();
  }
  const auto read = remedies::read_case_text(made.text, "case.toml");
  study::SetUpSolver(read).require_base(read);
  Json open = Json::array(), warnings = texts(workshop::find_misfits(sheet, 0, read));
  for (const auto& w : read.warnings) warnings.push_back(w);
  for (const auto& o : made.open)
    open.push_back({{"line", o.line}, {"name", o.name}, {"stays", o.stays}, {"estimate", o.estimate}});
  return {{"text", made.text},
          {"note", made.note},
          {"open", open},
          {"warnings", warnings},
          {"sheet", interview_.sheet_text()}};
}

}  // namespace leverwright::page
