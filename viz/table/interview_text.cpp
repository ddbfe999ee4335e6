#include "viz/table/interview_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "viz/table/cautions.h"

namespace leverwright::table {

using workshop::Interview;
using workshop::Question;
using workshop::Reply;
using workshop::SheetLine;
using workshop::Use;

namespace {

const std::string kIndent(8, ' ');

// "wippen centre to hammer centre, pin to pin (calliper; 109 to 115 mm is usual)"
std::string write_where(const SheetLine& l) {
  const std::string usual = workshop::usual_words(l);
  std::string how = l.tool;
  if (!usual.empty()) how += fmt::format("{}{} {} is usual", how.empty() ? "" : "; ", usual, l.unit);
  std::string out = l.where;
  if (!how.empty()) out += fmt::format("{}({})", out.empty() ? "" : " ", how);
  return out;
}

std::string write_prompt(const SheetLine& l, const std::string& known) {
  std::string out;
  const auto words = workshop::words_of(l);
  for (std::size_t k = 0; k < words.size(); ++k)
    out += fmt::format("{}{} {}", k == 0 ? "" : ", ", k + 1, words[k]);
  if (words.empty()) out = l.unit;
  if (!known.empty()) out += fmt::format("{}[{}]", out.empty() ? "" : " ", known);
  return out + " > ";
}

std::string listed(const std::vector<std::string>& items) {
  return fmt::format("{}.", fmt::join(items, "; "));
}

}  // namespace

std::string InterviewText::question(const Question& q, const Interview& interview) {
  std::string out;
  const auto begin = [&](const std::string& section) {
    if (section == section_) return;
    section_ = section;
    out += "\n" + paint(section, Colour::kHeading, look_) + "\n";
  };
  switch (q.kind) {
    case Question::Kind::kNote:
      begin("The note");
      return out +
             wrap("note measured: its name, C4 for the C in the middle", look_.width, kIndent, kIndent) +
             kIndent + "[" + interview.note() + "] > ";
    case Question::Kind::kGoOn:
      section_.clear();
      return "\n" +
             wrap(
                 "That is the beginning: what tells most is asked. The rest of the sheet narrows the answer further; "
                 "it can wait (done, or stop and go on another day).",
                 look_.width) +
             "Go on with the rest? yes, no > ";
    case Question::Kind::kLine: {
      const SheetLine& l = *q.line;
      begin(l.section);
      const std::string first = fmt::format("{:>3}     ", l.number);
      const std::string where = write_where(l);
      out += wrap(std::string(l.name) + (where.empty() ? "" : ": ") + where, look_.width, first, kIndent);
      return out + kIndent + paint(fmt::format("{} of {}  ", q.place, q.of), Colour::kQuiet, look_) +
             write_prompt(l, q.known);
    }
    default:
      return "";
  }
}

std::string InterviewText::reply(const Reply& reply) const {
  std::string out;
  for (const std::string& one : reply.says)
    out += wrap(one, look_.width,
                kIndent + (&one != &reply.says.front()           ? "  "
                           : reply.kind == Reply::Kind::kChanged ? "- "
                                                                 : "! "),
                kIndent + "  ");
  if (reply.kind == Reply::Kind::kRefused && !out.empty()) out += kIndent + "  Not taken.\n";
  return out;
}

std::string write_interview_head(const Interview& interview, const std::string& sheet_path,
                                 const Look& look) {
  std::string out = paint("A case of your own piano", Colour::kHeading, look) + "\n";
  out += wrap(
      "Type the number and press Enter: 112.5, 112.5 +- 0.25, 4 7/16 in, several readings 53 / 54 / 53. Press Enter "
      "alone (or type don't know) where nothing was measured: an estimate with a wide range stands there. back goes to "
      "the question before, 11 = 112.5 changes line 11, done makes the case of what there is, stop keeps it for another "
      "day. leverwright sheet prints these lines with their numbers and drawings.",
      look.width);
  out += wrap(fmt::format("Answers are kept in {} as they are given{}.", sheet_path,
                          interview.given() > 0 ? fmt::format("; {} stand there", interview.given()) : ""),
              look.width);
  return out + write_short_cautions({}, look);
}

std::string write_interview_end(const Interview& interview, const workshop::FilledSheet& sheet,
                                const ReadBack& made, const Look& look) {
  std::vector<std::string> measured, assumed, open;
  for (const SheetLine& l : workshop::sheet_lines())
    if (const workshop::Cell* c = sheet.find(l.number, 0); c != nullptr && l.use != Use::kTracePoint)
      measured.push_back(fmt::format("{} {}", l.name, c->text));
  for (const auto& o : made.made.open)
    if (o.estimate && !o.stays.empty() && (o.line < 91 || o.line > 99))
      assumed.push_back(fmt::format("{} {}", o.name, o.stays));
  for (const SheetLine* l : interview.open_first())
    open.push_back(fmt::format("{} (line {})", l->name, l->number));
  std::string out = paint(fmt::format("{}: {}", made.path, made.made.note), Colour::kHeading, look) + "\n";
  const std::string lines =
      measured.size() == 1 ? "One line is" : fmt::format("{} lines are", measured.size());
  out += wrap(lines + " measured on this piano: " + listed(measured), look.width);
  if (!assumed.empty())
    out += "\n" +
           wrap(fmt::format("Estimates, not this piano, stand for {}: {}", assumed.size(), listed(assumed)),
                look.width);
  out +=
      "\n" +
      wrap(
          "Wippen, jack, lever, hammer and rails are those of invented part files, with ranges as wide as such "
          "parts differ (leverwright new --parts asks for them).",
          look.width);
  if (!open.empty()) out += wrap("Still open and worth measuring first: " + listed(open), look.width);
  for (const auto& w : made.warnings) out += wrap(w, look.width, "! ", "  ");
  out += fmt::format(
      "\nNext:\n    leverwright read {0}\n    leverwright try {0} \"capstan 3 mm toward the balance rail\"\n",
      made.path);
  return out;
}

}  // namespace leverwright::table
