#include "models/workshop/filled_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

#include "models/case_file/document.h"
#include "models/case_file/nearest.h"
#include "models/case_file/quantity.h"
#include "models/case_file/schema.h"
#include "models/case_file/sheet_text.h"
#include "models/case_file/units.h"
#include "models/workshop/bench_units.h"
#include "models/workshop/new_part.h"
#include "sim/base/decimal.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::workshop {

using case_file::Dimension;
using case_file::FileText;
using case_file::ProblemList;
using case_file::Quantity;
using case_file::trimmed;

namespace {

constexpr const char* kForm = "line, measurement, unit, and a column for each sample note";
constexpr double kApart = 4;  // standard deviations between two values of what is one thing

std::optional<double> read_number(const std::string& text) {
  const std::string t = trimmed(text);
  const char* from = t.c_str() + (!t.empty() && t[0] == '+' ? 1 : 0);
  double value = 0;
  const auto end = base::read_decimal(from, t.c_str() + t.size(), value);
  if (t.empty() || end.ec != std::errc() || end.ptr != t.c_str() + t.size() || !std::isfinite(value))
    return {};
  return value;
}

std::string digits(double value) { return fmt::format("{:.12g}", value); }

// The unit of the weight in "gf at 23 mm", and its radius.
struct CellUnit {
  std::string unit, radius;  // radius with its unit; empty unless a torque
};
CellUnit split_unit(const std::string& unit) {
  const auto at = unit.find(" at ");
  if (at == std::string::npos) return {unit, ""};
  return {unit.substr(0, at), unit.substr(at + 4)};
}

// A cell's own words into the text of a case: units put in, several readings made one.
std::string in_case_words(const std::string& written, const std::string& unit, Dimension dimension) {
  CellUnit u = split_unit(unit);
  std::string cell = in_case_units(written, dimension);
  if (const auto at = cell.find(" at "); at != std::string::npos) {
    u.radius = trimmed(cell.substr(at + 4));
    if (read_number(u.radius)) u.radius += " mm";
    cell = trimmed(cell.substr(0, at));
  }
  const std::string tail = u.radius.empty() ? "" : " at " + u.radius;
  const std::string unit_behind = u.unit.empty() ? "" : " " + u.unit;
  // What carries a unit of its own keeps it.
  const auto with_unit = [&](const std::string& number) {
    return ends_in_unit(number) ? number : number + unit_behind;
  };
  std::string sigma;
  for (const std::string sign : {"+-", "\u00b1"})
    if (const auto at = cell.find(sign); at != std::string::npos) {
      sigma = trimmed(cell.substr(at + sign.size()));
      cell = trimmed(cell.substr(0, at));
    }
  if (cell.find('/') != std::string::npos) {
    double sum = 0;
    int count = 0;
    std::string own;  // a unit written behind them
    for (const std::string& reading : case_file::split_fields(cell, '/')) {
      const auto behind = reading.find_last_of("0123456789.") + 1;
      if (ends_in_unit(reading)) own = " " + trimmed(reading.substr(behind));
      const auto value = read_number(reading.substr(0, behind));
      if (!value) return with_unit(cell) + tail;  // read_quantity says what is wrong with it
      sum += *value;
      ++count;
    }
    cell = digits(sum / count) + own;
  }
  if (const auto to = cell.find(" to "); to != std::string::npos && cell.find('(') == std::string::npos)
    return with_unit(trimmed(cell.substr(0, to))) + " to " + with_unit(trimmed(cell.substr(to + 4))) + tail;
  std::string out = with_unit(cell);
  if (!sigma.empty()) out += " +- " + (read_number(sigma) ? sigma + unit_behind : sigma);
  return out + tail;
}

struct Reader {
  FileText file;
  ProblemList problems;
  FilledSheet out;
  char separator = ',';
  std::vector<std::size_t> column_of_note;
  std::size_t line_column = 0, unit_column = 0, columns = 0;
  std::size_t new_column = 0;  // of a new part; 0: there is none
  bool headed = false;

