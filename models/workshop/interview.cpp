#include "models/workshop/interview.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <optional>
#include <utility>

#include "models/case_file/reconcile.h"
#include "models/case_file/sheet_text.h"
#include "models/remedies/read_case.h"
#include "models/workshop/first_lines.h"
#include "models/workshop/sheet_to_case.h"
#include "sim/base/error.h"
#include "sim/base/shown_text.h"
#include "sim/base/words.h"

namespace leverwright::workshop {

using case_file::trimmed;

namespace {

constexpr const char* kPath = "sheet";  // stands before messages, and is taken off again

bool is_one_of(const std::string& word, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&](const char* w) { return word == w; });
}

bool is_unknown(const std::string& word) {
  return is_one_of(
      word, {"", "?", "-", "don't know", "dont know", "do not know", "unknown", "not known", "no idea"});
}

// What a person types at a prompt as a cell: the minus sign of a word processor, a decimal comma, the mark of inches.
std::string as_cell(std::string text) {
  const auto replace = [&](const std::string& from, const std::string& to) {
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
      text.replace(at, from.size(), to);
  };
  replace("\u2212", "-");
  replace("\"", " in");
  replace("\u2033", " in");
  replace("\u201d", " in");
  replace(",", ".");
  return trimmed(text);
}

// "sheet:14: line 11, spread: ..." -> "spread: ..."
std::string without_place(std::string text, const SheetLine& line) {
  const std::string path = std::string(kPath) + ":";
  if (text.rfind(path, 0) == 0) {
    const auto at = text.find(": ", path.size());
    if (at != std::string::npos) text.erase(0, at + 2);
  }
  const std::string own = fmt::format("line {}, ", line.number);
  if (text.rfind(own, 0) == 0) text.erase(0, own.size());
  return text;
}

std::vector<std::string> words_of_problem(const base::Problem& p, const SheetLine& line) {
  std::vector<std::string> out = {without_place(p.what, line)};
  if (!p.expected.empty()) out.push_back("expected: " + p.expected);
  if (!p.advice.empty()) out.push_back(p.advice);
  return out;
}

// "11 = 112.5": a line changed, whatever is asked just now.
std::optional<std::pair<const SheetLine*, std::string>> read_change(const std::string& text) {
  const auto equals = text.find('=');
  if (equals == std::string::npos) return {};
  const std::string number = trimmed(text.substr(0, equals));
  if (number.empty() || number.find_first_not_of("0123456789") != std::string::npos || number.size() > 3)
    return {};
  const SheetLine* line = find_line(std::atoi(number.c_str()));
  if (line == nullptr) return {};
  return std::pair{line, trimmed(text.substr(equals + 1))};
}

}  // namespace

Interview::Interview(case_file::CaseDescription base, bool parts) : base_(std::move(base)) {
  note_ = base_.choice("note.name");
  const auto is_first = [](const SheetLine& l) {
    const auto& first = first_lines();
    return std::any_of(first.begin(), first.end(), [&](const FirstLine& f) { return f.number == l.number; });
  };
  steps_.push_back({Question::Kind::kNote, nullptr, true});
  for (const SheetLine& l : sheet_lines())
    if (is_first(l)) steps_.push_back({Question::Kind::kLine, &l, true});
  steps_.push_back({Question::Kind::kGoOn, nullptr, false});
  for (const SheetLine& l : sheet_lines())
    if (!is_first(l) && l.number > 2 && (parts || !l.supplement))  // 1 and 2 follow from the note's name
      steps_.push_back({Question::Kind::kLine, &l, false});
}

void Interview::take_over(const FilledSheet& sheet) {
  if (sheet.notes.size() != 1)
    throw base::UserError(
        fmt::format("{} is a sheet for {} notes, and one is asked at a time", sheet.path, sheet.notes.size()),
        "fill it in with an editor, then: leverwright sheet --read " + sheet.path);
  note_ = sheet.notes.front();
  for (const auto& [at, cell] : sheet.cells) cells_[at.first] = cell.text;
  at_ = 1;
  while (at_ < steps_.size() && (steps_[at_].kind == Question::Kind::kLine &&
                                 (cells_.count(steps_[at_].line->number) > 0 || is_needless(steps_[at_]))))
    ++at_;
  if (at_ == steps_.size()) ended_ = Ended::kDone;
}

bool Interview::is_needless(const Step& step) const {
  if (step.kind != Question::Kind::kLine) return false;
  const SheetLine& l = *step.line;
  const auto has = [&](int number) { return cells_.count(number) > 0; };
  if (l.key == "capstan.dome_radius") return has(31) && cells_.at(31) == "flat";
  if (l.use == Use::kLeadDistance)
    return !has(line_of_lead(l.index)) || cells_.at(line_of_lead(l.index)) == "0";
  if (l.use == Use::kLeadMass && l.index > 0) return !has(line_of_lead(l.index - 1) + 1);
  if (l.use == Use::kTracePoint && l.index > 0) return !has(l.number - 1);
  return false;
}

void Interview::go_on() {
  asked_.push_back(at_);
  do ++at_;
  while (at_ < steps_.size() && (is_needless(steps_[at_]) || (steps_[at_].kind == Question::Kind::kLine &&
                                                              cells_.count(steps_[at_].line->number) > 0)));
  if (at_ == steps_.size()) ended_ = Ended::kDone;
}

Question Interview::question() const {
  Question q;
  if (ended_ != Ended::kNo) return q;
  const Step& now = steps_[at_];
  q.kind = now.kind;
  q.line = now.line;
  q.first = now.first;
  for (std::size_t k = 0; k < steps_.size(); ++k) {
    if (steps_[k].kind != Question::Kind::kLine || steps_[k].first != now.first) continue;
    ++q.of;
    if (k <= at_) ++q.place;
  }
  if (now.line != nullptr && cells_.count(now.line->number) > 0) q.known = cells_.at(now.line->number);
  return q;
}

