#include "viz/table/sheet_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "models/case_file/quantity.h"
#include "sim/base/units.h"
#include "sim/base/version.h"
#include "viz/table/cautions.h"
#include "viz/table/json.h"

namespace leverwright::table {

using workshop::AccuracyPlan;
using workshop::SheetLine;
using workshop::Use;

namespace {

const workshop::Asked* find_asked(const SheetLine& l, const AccuracyPlan& plan) {
  std::string key = l.key;
  if (l.use == Use::kLeadMass) key = fmt::format("lead {}: mass", l.index + 1);
  if (l.use == Use::kLeadDistance) key = fmt::format("lead {}: place", l.index + 1);
  const auto found = plan.by_key.find(key);
  return found == plan.by_key.end() ? nullptr : &found->second;
}

// "0.5 gf at 23 mm" -> "0.5 gf": the radius stands in the unit's column.
std::string short_unit(const std::string& text) { return text.substr(0, text.find(" at ")); }

double asked_in_unit(const SheetLine& l, double si) {
  switch (workshop::dimension_of(l)) {
    case case_file::Dimension::kTorque:
      return si / (base::kGramForce * 0.023);
    case case_file::Dimension::kNumber:
    case case_file::Dimension::kCount:
      return si;
    default:
      return si / case_file::trade_unit_in_si(workshop::dimension_of(l));
  }
}

Json head(const char* what) {
  return Json{{"format", what}, {"format_version", 1}, {"software_version", base::kVersion}};
}

}  // namespace

SheetWords find_sheet_words(const SheetLine& l, const case_file::CaseDescription* d,
                            const AccuracyPlan& plan) {
  SheetWords out;
  out.usual = workshop::usual_words(l);
  out.accuracy = short_unit(workshop::usual_uncertainty(l));
  if (const workshop::Asked* asked = find_asked(l, plan)) {
    out.most = asked->most;
    out.finer = asked->finer;
    if (asked->finer) {
      const std::string unit = short_unit(l.unit);
      out.accuracy = fmt::format("{:g}{}{}", workshop::round_down(asked_in_unit(l, asked->accuracy)),
                                 unit.empty() ? "" : " ", unit);
    }
  }
  if (d != nullptr) out.known = workshop::write_cell(l, *d);
  return out;
}

std::string write_sheet(const AccuracyPlan& plan, bool with_case, const Look& look) {
  std::string out;
  if (!plan.worked_out)
    return wrap(with_case
                    ? "Accuracies are the usual ones: which measurement matters most was not worked out."
                    : "No case: accuracies are the usual ones. With a case the sheet marks the measurements "
                      "that "
                      "matter most for its question.",
                look.width) +
           write_short_cautions({}, look);
  out += paint("What matters most for this case's question", Colour::kHeading, look) + "\n\n";
  std::vector<std::pair<double, const SheetLine*>> rows;
  for (const SheetLine& l : workshop::sheet_lines())
    if (const workshop::Asked* asked = find_asked(l, plan);
        asked != nullptr && asked->most && (l.use != Use::kTracePoint || l.index == 0))
      rows.emplace_back(asked->share, &l);
  std::stable_sort(rows.begin(), rows.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  Grid grid({4, 30, 12, 8, 0});
  grid.add({{"line", Colour::kQuiet},
            {"measurement", Colour::kQuiet},
            {"to within", Colour::kQuiet},
            {"share", Colour::kQuiet, true},
            {"of the doubt about", Colour::kQuiet}});
  for (const auto& [share, l] : rows) {
    const SheetWords w = find_sheet_words(*l, nullptr, plan);
    grid.add({{std::to_string(l->number)},
              {l->use == Use::kTracePoint ? "the heel's trace" : l->name},
              {w.accuracy + (w.finer ? " *" : "")},
              {fixed(100 * share, 0) + " %", Colour::kPlain, true},
              {find_asked(*l, plan)->answer}});
  }
  if (rows.empty()) out += "None stands out.\n";
  out += grid.write(look);
  out += "\n" + wrap(
                    "To within: one standard deviation; * finer than usual, so that the prediction is no "
                    "less sure than "
                    "the weighing that will check it.",
                    look.width);
  if (!plan.not_on_the_sheet.empty()) {
    std::string list;
    for (const auto& one : plan.not_on_the_sheet) list += (list.empty() ? "" : "; ") + one;
    out += wrap(
        "No line of the sheet measures " + list + ": weigh off sample notes and run leverwright calibrate.",
        look.width);
  }
  return out + write_short_cautions({}, look);
}

std::string write_sheet_json(const case_file::CaseDescription* d, const AccuracyPlan& plan) {
  Json j = head("leverwright sheet");
  j["lines"] = Json::array();
  for (const SheetLine& l : workshop::sheet_lines()) {
    const SheetWords w = find_sheet_words(l, d, plan);
    const workshop::Asked* asked = find_asked(l, plan);
    j["lines"].push_back({{"line", l.number},
                          {"measurement", l.name},
                          {"key", l.key},
                          {"unit", l.unit},
                          {"usual", w.usual},
                          {"to_within", w.accuracy},
                          {"matters_most", w.most},
                          {"share", asked != nullptr ? Json(asked->share) : Json(nullptr)},
                          {"known", w.known}});
  }
  j["not_on_the_sheet"] = plan.not_on_the_sheet;
  return j.dump(2) + "\n";
}

std::string write_read_back(const workshop::FilledSheet& sheet, const std::vector<ReadBack>& notes,
                            const Look& look) {
  std::string out;
  for (const ReadBack& n : notes) {
    out += paint(n.made.note, Colour::kHeading, look) + "  " + n.path + "\n";
    Grid grid({4, 34, 0, 0});
    bool any = false;
    // What is open on the first note's column as well is not said again.
    const auto said = [&](const workshop::LeftOpen& o) {
      const auto& first = notes.front().made.open;
      return &n != &notes.front() && std::any_of(first.begin(), first.end(), [&](const auto& f) {
        return f.line == o.line && f.stays == o.stays;
      });
    };
    for (const auto& o : n.made.open) {
      if (o.stays.empty() || said(o)) continue;
      grid.add({{std::to_string(o.line), Colour::kQuiet, true},
                {o.name},
                {o.stays},
                {o.estimate ? "an estimate, not this piano" : "as the case had it"}});
      any = true;
    }
    if (any) out += "\n  Not filled in; assumed instead:\n\n" + grid.write(look, "  ");
    std::string missing;
    for (const auto& o : n.made.open)
      if (o.stays.empty() && !said(o))
        missing += (missing.empty() ? "" : ", ") + fmt::format("{} {}", o.line, o.name);
    if (!missing.empty())
      out += "\n" + wrap("Not measured, and not needed: " + missing + ".", look.width, "  ", "  ");
    for (const auto& w : n.warnings) out += wrap(w, look.width, "  ! ", "    ");
    out += "\n";
  }
  for (const auto& w : sheet.warnings) out += wrap(w, look.width, "! ", "  ");
  return out;
}

std::string write_read_back_json(const workshop::FilledSheet& sheet, const std::vector<ReadBack>& notes) {
  Json j = head("leverwright sheet read");
  j["notes"] = Json::array();
  for (const ReadBack& n : notes) {
    Json one = {
        {"note", n.made.note}, {"case", n.path}, {"left_open", Json::array()}, {"warnings", n.warnings}};
    for (const auto& o : n.made.open)
      one["left_open"].push_back(
          {{"line", o.line}, {"measurement", o.name}, {"stays", o.stays}, {"estimate", o.estimate}});
    j["notes"].push_back(one);
  }
  j["warnings"] = sheet.warnings;
  return j.dump(2) + "\n";
}

}  // namespace leverwright::table