  void warn(int line, const std::string& text) {
    out.warnings.push_back(fmt::format("{}:{}: {}", out.path, line, text));
  }
};

// "new wippen" -> "wippen"; "" when the heading names no part.
std::string new_part_of(const std::string& heading) {
  for (const std::string& slot : slots_of_new_parts())
    if (heading == kNewPartHeading + slot) return slot;
  return "";
}

void read_headings(Reader& r, const std::vector<std::string>& fields, int line) {
  r.headed = true;
  r.columns = fields.size();
  bool has_line = false, has_unit = false;
  for (std::size_t k = 0; k < fields.size(); ++k) {
    if (fields[k] == "line") {
      r.line_column = k;
      has_line = true;
    } else if (fields[k] == "unit") {
      r.unit_column = k;
      has_unit = true;
    } else if (const std::string slot = new_part_of(fields[k]); !slot.empty()) {
      if (r.new_column > 0)
        r.problems.add(r.file, line, "two columns are headed with a new part", "one new part on a sheet", "");
      r.new_column = k;
      r.out.new_slot = slot;
    } else if (fields[k] != "measurement" && !fields[k].empty()) {
      if (std::find(r.out.notes.begin(), r.out.notes.end(), fields[k]) != r.out.notes.end())
        r.problems.add(r.file, line, fmt::format("the note \"{}\" has two columns", fields[k]), kForm,
                       "several readings of one thing stand in one cell, between slashes");
      r.out.notes.push_back(fields[k]);
      r.column_of_note.push_back(k);
    }
  }
  if (!has_line || !has_unit || r.out.notes.empty())
    r.problems.add(r.file, line, "these are not the headings of a bench sheet", kForm,
                   "leverwright sheet writes such a file to fill in");
}

constexpr std::size_t kNewPart = 1000;  // in place of a note: the column of the new part

void read_cell(Reader& r, const SheetLine& l, const std::string& unit, std::string cell, std::size_t note,
               int line) {
  if (r.separator != ',') std::replace(cell.begin(), cell.end(), ',', '.');
  const std::string name = fmt::format("line {}, {}", l.number, l.name);
  Cell c;
  c.place = {r.out.path, line, r.file.line(line)};
  if (l.use == Use::kChoice) {
    const auto words = words_of(l);
    if (std::find(words.begin(), words.end(), cell) == words.end()) {
      const std::string near = case_file::nearest_word(cell, words);
      r.problems.add(r.file, line, fmt::format("{}: \"{}\" is none of its words", name, cell),
                     fmt::format("{}", fmt::join(words, ", ")),
                     near.empty() ? "" : fmt::format("did you mean \"{}\"?", near));
      return;
    }
    c.text = cell;
  } else if (l.use == Use::kTracePoint) {
    std::istringstream in(cell);
    std::string one, two, more;
    in >> one >> two >> more;
    const auto x = read_number(one), y = read_number(two);
    const auto* u = case_file::find_unit(case_file::normalise_unit(unit));
    if (!x || !y || !more.empty() || u == nullptr || u->dimension != Dimension::kLength) {
      r.problems.add(r.file, line, fmt::format("{}: \"{}\" is no point", name, cell),
                     "two numbers, a blank between them: 61.5 26.4",
                     "first toward the player, then below the wippen centre");
      return;
    }
    c.along = *x * u->si;
    c.below = *y * u->si;
    c.text = cell;
  } else {
    const bool plain = dimension_of(l) == Dimension::kNumber || dimension_of(l) == Dimension::kCount;
    c.text = in_case_words(cell, plain ? "" : unit, dimension_of(l));
    const case_file::KeySpec* spec = case_file::schema().find_key(l.key);
    const auto kind = reading_of(l);
    const std::string range = spec != nullptr                       ? spec->range
                              : kind != calibrate::Kind::kKindCount ? calibrate::info_of(kind).range
                                                                    : "";
    const auto result = case_file::read_quantity(c.text, dimension_of(l), usual_uncertainty(l), range);
    if (const auto* fault = std::get_if<case_file::QuantityFault>(&result)) {
      std::string advice = fault->advice;
      if (l.has_usual())
        advice += fmt::format("{}{} {} is usual", advice.empty() ? "" : "; ", usual_words(l), l.unit);
      r.problems.add(r.file, line, fmt::format("{} \"{}\": {}", name, cell, fault->what), fault->expected,
                     advice);
      return;
    }
    c.quantity = std::get<Quantity>(result);
    c.quantity.place = c.place;
    const auto as_si = [&](double value) {
      const auto text = in_case_words(digits(value), l.unit, dimension_of(l));
      return std::get<Quantity>(case_file::read_quantity(text, dimension_of(l))).value;
    };
    if (l.has_usual() &&
        (c.quantity.value < as_si(l.low) - 1e-12 || c.quantity.value > as_si(l.high) + 1e-12))
      r.warn(line, fmt::format("{}: {} is unusual ({} {} is usual): look again", name, c.text, usual_words(l),
                               l.unit));
  }
  if (note == kNewPart) {
    if (!r.out.new_part.emplace(l.number, c).second)
      r.problems.add(r.file, line, fmt::format("{}: two values for what is one thing", name),
                     "one line of this number", "measure it again");
    return;
  }
  const std::size_t at = l.shared ? 0 : note;
  const auto before = r.out.cells.find({l.number, at});
  if (before != r.out.cells.end()) {
    const Cell& b = before->second;
    const double apart = std::abs(b.quantity.value - c.quantity.value),
                 allowed = kApart * std::max(b.quantity.sigma, c.quantity.sigma);
    const bool same = l.use == Use::kQuantity ? apart <= allowed : b.text == c.text;
    if (!same)
      r.problems.add(
          r.file, line, fmt::format("{}: two values for what is one thing: {} and {}", name, b.text, c.text),
          l.shared ? "one value for the whole piano, or several that agree" : "one line of this number",
          "measure it again");
    return;
  }
  r.out.cells[{l.number, at}] = c;
}

void read_row(Reader& r, const std::vector<std::string>& fields, int line) {
  if (fields.size() > r.columns || std::max({r.line_column, r.unit_column}) >= fields.size()) {
    r.problems.add(r.file, line,
                   fmt::format("{} fields where the headings name {}", fields.size(), r.columns),
                   "one field for each heading, empty where nothing was measured",
                   "a decimal comma counts as a separator here: write a point, or semicolons between fields");
    return;
  }
  const auto number = read_number(fields[r.line_column]);
  constexpr double kMostLines = 1000;  // of any sheet
  const SheetLine* l =
      number && *number > 0 && *number < kMostLines ? find_line(static_cast<int>(*number)) : nullptr;
  if (l == nullptr || *number != l->number) {
    r.problems.add(r.file, line, fmt::format("the sheet has no line \"{}\"", fields[r.line_column]),
                   "a number of the printed sheet, such as 11 for the spread",
                   "leverwright sheet writes a file with every number");
    return;
  }
  for (std::size_t n = 0; n < r.out.notes.size(); ++n) {
    const std::size_t k = r.column_of_note[n];
    if (k >= fields.size() || fields[k].empty()) continue;
    read_cell(r, *l, fields[r.unit_column], fields[k], n, line);
  }
  if (r.new_column == 0 || r.new_column >= fields.size() || fields[r.new_column].empty()) return;
  if (part_key(*l, r.out.new_slot).empty())
    r.problems.add(
        r.file, line,
        fmt::format("line {}, {}: this is not measured on a {}", l->number, l->name, r.out.new_slot),
        fmt::format("an empty cell under \"{}{}\"", kNewPartHeading, r.out.new_slot), "");
  else
    read_cell(r, *l, fields[r.unit_column], fields[r.new_column], kNewPart, line);
}

// What two lines of one note say together.
void find_contradictions(Reader& r) {
  for (std::size_t n = 0; n < r.out.notes.size(); ++n) {
    const auto value = [&](int line) { return r.out.find(line, n); };
    for (const int at : {81, 151}) {
      const Cell *down = value(at), *up = value(at + 1);
      if (down != nullptr && up != nullptr && up->quantity.value >= down->quantity.value)
        r.problems.add(r.file, up->place.line,
                       fmt::format("{}: the up weight, {}, is not below the down weight, {}", r.out.notes[n],
                                   up->text, down->text),
                       "an up weight some 20 gf below it",
                       fmt::format("lines {} and {} may have been exchanged", at, at + 1));
    }
    const Cell *all = value(75), *balance = value(76), *front = value(77);
    if (all != nullptr && balance != nullptr && front != nullptr) {
      const double misfit = all->quantity.value - balance->quantity.value - front->quantity.value;
      const double sigma = std::sqrt(std::pow(all->quantity.sigma, 2) + std::pow(balance->quantity.sigma, 2) +
                                     std::pow(front->quantity.sigma, 2));
      if (std::abs(misfit) > 3 * sigma)
        r.warn(all->place.line,
               fmt::format("{}: line 75 is {:.1f} gf more than lines 76 and 77 together: measure them again",
                           r.out.notes[n], misfit / base::kGramForce));
    }
    const Cell *dip = value(83), *after = value(87);
    if (dip != nullptr && after != nullptr && after->quantity.value >= 0.5 * dip->quantity.value)
      r.problems.add(
          r.file, after->place.line,
          fmt::format("{}: an aftertouch of {} in a dip of {}", r.out.notes[n], after->text, dip->text),
          "about a tenth of the dip", "measure from let-off to the bottom of the dip");
  }
  for (int k = 0; k < kMostLeads; ++k)
    for (std::size_t n = 0; n < r.out.notes.size(); ++n) {
      const int line = line_of_lead(k);
      const Cell *mass = r.out.find(line, n), *place = r.out.find(line + 1, n);
      const bool none = mass != nullptr && mass->quantity.value == 0;
      if ((mass == nullptr) != (place == nullptr) && !none)
        r.problems.add(r.file, (mass != nullptr ? mass : place)->place.line,
                       fmt::format("{}: lead {} has {}", r.out.notes[n], k + 1,
                                   mass != nullptr ? "no place" : "no mass"),
                       fmt::format("lines {} and {}", line, line + 1), "");
    }
}

}  // namespace

