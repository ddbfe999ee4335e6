#include "viz/table/parts_table.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "models/remedies/all.h"
#include "viz/table/cautions.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"

namespace leverwright::table {

using study::kTrialNumbers;
using study::PartsComparison;
using study::TrialNumbers;

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
  for (const auto& info : study::kPartRepetition) {
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
  const auto row = [&](const std::string& name, const study::PartRepetition& n, bool change) {
    std::vector<Cell> cells{{name}};
    for (std::size_t k = 0; k < study::kPartRepetitionCount; ++k) {
      const auto& info = study::kPartRepetition[k];
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

}  // namespace

std::string write_parts(const PartsComparison& c, const Look& look) {
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
  out += "\n" + wrap(study::explain_parts(c), look.width);
  out += wrap(
      "after: aftertouch; jack: where its button is set; let-off: resistance there; inertia: reflected mass "
      "at "
      "half stroke. CSV and JSON have all numbers. Uncertainties are not worked out here.",
      look.width);
  out += write_short_cautions({&remedies::part()}, look);
  return out;
}

namespace {

// name, key, a, b of the line; nothing where repetition was not asked for.
std::string repetition_csv(const PartsComparison& c, const std::vector<std::string>& line,
                           const study::PartRepetition& n) {
  std::string out;
  for (std::size_t k = 0; c.with_repetition && k < study::kPartRepetitionCount; ++k) {
    const auto& info = study::kPartRepetition[k];
    out += join_csv({line[0], line[1], line[2], line[3], "yes", info.key, info.display_unit,
                     csv_number(n[k] * info.display_factor)});
  }
  return out;
}

}  // namespace

std::string write_parts_csv(const PartsComparison& c) {
  std::string out =
      join_csv({"dimension", "key", "value_a", "value_b", "counted", "number", "unit", "effect"});
  const auto lines = [&](const std::string& name, const std::string& key, const std::string& a,
                         const std::string& b, bool counted, const TrialNumbers& n) {
    for (std::size_t k = 0; k < study::kTrialNumberCount; ++k)
      out += join_csv({name, key, a, b, counted ? "yes" : "no", kTrialNumbers[k].key,
                       kTrialNumbers[k].display_unit, csv_number(n[k] * kTrialNumbers[k].display_factor)});
  };
  for (const auto& d : c.differences) {
    lines(d.name, d.key, d.value_a, d.value_b, d.counted, d.effect);
    if (d.counted) out += repetition_csv(c, {d.name, d.key, d.value_a, d.value_b}, d.repetition);
  }
  out += repetition_csv(c, {"A itself", "", "", ""}, c.repetition_a);
  out += repetition_csv(c, {"B itself", "", "", ""}, c.repetition_b);
  for (const auto& [name, numbers] : totals(c)) lines(name, "", "", "", true, *numbers);
  return out;
}

namespace {

Json numbers_json(const TrialNumbers& n) {
  Json out;
  for (std::size_t k = 0; k < study::kTrialNumberCount; ++k) {
    const double value = n[k] * kTrialNumbers[k].display_factor;
    out[kTrialNumbers[k].key] = Json{{"value", value}, {"unit", kTrialNumbers[k].display_unit}};
  }
  return out;
}

Json repetition_json(const study::PartRepetition& n) {
  Json out;
  for (std::size_t k = 0; k < study::kPartRepetitionCount; ++k) {
    const auto& info = study::kPartRepetition[k];
    const double value = n[k] * info.display_factor;
    out[info.key] = Json{{"value", value}, {"unit", info.display_unit}};
  }
  return out;
}

}  // namespace

std::string write_parts_json(const PartsComparison& c) {
  Json out;
  out["format"] = "leverwright parts";
  out["format_version"] = 1;
  out["status"] = c.whole ? "complete" : "stopped";
  out["slot"] = c.slot;
  out["a"] = Json{{"name", c.name_a}, {"numbers", numbers_json(c.a.numbers)}};
  out["b"] = Json{{"name", c.name_b}, {"numbers", numbers_json(c.b.numbers)}};
  out["dimensions_alike"] = c.alike;
  out["ranked_by"] = kTrialNumbers[c.ranked_by].key;
  Json differences = Json::array();
  if (c.with_repetition) {
    out["a"]["repetition"] = repetition_json(c.repetition_a);
    out["b"]["repetition"] = repetition_json(c.repetition_b);
  }
  for (const auto& d : c.differences) {
    differences.push_back(Json{{"key", d.key},
                               {"name", d.name},
                               {"a", d.value_a},
                               {"b", d.value_b},
                               {"counted", d.counted},
                               {"why_not", d.why},
                               {"effect", numbers_json(d.effect)}});
    if (c.with_repetition) differences.back()["repetition_effect"] = repetition_json(d.repetition);
  }
  out["differences"] = differences;
  for (const auto& [name, numbers] : totals(c)) out[name] = numbers_json(*numbers);
  out["in_words"] = study::explain_parts(c);
  return out.dump(2) + "\n";
}

}  // namespace leverwright::table
