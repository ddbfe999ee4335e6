#include "models/workshop/sheet_to_case.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <sstream>

#include "models/case_file/document.h"
#include "models/case_file/quantity.h"
#include "models/case_file/read_case.h"
#include "models/case_file/reconcile.h"
#include "models/case_file/schema.h"
#include "models/workshop/case_text.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::workshop {

using case_file::CaseDescription;
using case_file::Origin;

namespace {

void put_leads(const FilledSheet& sheet, std::size_t note, CaseText& text) {
  std::vector<std::string> block;
  bool any = false;
  for (int k = 0; k < kMostLeads; ++k) {
    const Cell *mass = sheet.find(line_of_lead(k), note), *place = sheet.find(line_of_lead(k) + 1, note);
    any = any || mass != nullptr;
    if (mass == nullptr || place == nullptr || mass->quantity.value == 0) continue;
    block.insert(block.end(), {"[[lead]]", "mass = " + case_file::toml_text(mass->text),
                               "distance = " + case_file::toml_text(place->text), ""});
  }
  if (!any) return;
  text.remove("[[lead]]");
  text.insert_before("[[set_up]]", block);
}

// Key friction weighed as a whole (line 75) goes into the case by its parts: what one of them was read as,
// the other has the rest; where neither was, in the proportion the case had.
void put_key_friction(const FilledSheet& sheet, std::size_t note, const CaseDescription& base,
                      CaseText& text) {
  const Cell *all = sheet.find(75, note), *balance = sheet.find(76, note), *front = sheet.find(77, note);
  if (all == nullptr || (balance != nullptr && front != nullptr)) return;
  const auto put = [&](const char* leaf, double force, double sigma) {
    text.put(
        "friction", leaf,
        case_file::toml_text(fmt::format("{:.12g} gf +- {:.12g} gf", std::max(0.0, force) / base::kGramForce,
                                         sigma / base::kGramForce)));
  };
  const double whole = all->quantity.value, sigma = all->quantity.sigma;
  if (balance != nullptr || front != nullptr) {
    const Cell* part = balance != nullptr ? balance : front;
    put(balance != nullptr ? "key_front" : "key_balance", whole - part->quantity.value,
        std::hypot(sigma, part->quantity.sigma));
    return;
  }
  const double b = base.value("friction.key_balance"), f = base.value("friction.key_front");
  const double share = b + f > 0 ? b / (b + f) : 0.5;
  put("key_balance", whole * share, sigma * std::sqrt(0.5));  // so that the sum keeps its own error
  put("key_front", whole * (1 - share), sigma * std::sqrt(0.5));
}

// Swing counts: readings of the case as found, leaned on beside the weights.
void put_swings(const FilledSheet& sheet, std::size_t note, CaseText& text) {
  for (const auto& [number, leaf] : {std::pair{78, "hammer_swings"}, std::pair{79, "wippen_swings"}})
    if (const Cell* c = sheet.find(number, note))
      text.put("measured", leaf,
               c->text.find("+-") == std::string::npos ? c->text : case_file::toml_text(c->text));
}

void put_trace(const FilledSheet& sheet, CaseText& text) {
  put_trace_block(text, "wippen.heel_profile", [&](const SheetLine& l) { return sheet.find(l.number, 0); });
}

// As a technician writes it: torques as a force at 23 mm.
std::string in_trade_words(const case_file::Quantity& q) {
  if (q.dimension != case_file::Dimension::kTorque) return case_file::write_quantity(q);
  const auto gf = [](double torque) { return fmt::format("{:.3g} gf", torque / (base::kGramForce * 0.023)); };
  std::string out = gf(q.value);
  if (q.knowledge == case_file::Knowledge::kEstimate)
    out += fmt::format(" ({} to {})", gf(q.low), gf(q.high));
  else if (q.sigma > 0)
    out += " +- " + gf(q.sigma);
  return out + " at 23 mm";
}

LeftOpen what_stays(const SheetLine& l, const CaseDescription& d) {
  LeftOpen open{l.number, l.name, "", true};
  if (l.use == Use::kChoice && d.choices.count(l.key) > 0) {
    open.stays = d.choices.at(l.key);
    open.estimate = false;
  } else if (const auto q = d.quantities.find(l.key); l.use == Use::kQuantity && q != d.quantities.end()) {
    open.stays = in_trade_words(q->second);
    open.estimate = q->second.from_default || q->second.knowledge == case_file::Knowledge::kEstimate;
  }
  return open;
}

}  // namespace