const Cell* FilledSheet::find(int line, std::size_t note) const {
  const SheetLine* l = find_line(line);
  const auto at = cells.find({line, l != nullptr && l->shared ? 0 : note});
  return at == cells.end() ? nullptr : &at->second;
}

namespace {

FilledSheet read_lines(Reader r) {
  for (std::size_t k = 0; k < r.file.lines.size(); ++k) {
    const int number = static_cast<int>(k) + 1;
    const std::string line = case_file::without_remark(r.file.lines[k]);
    if (!r.headed) {
      const std::string bare = trimmed(line);
      if (bare.empty()) continue;
      for (const char c : {';', '\t'})
        if (bare.find(c) != std::string::npos) r.separator = c;
    }
    const auto fields = case_file::split_fields(line, r.separator);
    if (std::all_of(fields.begin(), fields.end(), [](const auto& f) { return f.empty(); })) continue;
    if (!r.headed)
      read_headings(r, fields, number);
    else if (r.problems.empty() || !r.out.notes.empty())
      read_row(r, fields, number);
  }
  if (r.problems.empty() && r.out.cells.empty())
    r.problems.add(r.file, 0, "nothing is filled in", "at least one value under a note", "");
  find_contradictions(r);
  if (!r.problems.empty()) throw base::UserError(r.problems.sorted());
  return std::move(r.out);
}

}  // namespace

