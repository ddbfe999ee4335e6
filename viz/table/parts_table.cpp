#include "viz/table/parts_table.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "models/remedies/all.h"
#include "viz/table/cautions.h"

namespace leverwright::table {

using search::kTrialNumbers;
using search::PartsComparison;
using search::TrialNumbers;

namespace {

struct Column {
  std::size_t number;
  const char* heading;
};
// Weight, friction, dip and jack position, feel: what a person can compare at a glance. CSV has all.
constexpr std::array<Column, 9> kColumns = {{{study::kDownWeight, "down"},
                                             {study::kUpWeight, "up"},
                                             {study::kBalanceWeight, "balance"},
                                             {study::kFriction, "frict."},
                                             {study::kDistanceRatio, "ratio"},
                                             {study::kAftertouch, "after"},
                                             {study::kJackButton, "jack"},
                                             {study::kLetOffResistance, "let-off"},
                                             {study::kReflectedMass, "inertia"}}};

std::string shown_change(double si, const study::MeasureInfo& info) {
  const double value = si * info.display_factor;
  if (std::isnan(value)) return "-";
  if (std::isfinite(value) && std::abs(value) < 0.5 * std::pow(10.0, -info.decimals)) return "0";
  return fixed_signed(value, info.decimals);
}

std::string shown(const TrialNumbers& n, std::size_t k) { return shown_change(n[k], kTrialNumbers[k]); }

std::vector<Cell> numbers_row(const std::string& name, const std::string& a, const std::string& b,
                              const TrialNumbers& n, Colour colour) {
  std::vector<Cell> row{{name, colour}, {a, Colour::kQuiet}, {b, Colour::kQuiet}};
  for (const Column& c : kColumns) {
    const std::string text = shown(n, c.number);
    row.push_back({text, text == "0" ? Colour::kQuiet : Colour::kPlain, true});
  }
  return row;
}

std::vector<std::pair<std::string, const TrialNumbers*>> totals(const PartsComparison& c) {
  return {{"all together", &c.together}, {"sum of the single ones", &c.sum}, {"interaction", &c.interaction}};
}

std::string write_repetition_part(const PartsComparison& c, const Look& look) {
  Grid grid({44, 16, 16, 16, 16}, 1);
  std::vector<Cell> head{{"repetition, each regulated by playing", Colour::kHeading}}, units{{""}};
  for (const auto& info : search::kPartRepetition) {
    const std::string name = info.name;
    head.push_back({name.size() > 15 ? (name.find("full") != name.npos      ? "rate, full"
                                        : name.find("partial") != name.npos ? "rate, partial"
                                                                            : "least return")
                                     : name,
                    Colour::kHeading, true});
    units.push_back({info.display_unit, Colour::kQuiet, true});
  }
  grid.add(head);
  grid.add(units);
  grid.add_rule();
  const auto row = [&](const std::string& name, const search::PartRepetition& n, bool change) {
    std::vector<Cell> cells{{name}};
    for (std::size_t k = 0; k < search::kPartRepetitionCount; ++k) {
      const auto& info = search::kPartRepetition[k];
      cells.push_back({change             ? shown_change(n[k], info)
                       : std::isnan(n[k]) ? "-"
                                          : fixed(n[k] * info.display_factor, info.decimals),
                       Colour::kPlain, true});
    }
    grid.add(cells);
  };
  row("A", c.repetition_a, false);
  row("B", c.repetition_b, false);
  grid.add_rule();
  for (const auto& d : c.differences)
    if (d.counted) row(d.name + ", changed by", d.repetition, true);
  return grid.write(look) +
         wrap(
             "Rate: unbroken row of strokes, on a ladder of whole strokes a second made finer by "
             "halving. `leverwright repeat` says how it is found and what limits it.",
             look.width);
}

std::string write_text(const PartsComparison& c, const Look& look) {
  std::string out =
      wrap(fmt::format(
               "{}: A is \"{}\", B is \"{}\". They differ in {} dimension{}; {} are alike. Each line: that "
               "one dimension of B put into A, regulated afresh; largest effect on {} first.",
               c.slot, c.name_a, c.name_b, c.differences.size(), c.differences.size() == 1 ? "" : "s",
               c.alike, kTrialNumbers[c.ranked_by].name),
           look.width) +
      "\n";
  Grid grid({26, 15, 15, 6, 6, 7, 6, 6, 6, 6, 7, 7}, 1);
  std::vector<Cell> head{{"dimension", Colour::kHeading}, {"A", Colour::kHeading}, {"B", Colour::kHeading}};
  std::vector<Cell> units{{""}, {""}, {""}};
  for (const Column& column : kColumns) {
    const std::string unit = kTrialNumbers[column.number].display_unit;
    units.push_back({unit == "1" ? "" : unit, Colour::kQuiet, true});
  }
  for (const Column& column : kColumns) head.push_back({column.heading, Colour::kHeading, true});
  grid.add(head);
  grid.add(units);
  grid.add_rule();
  std::string left_out;
  int silent = 0;
  for (const auto& d : c.differences) {
    if (!d.counted) {
      left_out += wrap(
          fmt::format("{} ({} to {}) alone is left out: the action {}", d.name, d.value_a, d.value_b, d.why),
          look.width, "- ", "  ");
      continue;
    }
    bool moves = false;
    for (const Column& column : kColumns) moves |= shown(d.effect, column.number) != "0";
    if (moves)
      grid.add(numbers_row(d.name, d.value_a, d.value_b, d.effect, Colour::kPlain));
    else
      ++silent;
  }
  grid.add_rule();
  for (const auto& [name, numbers] : totals(c))
    grid.add(numbers_row(name, "", "", *numbers, Colour::kHeading));
  out += grid.write(look) + "\n";
  if (silent > 0) out += wrap(fmt::format("{} more move none of these numbers.", silent), look.width);
  out += left_out;
  if (!left_out.empty()) out += wrap("The sum holds those that could be tried alone.", look.width);
  if (!c.whole)
    out += wrap("Stopped before all were tried: sum and interaction are not those of the parts.", look.width);
  if (c.with_repetition) out += "\n" + write_repetition_part(c, look);
  out += "\n" + wrap(search::explain_parts(c), look.width);
  out += wrap(
      "after: aftertouch; jack: where its button is set; let-off: resistance there; inertia: reflected mass "
      "at "
      "half stroke. CSV and JSON have all numbers. Uncertainties are not worked out here.",
      look.width);
  out += write_short_cautions({&remedies::part()}, look);
  return out;
}

Json numbers_json(const TrialNumbers& n) {
  Json out;
  for (std::size_t k = 0; k < search::kTrialNumberCount; ++k) {
    const double value = n[k] * kTrialNumbers[k].display_factor;
    out[kTrialNumbers[k].key] = Json{{"value", value}, {"unit", kTrialNumbers[k].display_unit}};
  }
  return out;
}

Json repetition_json(const search::PartRepetition& n) {
  Json out;
  for (std::size_t k = 0; k < search::kPartRepetitionCount; ++k) {
    const auto& info = search::kPartRepetition[k];
    const double value = n[k] * info.display_factor;
    out[info.key] = Json{{"value", value}, {"unit", info.display_unit}};
  }
  return out;
}

void add_csv_lines(const PartsComparison& c, Document& document) {
  Table& t = document.table();
  for (const char* head : {"dimension", "key", "value_a", "value_b", "counted", "number", "unit", "effect"})
    t.columns.push_back({"", head});
  const auto add = [&](const std::string& name, const std::string& key, const std::string& a,
                       const std::string& b, bool counted, const auto& catalogue, const auto& numbers,
                       std::size_t count) {
    for (std::size_t k = 0; k < count; ++k)
      t.add({name, key, a, b, counted, catalogue[k].key, catalogue[k].display_unit,
             numbers[k] * catalogue[k].display_factor});
  };
  const std::size_t rates = c.with_repetition ? std::size_t{search::kPartRepetitionCount} : 0;
  for (const auto& d : c.differences) {
    add(d.name, d.key, d.value_a, d.value_b, d.counted, kTrialNumbers, d.effect, search::kTrialNumberCount);
    if (d.counted)
      add(d.name, d.key, d.value_a, d.value_b, true, search::kPartRepetition, d.repetition, rates);
  }
  add("A itself", "", "", "", true, search::kPartRepetition, c.repetition_a, rates);
  add("B itself", "", "", "", true, search::kPartRepetition, c.repetition_b, rates);
  for (const auto& [name, numbers] : totals(c))
    add(name, "", "", "", true, kTrialNumbers, *numbers, search::kTrialNumberCount);
}

Document side_document(const PartsComparison& c, const std::string& name, const TrialNumbers& numbers,
                       const search::PartRepetition& repetition) {
  Document d;
  d.set("name", name);
  d.set("numbers", numbers_json(numbers));
  if (c.with_repetition) d.set("repetition", repetition_json(repetition));
  return d;
}

}  // namespace

Document parts_document(const PartsComparison& c) {
  Document d("parts");
  d.set("status", c.whole ? "complete" : "stopped");
  d.set("slot", c.slot);
  d.member("a", side_document(c, c.name_a, c.a.numbers, c.repetition_a));
  d.member("b", side_document(c, c.name_b, c.b.numbers, c.repetition_b));
  d.set("dimensions_alike", c.alike);
  d.set("ranked_by", kTrialNumbers[c.ranked_by].key);
  d.set("differences", Json::array());
  for (const auto& difference : c.differences) {
    Document one;
    one.set("key", difference.key);
    one.set("name", difference.name);
    one.set("a", difference.value_a);
    one.set("b", difference.value_b);
    one.set("counted", difference.counted);
    one.set("why_not", difference.why);
    one.set("effect", numbers_json(difference.effect));
    if (c.with_repetition) one.set("repetition_effect", repetition_json(difference.repetition));
    d.add_to("differences", std::move(one));
  }
  for (const auto& [name, numbers] : totals(c)) d.set(name, numbers_json(*numbers));
  d.set("in_words", search::explain_parts(c));
  d.text([c](const Look& look) { return write_text(c, look); });
  add_csv_lines(c, d);
  return d;
}

}  // namespace leverwright::table