std::string Interview::write_sheet(const Cells& cells) const {
  std::string out =
      "# The bench sheet of one note, answered line by line. It can be changed and filled in further with an editor\n"
      "# (the numbers are those of the printed sheet), and read with: leverwright sheet --read THIS_FILE\n"
      "line, measurement, unit, " +
      note_ + "\n";
  for (const SheetLine& l : sheet_lines())
    if (const auto cell = cells.find(l.number); cell != cells.end())
      out += fmt::format("{}, \"{}\", {}, {}\n", l.number, l.name, l.unit, cell->second);
  return out;
}

Reply Interview::answer(const std::string& written) {
  if (base::shown_text(written) != written)
    return {Reply::Kind::kRefused, {"that holds characters which are no plain text"}};
  const std::string text = trimmed(written), word = base::lower(text);
  if (word == "stop") {
    ended_ = Ended::kStopped;
    return {Reply::Kind::kStop, {}};
  }
  if (word == "back") {
    if (asked_.empty()) return {Reply::Kind::kRefused, {"this is the first question"}};
    at_ = asked_.back();
    asked_.pop_back();
    return {Reply::Kind::kWentBack, {}};
  }
  if (const auto change = read_change(text)) {
    Reply reply = answer_line(*change->first, change->second);
    if (reply.kind != Reply::Kind::kRefused) {
      reply.kind = Reply::Kind::kChanged;
      reply.says.insert(reply.says.begin(),
                        fmt::format("line {}, {}: changed", change->first->number, change->first->name));
    }
    return reply;
  }
  const Step& now = steps_[at_];
  const bool enough = word == "done" || (now.kind == Question::Kind::kGoOn && is_one_of(word, {"no", "n"}));
  if (enough) {
    if (cells_.empty())
      return {Reply::Kind::kRefused, {"nothing is measured yet: answer a line first, or stop"}};
    ended_ = Ended::kDone;
    return {Reply::Kind::kDone, {}};
  }
  Reply reply;
  switch (now.kind) {
    case Question::Kind::kNote:
      reply = answer_note(text);
      break;
    case Question::Kind::kGoOn:
      if (!is_one_of(word, {"", "yes", "y", "go on"}))
        return {Reply::Kind::kRefused, {"yes, no, back or stop"}};
      break;
    default:
      reply = answer_line(*now.line, text);
  }
  if (reply.kind != Reply::Kind::kRefused) go_on();
  return reply;
}

Reply Interview::answer_note(const std::string& written) {
  if (is_unknown(base::lower(written))) return {Reply::Kind::kLeftOpen, {}};
  std::string name = written;
  name[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(name[0])));
  if (!note_named(name)) return {Reply::Kind::kRefused, {"\"" + written + "\" is no note: write C4 or F#5"}};
  note_ = name;
  return {};
}

Reply Interview::answer_line(const SheetLine& l, const std::string& written) {
  if (written.empty() && cells_.count(l.number) > 0) return {};  // as it stands
  if (is_unknown(base::lower(written))) {
    cells_.erase(l.number);
    if (l.use == Use::kLeadDistance) cells_.erase(line_of_lead(l.index));  // a lead without its place is none
    return {Reply::Kind::kLeftOpen, {}};
  }
  std::string cell = as_cell(written);
  if (l.use == Use::kChoice) {
    const auto words = words_of(l);
    const auto number = static_cast<std::size_t>(std::atoi(cell.c_str()));
    if (number >= 1 && number <= words.size()) cell = words[number - 1];
    cell = base::lower(cell);
  }
  Cells with = cells_;
  with[l.number] = cell;
  bool refused = false;
  const auto says = check(l, with, refused);
  if (refused) return {Reply::Kind::kRefused, says};
  cells_ = std::move(with);
  return {Reply::Kind::kTaken, says};
}

std::vector<std::string> Interview::check(const SheetLine& l, const Cells& cells, bool& refused) {
  std::vector<std::string> says;
  Cells asked = cells;
  // The place of a lead is asked next.
  if (l.use == Use::kLeadMass && asked.count(l.number + 1) == 0) asked[l.number + 1] = "100";
  try {
    const FilledSheet sheet = read_filled_text(write_sheet(asked), kPath);
    for (const std::string& w : sheet.warnings)
      if (said_.insert(w.substr(w.find(": ") + 1)).second) says.push_back(without_place(w, l));
    if (case_file::is_reconciled(l.key)) check_geometry(sheet, says, refused);
  } catch (const base::UserError& error) {
    refused = true;
    for (const auto& p : error.problems())
      for (auto& one : words_of_problem(p, l)) says.push_back(std::move(one));
  }
  return says;
}

void Interview::check_geometry(const FilledSheet& sheet, std::vector<std::string>& says,
                               bool& refused) const {
  try {
    const auto made = remedies::read_case_text(write_case_text(sheet, 0, base_).text, kPath);
    for (const std::string& w : find_misfits(sheet, 0, made)) says.push_back(w.substr(w.find(": ") + 2));
  } catch (const base::UserError& error) {
    refused = true;
    for (const auto& p : error.problems()) {
      says.push_back(p.what);
      if (!p.advice.empty()) says.push_back(p.advice);
    }
  }
}

std::vector<const SheetLine*> Interview::open_first() const {
  std::vector<const SheetLine*> out;
  for (const FirstLine& f : first_lines())
    if (cells_.count(f.number) == 0) out.push_back(find_line(f.number));
  return out;
}

}  // namespace leverwright::workshop