FilledSheet read_filled_sheet(const std::string& path) {
  Reader r;
  r.out.path = path;
  if (!case_file::read_sheet_lines(path, "the filled sheet", "leverwright sheet writes one to fill in",
                                   r.file, r.problems))
    throw base::UserError(r.problems.sorted());
  return read_lines(std::move(r));
}

FilledSheet read_filled_text(const std::string& text, const std::string& path) {
  Reader r;
  r.out.path = r.file.path = path;
  r.file.text = text;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) r.file.lines.push_back(line);
  return read_lines(std::move(r));
}

std::string write_cell(const SheetLine& l, const case_file::CaseDescription& d) {
  const auto number = [&](double value, double sigma) {
    const CellUnit u = split_unit(l.unit);
    double si = 1;
    if (!u.unit.empty()) si = case_file::find_unit(case_file::normalise_unit(u.unit))->si;
    if (!u.radius.empty()) si *= 0.023;
    return digits(value / si) + " +- " + digits(sigma / si);
  };
  switch (l.use) {
    case Use::kChoice:
      return d.choices.count(l.key) > 0 ? d.choices.at(l.key) : "";
    case Use::kQuantity: {
      const auto found = d.quantities.find(l.key);
      if (found == d.quantities.end() || found->second.from_default ||
          found->second.knowledge == case_file::Knowledge::kEstimate)
        return "";
      const bool count = dimension_of(l) == Dimension::kCount;
      return count ? digits(found->second.value) : number(found->second.value, found->second.sigma);
    }
    case Use::kLeadMass:
    case Use::kLeadDistance: {
      const auto k = static_cast<std::size_t>(l.index);
      if (k >= d.leads.size()) return "";
      const case_file::Lead& lead = d.leads[k];
      return l.use == Use::kLeadMass ? number(lead.mass, lead.sigma_mass)
                                     : number(lead.distance, lead.sigma_distance);
    }
    case Use::kTracePoint: {
      const auto found = d.point_lists.find(l.key);
      const auto k = static_cast<std::size_t>(l.index);
      if (found == d.point_lists.end() || k >= found->second.x.size() ||
          found->second.x.size() > static_cast<std::size_t>(kTracePoints))
        return "";
      return digits(-1e3 * found->second.x[k]) + " " + digits(-1e3 * found->second.y[k]);
    }
    default:
      return "";
  }
}

