#include "viz/table/repetition_table.h"

#include <fmt/format.h>

#include "models/study/write_repetition.h"
#include "sim/base/version.h"
#include "viz/table/csv.h"
#include "viz/table/json.h"

namespace leverwright::table {

using study::Ladder;
using study::Repetition;
using study::Rung;

namespace {

int decimals_of(const std::string& unit) { return unit == "mm" ? 2 : 1; }

Grid across(const std::vector<Repetition>& results) {
  std::vector<int> widths{34, 4};
  widths.resize(2 + results.size(), 11);
  Grid grid(widths);
  std::vector<Cell> names{{""}, {""}};
  for (const auto& r : results) names.push_back({r.set_up, Colour::kHeading, true});
  grid.add(names);
  grid.add_rule();
  return grid;
}

std::string write_limits(const std::vector<Repetition>& results, const Look& look) {
  Grid grid = across(results);
  const auto rows = study::find_repetition_numbers(results.front());
  for (std::size_t k = 0; k < rows.size(); ++k) {
    std::vector<Cell> cells{{rows[k].name}, {rows[k].display_unit, Colour::kQuiet}};
    for (const auto& r : results)
      cells.push_back(
          {fixed(study::find_repetition_numbers(r)[k].displayed(), decimals_of(rows[k].display_unit)),
           Colour::kPlain, true});
    grid.add(cells);
  }
  return grid.write(look);
}

std::string write_ladders(const std::vector<Repetition>& results, const Look& look) {
  std::string out;
  for (const bool full : {true, false}) {
    Grid grid = across(results);
    const auto ladder = [full](const Repetition& r) -> const Ladder& { return full ? r.full : r.partial; };
    for (std::size_t k = 0; k < ladder(results.front()).rungs.size(); ++k) {
      std::vector<Cell> cells{{fmt::format("{:.1f}", ladder(results.front()).rungs[k].rate)},
                              {"1/s", Colour::kQuiet}};
      for (const auto& r : results) {
        const Rung& rung = ladder(r).rungs[k];
        cells.push_back({fmt::format("{:.0f} %", 100 * rung.share_good()),
                         rung.holds() ? Colour::kPlain : Colour::kBad, true});
      }
      grid.add(cells);
    }
    out += fmt::format("\nShare of good strokes, {} return ({:.1f} mm at the finger)\n",
                       full ? "full" : "partial", ladder(results.front()).back * 1e3) +
           grid.write(look);
  }
  return out;
}

std::string write_influences(const Repetition& r, const Look& look) {
  if (r.influences.empty()) return "";
  Grid grid({44, 8, 8, 44, 8, 8});
  grid.add({{"\"" + r.set_up + "\", limit moved by, 1/s", Colour::kHeading},
            {"full", Colour::kQuiet, true},
            {"partial", Colour::kQuiet, true},
            {""},
            {"full", Colour::kQuiet, true},
            {"partial", Colour::kQuiet, true}});
  grid.add_rule();
  for (const auto& i : r.influences)
    grid.add({{i.less},
              {fixed_signed(i.full_less, 1), Colour::kPlain, true},
              {fixed_signed(i.partial_less, 1), Colour::kPlain, true},
              {i.more},
              {fixed_signed(i.full_more, 1), Colour::kPlain, true},
              {fixed_signed(i.partial_more, 1), Colour::kPlain, true}});
  return "\n" + grid.write(look);
}

Json write_ladder_json(const Ladder& ladder) {
  Json out{{"back_mm", ladder.back * 1e3},
           {"highest_per_second", ladder.highest},
           {"unbroken_per_second", ladder.unbroken}};
  Json rungs = Json::array();
  for (const Rung& r : ladder.rungs)
    rungs.push_back(Json{{"rate_per_second", r.rate},
                         {"single_hammer_speed_m_per_s", r.single_speed},
                         {"strokes", r.counted},
                         {"good", r.good},
                         {"sounding", r.sounding},
                         {"jack_set", r.jack_set},
                         {"key_below_rest_mm", r.key_height * 1e3},
                         {"stopped", r.stopped}});
  out["rungs"] = rungs;
  return out;
}

}  // namespace

std::string write_repetition_table(const std::vector<Repetition>& results, const study::RepetitionOptions& o,
                                   const Look& look) {
  std::string out;
  if (results.empty()) return out;
  out +=
      wrap(fmt::format(
               "A finger goes down in {:.0f} ms and up in {:.0f} ms where the rate leaves room, with jitter "
               "of {:.0f} % of the period and {:.0f} % of the way (seed {}). A rate holds when 90 % of {} "
               "strokes have at least 80 % of the hammer speed of a single stroke of the same key travel.",
               o.down_time * 1e3, o.up_time * 1e3, o.time_jitter * 100, o.height_jitter * 100, o.seed,
               o.strokes - 1),
           look.width);
  out += "\n" + write_limits(results, look);
  for (const auto& r : results)
    if (!r.influences.empty()) {
      out += write_influences(r, look);
      out += "\n" + wrap("What limits \"" + r.set_up + "\". " + r.words, look.width);
    }
  return out + write_ladders(results, look);
}

std::string write_repetition_json(const std::string& case_path, const std::vector<Repetition>& results,
                                  const study::RepetitionOptions& o, const std::string& status) {
  Json out{{"format", "leverwright repetition"},
           {"format_version", 1},
           {"software_version", base::kVersion},
           {"case", case_path},
           {"status", status}};
  out["finger"] = Json{{"down_time_ms", o.down_time * 1e3},
                       {"up_time_ms", o.up_time * 1e3},
                       {"time_jitter", o.time_jitter},
                       {"height_jitter", o.height_jitter},
                       {"seed", o.seed}};
  Json set_ups = Json::array();
  for (const auto& r : results) {
    Json numbers = Json::array(), influences = Json::array();
    for (const auto& n : study::find_repetition_numbers(r))
      numbers.push_back(Json{{"name", n.name}, {"value", n.displayed()}, {"unit", n.display_unit}});
    for (const auto& i : r.influences)
      influences.push_back(Json{{"name", i.kind},
                                {"less", i.less},
                                {"full_less", i.full_less},
                                {"partial_less", i.partial_less},
                                {"more", i.more},
                                {"full_more", i.full_more},
                                {"partial_more", i.partial_more}});
    set_ups.push_back(Json{{"name", r.set_up},
                           {"limits", numbers},
                           {"full", write_ladder_json(r.full)},
                           {"partial", write_ladder_json(r.partial)},
                           {"influences", influences},
                           {"words", r.words}});
  }
  out["set_ups"] = set_ups;
  return out.dump(1) + "\n";
}

std::string write_repetition_csv(const std::vector<Repetition>& results) {
  std::string out = join_csv({"set_up", "group", "rate_per_second", "name", "value", "unit"});
  for (const auto& r : results) {
    for (const auto& n : study::find_repetition_numbers(r))
      out += join_csv({r.set_up, "limit", "", n.name, csv_number(n.displayed()), n.display_unit});
    for (const auto& i : r.influences)
      for (const auto& [group, what, value] : {std::tuple{"full return moved by", i.less, i.full_less},
                                               std::tuple{"full return moved by", i.more, i.full_more},
                                               std::tuple{"partial return moved by", i.less, i.partial_less},
                                               std::tuple{"partial return moved by", i.more, i.partial_more}})
        out += join_csv({r.set_up, group, "", what, csv_number(value), "1/s"});
    for (const bool full : {true, false})
      for (const Rung& g : (full ? r.full : r.partial).rungs) {
        const auto line = [&](const char* name, double value, const char* unit) {
          out += join_csv({r.set_up, full ? "full return" : "partial return", csv_number(g.rate), name,
                           csv_number(value), unit});
        };
        const double n = std::max(1, g.counted);
        line("share good", g.share_good(), "1");
        line("share sounding", g.sounding / n, "1");
        line("share with the jack set", g.jack_set / n, "1");
        line("single hammer speed", g.single_speed, "m/s");
        line("key below rest", g.key_height * 1e3, "mm");
      }
  }
  return out;
}

}  // namespace leverwright::table