namespace {

// A reading of this state. Gauges and swings are no matter of regulation: they stand in the row as found, or
// in the regulated one where nothing was weighed as found.
const Cell* find_reading(const FilledSheet& sheet, calibrate::Kind kind, std::size_t note, bool regulated) {
  const bool any_found = sheet.find(81, note) != nullptr || sheet.find(82, note) != nullptr;
  for (const SheetLine& l : sheet_lines()) {
    if (reading_of(l) != kind || l.supplement) continue;
    const bool has_state = l.key.rfind("measured.", 0) == 0 || is_regulated_reading(l);
    const bool belongs = has_state ? is_regulated_reading(l) == regulated : any_found != regulated;
    if (!belongs) continue;
    if (const Cell* cell = sheet.find(l.number, note)) return cell;
  }
  return nullptr;
}

}  // namespace

CaseFromSheet write_case_text(const FilledSheet& sheet, std::size_t note, const CaseDescription& base) {
  CaseFromSheet out;
  out.note = sheet.notes[note];
  CaseText text(base.text);
  text.put("note", "name", case_file::toml_text(out.note));
  for (const SheetLine& l : sheet_lines()) {
    const Cell* c = sheet.find(l.number, note);
    const bool own_line = l.use == Use::kQuantity || l.use == Use::kChoice;
    if (c == nullptr) {
      if (own_line && !l.supplement) out.open.push_back(what_stays(l, base));
      continue;
    }
    if (!own_line) continue;
    const auto dot = l.key.rfind('.');
    const bool count = l.use == Use::kQuantity && dimension_of(l) == case_file::Dimension::kCount;
    text.put(l.key.substr(0, dot), l.key.substr(dot + 1), count ? c->text : case_file::toml_text(c->text));
  }
  if (const auto named = note_named(out.note)) {
    if (sheet.find(1, note) == nullptr) text.put("note", "number", fmt::format("{}", named->number));
    if (sheet.find(2, note) == nullptr)
      text.put("note", "kind", case_file::toml_text(named->sharp ? "sharp" : "natural"));
    const auto is_told = [](const LeftOpen& o) { return o.line == 1 || o.line == 2; };
    out.open.erase(std::remove_if(out.open.begin(), out.open.end(), is_told), out.open.end());
  }
  put_key_friction(sheet, note, base, text);
  put_swings(sheet, note, text);
  if (sheet.find(75, note) != nullptr)
    out.open.erase(std::remove_if(out.open.begin(), out.open.end(),
                                  [](const LeftOpen& o) { return o.line == 76 || o.line == 77; }),
                   out.open.end());
  put_leads(sheet, note, text);
  put_trace(sheet, text);
  out.text = text.text();
  return out;
}