std::string known_cell(const SheetLine& l, const case_file::CaseDescription* d,
                       const std::vector<std::string>& notes, std::size_t n) {
  if (d == nullptr) return "";
  if (l.shared) return n == 0 ? write_cell(l, *d) : "";
  if (notes[n] == d->choice("note.name")) return write_cell(l, *d);
  const auto note = note_named(notes[n]);
  if (!note) return "";
  if (l.key == "note.number") return digits(note->number);
  return l.key == "note.kind" ? (note->sharp ? "sharp" : "natural") : "";
}

std::string write_blank_file(const case_file::CaseDescription* d, const std::vector<std::string>& notes,
                             bool supplement, const std::string& new_slot) {
  std::string out =
      "# A bench sheet to type into. The numbers are those of the printed sheet; an empty cell was not "
      "measured.\n"
      "# In a cell: 112.5 or 112.5 +- 0.25; several readings 53 / 54 / 53; a centre at another radius 3.5 at "
      "20.\n";
  out += "line, measurement, unit";
  for (const auto& note : notes) out += ", " + note;
  if (!new_slot.empty()) out += ", " + std::string(kNewPartHeading) + new_slot;
  out += "\n";
  const char* section = "";
  for (const SheetLine& l : sheet_lines()) {
    if (l.supplement && !supplement) continue;
    if (std::string(section) != l.section) out += fmt::format("# {}\n", section = l.section);
    const auto words = words_of(l);
    std::string name = l.name;
    if (!words.empty()) name += fmt::format(" ({})", fmt::join(words, " / "));
    const bool quote = name.find(',') != std::string::npos;
    out += fmt::format("{}, {}{}{}, {}", l.number, quote ? "\"" : "", name, quote ? "\"" : "", l.unit);
    for (std::size_t n = 0; n < notes.size(); ++n) out += ", " + known_cell(l, d, notes, n);
    out += "\n";
  }
  return out;
}

}  // namespace leverwright::workshop
