#include "viz/table/case_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>

#include "models/case_file/quantity.h"
#include "models/case_file/remedy.h"
#include "models/judgement/sentences.h"
#include "sim/base/units.h"

namespace leverwright::table {

using case_file::CaseDescription;
using case_file::Dimension;
using case_file::Knowledge;
using case_file::Quantity;

namespace {

// Torques are shown as a technician reads them off a gauge on the flange.
constexpr double kTorqueRadius = 23e-3;

double shown_unit(Dimension d) {
  return d == Dimension::kTorque ? base::kGramForce * kTorqueRadius : case_file::trade_unit_in_si(d);
}

std::string with_unit(double si, Dimension d) {
  const std::string unit = case_file::trade_unit(d);
  return fmt::format("{:.5g}", si / shown_unit(d)) + (unit.empty() ? "" : " " + unit);
}

std::string section_of(const std::string& key) {
  const auto dot = key.rfind('.');
  return dot == std::string::npos ? "" : key.substr(0, dot);
}

std::string counted(std::size_t many, const char* word, const char* one, const char* more) {
  return fmt::format("{} {}{}", many, word, many == 1 ? one : more);
}

// Key, value, uncertainty and place as wide as they need; the source takes what is left.
std::vector<int> find_widths(const CaseDescription& d, const Look& look) {
  constexpr int kIndent = 2, kGap = 2, kLeastSource = 18;
  std::vector<int> widths{0, 0, 0, 0, 0};
  const auto fit = [&](std::size_t column, const std::string& text) {
    widths[column] = std::max(widths[column], columns_of(text));
  };
  for (const auto& [key, q] : d.quantities) {
    fit(0, key.substr(key.rfind('.') == std::string::npos ? 0 : key.rfind('.') + 1));
    fit(1, write_value(q));
    fit(2, write_sigma(q));
    fit(3, write_place(q.place, q.from_default));
  }
  for (const auto& [key, word] : d.choices) {
    fit(0, key);
    if (key.find('.') != std::string::npos) fit(1, word);
  }
  int taken = kIndent;
  for (std::size_t k = 0; k < 4; ++k) taken += widths[k] + kGap;
  widths[4] = std::max(kLeastSource, look.width - taken);
  return widths;
}

std::string change_words(const case_file::Change& c) {
  std::string out = c.kind();
  for (const auto& [name, word] : c.choices) out += ", " + name + " " + word;
  for (const auto& [name, q] : c.quantities) {
    const std::string sigma = write_sigma(q);
    out += ", " + name + " " + write_value(q) + (sigma.empty() ? "" : " " + sigma);
  }
  return out;
}

}  // namespace

std::string write_value(const Quantity& q) { return with_unit(q.value, q.dimension); }

std::string write_sigma(const Quantity& q) {
  if (q.knowledge == Knowledge::kExact || q.sigma <= 0) return "";
  if (q.knowledge == Knowledge::kMeasured) return fmt::format("+- {:.3g}", q.sigma / shown_unit(q.dimension));
  return fmt::format("{:.4g} to {:.4g}", q.low / shown_unit(q.dimension), q.high / shown_unit(q.dimension));
}

std::string write_place(const case_file::Origin& place, bool from_default) {
  if (place.file.empty() || from_default) return "usual value";
  const std::string name = std::filesystem::path(place.file).filename().string();
  return place.line > 0 ? fmt::format("{}:{}", name, place.line) : name;
}

namespace {

std::string write_head(const CaseDescription& d, const Look& look) {
  std::string out = paint(d.title, Colour::kHeading, look) + "\n";
  if (!d.question.empty()) out += wrap(d.question, look.width);
  out +=
      wrap(fmt::format(
               "{}: understood. {}, {}, {}, {}.", d.path, counted(d.quantities.size(), "quantit", "y", "ies"),
               counted(d.leads.size(), "key lead", "", "s"), counted(d.set_ups.size(), "set-up", "", "s"),
               counted(d.warnings.size(), "warning", "", "s")),
           look.width);
  return out;
}

// What was read at the bench: values the case itself holds with their accuracy.
bool is_bench_reading(const CaseDescription& d, const Quantity& q) {
  return !q.from_default && q.place.file == d.path && q.knowledge == Knowledge::kMeasured;
}

void add_readings(const CaseDescription& d, Document& out) {
  out.heading("Readings at the bench");
  Table& t = out.table("readings");
  t.indent = "  ";
  t.columns = {{"key", "", "", "", 0}, {"", "", "", "", 0}, {"", "", "", "", 0}, {"", "", "", "", 0}};
  for (const auto& [key, q] : d.quantities)
    if (is_bench_reading(d, q))
      t.add({key, Entry(q.value).as(write_value(q)), write_sigma(q),
             Entry(write_place(q.place, q.from_default)).in(Colour::kQuiet)});
}

std::string write_values(const CaseDescription& d, const Look& look) {
  std::string out;
  out += "\n" + paint("Choices", Colour::kHeading, look) + "\n";
  const std::vector<int> widths = find_widths(d, look);
  Grid choices(widths);
  for (const auto& [key, word] : d.choices) {
    if (key == "title" || key == "question" || key == "story" || key == "instrument")
      continue;  // they stand above
    const auto place = d.choice_origins.find(key);
    std::string where = place != d.choice_origins.end() ? write_place(place->second, false) : "usual value";
    if (place == d.choice_origins.end() && (key.rfind("parts.", 0) == 0 || key.rfind("materials.", 0) == 0))
      where = "case file";
    choices.add({{key}, {word}, {""}, {where, Colour::kQuiet}});
  }
  out += choices.write(look, "  ");

  std::map<std::string, Grid> sections;  // the keys are in order, and so are their sections
  for (const auto& [key, q] : d.quantities) {
    const std::string section = section_of(key);
    Grid& grid = sections.emplace(section, Grid(widths)).first->second;
    grid.add({{key.substr(section.empty() ? 0 : section.size() + 1)},
              {write_value(q), Colour::kPlain, true},
              {write_sigma(q)},
              {write_place(q.place, q.from_default), Colour::kQuiet},
              {q.source, Colour::kQuiet}});
  }
  for (const auto& [section, grid] : sections)
    out += "\n" + paint("[" + section + "]", Colour::kHeading, look) + "\n" + grid.write(look, "  ");

  if (!d.point_lists.empty()) {
    out += "\n" + paint("Traced points", Colour::kHeading, look) + "\n";
    Grid lists(widths);
    for (const auto& [key, list] : d.point_lists)
      lists.add({{key},
                 {fmt::format("{} points", list.x.size()), Colour::kPlain, true},
                 {list.sigma > 0 ? fmt::format("+- {:.3g} mm", list.sigma * 1e3) : ""},
                 {write_place(list.place, false), Colour::kQuiet},
                 {list.source, Colour::kQuiet}});
    out += lists.write(look, "  ");
  }
  if (!d.leads.empty()) {
    out += "\n" + paint("Key leads", Colour::kHeading, look) + "\n";
    for (const auto& lead : d.leads)
      out += fmt::format("  {} g +- {} g at {} mm +- {} mm from the balance hole ({})\n",
                         fixed(lead.mass * 1e3, 1), fixed(lead.sigma_mass * 1e3, 1),
                         fixed(lead.distance * 1e3, 1), fixed(lead.sigma_distance * 1e3, 1),
                         write_place(lead.place, false));
  }
  return out;
}

std::string write_changes(const CaseDescription& d, const Look& look) {
  std::string out;
  for (const auto& s : d.set_ups)
    for (const auto& c : s.changes)
      out += wrap(s.name + ": " + change_words(c) + "  (" + write_place(c.place, false) + ")", look.width,
                  "- ", "  ");
  return out;
}

}  // namespace

Document case_document(const CaseDescription& d) {
  Document out;
  out.text([&d](const Look& look) { return write_head(d, look); });
  out.heading("Set-ups");
  for (const auto& s : d.set_ups) {
    const bool never = &s != &d.set_ups.front() && case_file::undone_class(s) == judgement::kNotReversible;
    out.note(s.name + (never ? std::string(" [") + judgement::kNotReversibleMark + "]" : "") +
                 (s.description.empty() ? "" : ": " + s.description),
             "  ", "    ");
  }
  out.details("what each set-up changes");
  out.heading("Changes");
  out.text([&d](const Look& look) { return write_changes(d, look); });
  out.essentials();
  add_readings(d, out);
  out.details("every value with its source");
  out.text([&d](const Look& look) { return write_values(d, look); });
  out.essentials();
  if (!d.warnings.empty()) out.heading("Warnings");
  for (const auto& w : d.warnings) out.bullet(w);
  return out;
}

}  // namespace leverwright::table