std::string write_notes_file(const FilledSheet& sheet, const std::string& set_up) {
  // Readings first, then what each note has of its own in place of the case's.
  struct Column {
    const SheetLine* line;
    std::string heading;
    bool reading;
  };
  std::vector<Column> readings, own;
  for (const SheetLine& l : sheet_lines()) {
    if (l.shared || l.supplement) continue;
    bool filled = false;
    for (std::size_t n = 0; n < sheet.notes.size(); ++n)
      filled = filled || sheet.find(l.number, n) != nullptr;
    if (!filled) continue;
    const auto kind = reading_of(l);
    if (kind != calibrate::Kind::kKindCount) {
      // One column for a reading, whether it was taken as found, regulated, or both.
      if (std::any_of(readings.begin(), readings.end(),
                      [&](const Column& c) { return reading_of(*c.line) == kind; }))
        continue;
      const auto& info = calibrate::info_of(kind);
      const bool plain = info.dimension == case_file::Dimension::kNumber;
      readings.push_back(
          {&l, plain ? info.column : fmt::format("{} [{}]", info.column, info.display_unit), true});
    } else if (l.use == Use::kQuantity && l.key.rfind("note.", 0) != 0) {
      const std::string unit = l.unit;
      own.push_back({&l, unit.empty() ? l.key : fmt::format("{} [{}]", l.key, unit), false});
    }
  }
  if (readings.empty()) return "";
  std::vector<Column> columns = readings;
  columns.insert(columns.end(), own.begin(), own.end());
  std::string out = "# Sample notes from the bench sheet " +
                    std::filesystem::path(sheet.path).filename().string() +
                    ", for leverwright calibrate and afterwards.\nnote, set_up, state";
  for (const Column& c : columns) out += ", " + c.heading;
  out += "\n";
  const std::string name = set_up.find(',') == std::string::npos ? set_up : "\"" + set_up + "\"";
  for (std::size_t job = 0; job < 2 * sheet.notes.size(); ++job) {
    const std::size_t n = job / 2;
    const bool regulated = job % 2 == 1;
    std::string row = sheet.notes[n] + ", " + name + (regulated ? ", regulated" : ", as found");
    bool any = false;
    for (const Column& c : columns) {
      const Cell* cell =
          c.reading ? find_reading(sheet, reading_of(*c.line), n, regulated) : sheet.find(c.line->number, n);
      row += ",";
      if (cell == nullptr) continue;
      any = any || c.reading;
      double factor = 1;
      if (c.reading) {
        factor = calibrate::info_of(reading_of(*c.line)).display_factor;
      } else {
        const std::string unit = c.line->unit;
        const auto dimension = dimension_of(*c.line);
        factor = dimension == case_file::Dimension::kTorque ? 1 / (base::kGramForce * 0.023)
                 : unit.empty()                             ? 1
                                                            : 1 / case_file::trade_unit_in_si(dimension);
      }
      row += fmt::format(" {:.12g}", cell->quantity.value * factor);
      if (cell->quantity.sigma > 0) row += fmt::format(" +- {:.12g}", cell->quantity.sigma * factor);
    }
    if (any) out += row + "\n";
  }
  return out;
}

std::string blank_case_path() { return case_file::default_models_directory() + "/workshop/blank_case.toml"; }

std::vector<std::string> find_misfits(const FilledSheet& sheet, std::size_t note,
                                      const CaseDescription& made) {
  // One wrong length shows in all that check it: they are said together, with what each would have to be if
  // it alone were wrong; none is called wrong.
  std::vector<std::pair<const Cell*, std::string>> together;
  double worst = 0;
  for (const case_file::Misfit& m : case_file::reconcile(made).measurements) {
    if (std::abs(m.standardised) <= case_file::kMisfitWarning) continue;
    const SheetLine* l = find_line_of(m.key);
    const Cell* c = l == nullptr ? nullptr : sheet.find(l->number, note);
    if (c == nullptr) continue;
    worst = std::max(worst, std::abs(m.standardised));
    together.emplace_back(
        c, fmt::format("line {}, {}: {:.1f} mm, would have to be {:.1f} mm", l->number, l->name,
                       1e3 * m.measured, 1e3 * (m.measured - m.would_be_wrong_by)));
  }
  if (together.empty()) return {};
  if (together.size() == 1)
    return {fmt::format("{}:{}: {} by the other lengths ({:.1f} standard deviations): measure it again",
                        sheet.path, together[0].first->place.line, together[0].second, worst)};
  std::string all;
  for (const auto& one : together) all += (all.empty() ? "" : "; ") + one.second;
  return {
      fmt::format("{}:{}: these lengths do not agree ({:.1f} standard deviations). One of them is wrong, not "
                  "all; if it alone is: {}. Measure the easiest of them again",
                  sheet.path, together[0].first->place.line, worst, all)};
}

}  // namespace leverwright::workshop
