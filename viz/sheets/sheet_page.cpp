#include <fmt/format.h>

#include <kainjow/mustache.hpp>

#include "models/workshop/new_part.h"
#include "sim/base/error.h"
#include "viz/scene/base64.h"
#include "viz/sheets/drawings.h"
#include "viz/sheets/pages.h"
#include "viz/sheets/templates.h"
#include "viz/table/cautions.h"
#include "viz/table/sheet_table.h"

namespace leverwright::sheets {

using kainjow::mustache::data;
using workshop::SheetLine;

namespace {

data flag(bool on) { return data(on ? data::type::bool_true : data::type::bool_false); }

data text_or_nothing(const std::string& text) { return text.empty() ? flag(false) : data(text); }

// "112.5 +- 0.25" as print has it.
std::string printed(std::string text) {
  if (const auto at = text.find(" +- 0"); at != std::string::npos && at + 5 == text.size()) text.erase(at);
  if (const auto at = text.find("+-"); at != std::string::npos) text.replace(at, 2, "\u00b1");
  return text;
}

data figure(const Picture& picture) {
  data f;
  f.set("data", "data:image/svg+xml;base64," + scene::encode_base64(picture.svg));
  f.set("alt", picture.alt);
  f.set("caption", picture.caption);
  return f;
}

// A cell of the new part's column: where its line is not measured on that part, a dash.
data new_part_cell(const SheetLine& l, const SheetPage& page) {
  const bool there = !workshop::part_key(l, page.new_part).empty();
  data c;
  c.set("span", "1");
  c.set("kind", there ? "blank" : "none");
  c.set("unit",
        there ? text_or_nothing(l.unit == std::string("gf at 23 mm") ? "gf at 23" : l.unit) : flag(false));
  c.set("known", there ? "" : "\u2013");
  c.set("words", data(data::type::list));
  c.set("halves", flag(false));
  c.set("parted", flag(false));
  return c;
}

// One cell of a line that counts for the whole piano, parted into the old and the new part's.
void part_old_and_new(data& c, const std::string& unit, const std::string& known) {
  data halves(data::type::list);
  for (const bool old : {true, false}) {
    data half;
    half.set("unit", std::string(old ? "old " : "new ") + unit);
    half.set("known", old ? known : "");
    halves.push_back(half);
  }
  c.set("unit", flag(false));
  c.set("known", "");
  c.set("halves", std::move(halves));
  c.set("parted", flag(true));
}

// The cells of one line: one where the value is the piano's, else one for each note; a box to tick for each
// word.
data cells_of(const SheetLine& l, const SheetPage& page) {
  data out(data::type::list);
  const auto choices = workshop::words_of(l);
  for (std::size_t n = 0; n < (l.shared ? 1 : page.notes.size()); ++n) {
    data c;
    c.set("span", l.shared && !choices.empty() ? "5" : "1");  // words take the row of a table of pairs
    c.set("kind", choices.empty() ? "blank" : l.number == 2 ? "words natural" : "words");
    // The radius of a gauge is millimetres on every sheet.
    c.set("unit", text_or_nothing(l.unit == std::string("gf at 23 mm") ? "gf at 23" : l.unit));
    const std::string known = workshop::known_cell(l, page.known, page.notes, n);
    c.set("known", choices.empty() ? printed(known) : std::string());
    data list(data::type::list);
    for (const auto& word : choices) {
      data w;
      w.set("word", word);
      w.set("on", known == word ? "\u00d7" : "");
      list.push_back(w);
    }
    c.set("words", std::move(list));
    c.set("halves", flag(false));
    c.set("parted", flag(false));
    if (l.shared && choices.empty() && !page.new_part.empty() &&
        !workshop::part_key(l, page.new_part).empty())
      part_old_and_new(c, l.unit, printed(known));
    out.push_back(c);
  }
  if (!l.shared && !page.new_part.empty()) out.push_back(new_part_cell(l, page));
  return out;
}

data line_of(const SheetLine& l, const SheetPage& page) {
  const auto words = table::find_sheet_words(l, page.known, *page.plan);
  data line;
  line.set("number", std::to_string(l.number));
  line.set("name", l.name);
  line.set("most", flag(words.most));
  line.set("where", text_or_nothing(l.where));
  line.set("tool", l.tool);
  line.set("usual", text_or_nothing(words.usual));
  line.set("within", words.accuracy);
  line.set("finer", words.finer ? "finer" : "");
  line.set("cells", cells_of(l, page));
  return line;
}

// Mass and place of one lead in one row, a cell for each note parted in two.
data lead_row(const SheetLine& mass, const SheetLine& place, const SheetPage& page) {
  data line = line_of(mass, page), cells(data::type::list);
  line.set("number", fmt::format("{}, {}", mass.number, place.number));
  line.set("name", fmt::format("lead {}, mass and place", mass.index + 1));
  std::string where = mass.where;
  if (*place.where != '\0') where += std::string("; place ") + place.where;
  line.set("where", text_or_nothing(where));
  const auto m = table::find_sheet_words(mass, page.known, *page.plan),
             p = table::find_sheet_words(place, page.known, *page.plan);
  line.set("within", m.accuracy + ", " + p.accuracy);
  line.set("most", flag(m.most || p.most));
  for (std::size_t n = 0; n < page.notes.size(); ++n) {
    data c, halves(data::type::list);
    for (const SheetLine* l : {&mass, &place}) {
      data half;
      half.set("unit", l->unit);
      half.set("known", printed(workshop::known_cell(*l, page.known, page.notes, n)));
      halves.push_back(half);
    }
    c.set("span", "1");
    c.set("kind", "blank");
    c.set("unit", flag(false));
    c.set("known", "");
    c.set("words", data(data::type::list));
    c.set("halves", std::move(halves));
    c.set("parted", flag(true));
    cells.push_back(c);
  }
  if (!page.new_part.empty()) cells.push_back(new_part_cell(mass, page));
  line.set("cells", std::move(cells));
  return line;
}

data section_row(const std::string& section, std::size_t columns) {
  data head;
  head.set("section", section);
  head.set("all", std::to_string(columns));
  head.set("line", flag(false));
  head.set("two", flag(false));
  return head;
}

// One line to a row, a column for each note.
data single_table(const SheetPage& page, const std::vector<const SheetLine*>& lines) {
  data t, notes(data::type::list), rows(data::type::list);
  std::vector<std::string> heads = page.notes;
  if (!page.new_part.empty()) heads.push_back(workshop::kNewPartHeading + page.new_part);
  for (const auto& name : heads) {
    data n;
    n.set("name", name);
    n.set("width", heads.size() > 3 ? "18" : "23");
    notes.push_back(n);
  }
  std::string section;
  for (std::size_t k = 0; k < lines.size(); ++k) {
    const SheetLine* l = lines[k];
    if (section != l->section) rows.push_back(section_row(section = l->section, 5 + heads.size()));
    data row, one(data::type::list);
    row.set("section", flag(false));
    const bool lead = l->use == workshop::Use::kLeadMass && k + 1 < lines.size();
    one.push_back(lead ? lead_row(*l, *lines[k + 1], page) : line_of(*l, page));
    if (lead) ++k;
    row.set("line", std::move(one));
    rows.push_back(row);
  }
  t.set("notes", std::move(notes));
  t.set("rows", std::move(rows));
  return t;
}

// Two lines to a row: values of the whole piano need one cell each.
data pair_table(const SheetPage& page, const std::vector<const SheetLine*>& lines) {
  data t, rows(data::type::list);
  std::string section;
  for (std::size_t k = 0; k < lines.size();) {
    if (section != lines[k]->section) rows.push_back(section_row(section = lines[k]->section, 8));
    data row, two, both(data::type::list), pair(data::type::list);
    row.set("section", flag(false));
    const bool words = lines[k]->use == workshop::Use::kChoice;
    const std::size_t end =
        !words && k + 1 < lines.size() && section == lines[k + 1]->section ? k + 2 : k + 1;
    const bool alone = !words && end == k + 1;
    for (; k < end; ++k) both.push_back(line_of(*lines[k], page));
    two.set("line", std::move(both));
    two.set("alone", flag(alone));
    pair.push_back(two);
    row.set("two", std::move(pair));
    rows.push_back(row);
  }
  t.set("rows", std::move(rows));
  return t;
}

// Lines that follow each other and are of one kind make one table.
data tables_of(const SheetPage& page) {
  data out(data::type::list);
  const auto& all = workshop::sheet_lines();
  bool traced = false;
  for (std::size_t k = 0; k < all.size();) {
    std::vector<const SheetLine*> lines;
    const std::size_t from = k;
    for (; k < all.size() && all[k].shared == all[from].shared && all[k].supplement == all[from].supplement;
         ++k)
      lines.push_back(&all[k]);
    if (all[from].supplement && !page.supplement) continue;
    data t;
    data some(data::type::list), none(data::type::list);
    some.push_back(all[from].shared ? pair_table(page, lines) : single_table(page, lines));
    t.set("single", all[from].shared ? flag(false) : some);
    t.set("pairs", all[from].shared ? some : flag(false));
    t.set("trace", flag(false));
    if (all[from].supplement && !traced) {
      traced = true;
      none.push_back(figure(draw_trace_paper()));
      t.set("trace", none);
    }
    out.push_back(t);
  }
  return out;
}

}  // namespace

std::string write_sheet_page(const SheetPage& page) {
  const auto& d = *page.description;
  data p;
  p.set("title", page.with_case ? d.title : "any action");
  p.set("paper", page.paper);
  // Letter is 18 mm shorter a page.
  const bool letter = page.paper == "Letter";
  p.set("row", letter ? "5.15" : "5.7");
  const bool narrow =
      page.notes.size() + (page.new_part.empty() ? 0 : 1) > 3;  // four columns: more lines wrap
  p.set("drawing", letter ? (narrow ? "50" : "56") : (narrow ? "60" : "74"));
  p.set("question", text_or_nothing(page.with_case ? d.question : ""));
  p.set("invented", flag(page.with_case && d.invented));
  p.set("marked", flag(page.plan->worked_out));
  p.set("filled", flag(page.known != nullptr));
  const auto pictures = draw_sheet(d);
  data left(data::type::list), right(data::type::list);
  left.push_back(figure(pictures[0]));
  left.push_back(figure(pictures[1]));
  right.push_back(figure(pictures[2]));
  right.push_back(figure(pictures[3]));
  p.set("left", std::move(left));
  p.set("right", std::move(right));
  p.set("tables", tables_of(page));
  p.set("cautions", table::short_cautions({}));
  std::string elsewhere;
  for (const auto& one : page.plan->not_on_the_sheet) elsewhere += (elsewhere.empty() ? "" : "; ") + one;
  p.set("not_on_sheet", text_or_nothing(elsewhere));
  std::string next_page;  // what matters most and stands on the page that was left out
  for (const SheetLine& l : workshop::sheet_lines())
    if (!page.supplement && l.supplement && l.index == 0 &&
        table::find_sheet_words(l, nullptr, *page.plan).most)
      next_page += fmt::format("{}{} {}", next_page.empty() ? "" : "; ", l.number,
                               l.use == workshop::Use::kTracePoint ? "the heel's trace" : l.name);
  p.set("next_page", text_or_nothing(next_page));
  data remarks(data::type::list);
  for (int k = 0; k < (letter ? 1 : 2); ++k) remarks.push_back(data(""));
  p.set("remark_lines", std::move(remarks));
  kainjow::mustache::mustache tmpl(kSheetTemplate);
  const std::string html = tmpl.render(p);
  if (!tmpl.is_valid()) throw base::UserError("the bench sheet could not be filled: " + tmpl.error_message());
  return html;
}

}  // namespace leverwright::sheets
