#include "viz/table/repetition_table.h"

#include <fmt/format.h>

#include <algorithm>

#include "models/playing/write_repetition.h"

namespace leverwright::table {

using playing::Ladder;
using playing::Repetition;
using playing::Rung;

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
  const auto rows = playing::find_repetition_numbers(results.front());
  for (std::size_t k = 0; k < rows.size(); ++k) {
    std::vector<Cell> cells{{rows[k].name}, {rows[k].display_unit, Colour::kQuiet}};
    for (const auto& r : results)
      cells.push_back(
          {fixed(playing::find_repetition_numbers(r)[k].displayed(), decimals_of(rows[k].display_unit)),
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

// A row of strokes for other programs: in JSON as counted, in CSV as shares.
Document ladder_document(const Ladder& ladder) {
  Document d;
  d.set("back_mm", ladder.back * 1e3);
  d.set("highest_per_second", ladder.highest);
  d.set("unbroken_per_second", ladder.unbroken);
  Table& rungs = d.table("rungs");
  rungs.columns = {{"rate_per_second"}, {"single_hammer_speed_m_per_s"}, {"strokes"}, {"good"}, {"sounding"},
                   {"jack_set"},        {"key_below_rest_mm"},           {"stopped"}};
  for (const Rung& r : ladder.rungs)
    rungs.add(
        {r.rate, r.single_speed, r.counted, r.good, r.sounding, r.jack_set, r.key_height * 1e3, r.stopped});
  return d;
}

void add_csv_lines(const Repetition& r, Document& d) {
  Table& t = d.table();
  for (const char* head : {"set_up", "group", "rate_per_second", "name", "value", "unit"})
    t.columns.push_back({"", head});
  for (const auto& n : playing::find_repetition_numbers(r))
    t.add({r.set_up, "limit", "", n.name, n.displayed(), n.display_unit});
  for (const auto& i : r.influences) {
    t.add({r.set_up, "full return moved by", "", i.less, i.full_less, "1/s"});
    t.add({r.set_up, "full return moved by", "", i.more, i.full_more, "1/s"});
    t.add({r.set_up, "partial return moved by", "", i.less, i.partial_less, "1/s"});
    t.add({r.set_up, "partial return moved by", "", i.more, i.partial_more, "1/s"});
  }
  for (const bool full : {true, false})
    for (const Rung& g : (full ? r.full : r.partial).rungs) {
      const auto line = [&](const char* name, double value, const char* unit) {
        t.add({r.set_up, full ? "full return" : "partial return", g.rate, name, value, unit});
      };
      const double n = std::max(1, g.counted);
      line("share good", g.share_good(), "1");
      line("share sounding", g.sounding / n, "1");
      line("share with the jack set", g.jack_set / n, "1");
      line("single hammer speed", g.single_speed, "m/s");
      line("key below rest", g.key_height * 1e3, "mm");
    }
}

Document set_up_document(const Repetition& r) {
  Document d;
  d.set("name", r.set_up);
  Table& limits = d.table("limits");
  limits.columns = {{"name"}, {"value"}, {"unit"}};
  for (const auto& n : playing::find_repetition_numbers(r))
    limits.add({n.name, n.displayed(), n.display_unit});
  d.member("full", ladder_document(r.full));
  d.member("partial", ladder_document(r.partial));
  Table& influences = d.table("influences");
  influences.columns = {{"name"}, {"less"},      {"full_less"},   {"partial_less"},
                        {"more"}, {"full_more"}, {"partial_more"}};
  for (const auto& i : r.influences)
    influences.add({i.kind, i.less, i.full_less, i.partial_less, i.more, i.full_more, i.partial_more});
  d.set("words", r.words);
  add_csv_lines(r, d);
  return d;
}

}  // namespace

Document repetition_document(const std::string& case_path, const std::vector<Repetition>& results,
                             const playing::RepetitionOptions& o, const std::string& status) {
  Document d("repetition");
  d.set("case", case_path);
  d.set("status", status);
  d.set("finger", Json{{"down_time_ms", o.down_time * 1e3},
                       {"up_time_ms", o.up_time * 1e3},
                       {"time_jitter", o.time_jitter},
                       {"height_jitter", o.height_jitter},
                       {"seed", o.seed}});
  d.note(fmt::format(
      "A finger goes down in {:.0f} ms and up in {:.0f} ms where the rate leaves room, with jitter of {:.0f} "
      "% of the period and {:.0f} % of the way (seed {}). A rate holds when 90 % of {} strokes have at least "
      "80 % of the hammer speed of a single stroke of the same key travel.",
      o.down_time * 1e3, o.up_time * 1e3, o.time_jitter * 100, o.height_jitter * 100, o.seed, o.strokes - 1));
  d.space();
  d.text([results](const Look& look) { return write_limits(results, look); });
  for (const auto& r : results) {
    if (r.influences.empty()) continue;
    d.space();
    d.note("What limits \"" + r.set_up + "\". " + r.words);
    d.details("what moves the limits");
    d.text([r](const Look& look) { return write_influences(r, look); });
    d.essentials();
  }
  d.details("good strokes rate by rate");
  d.text([results](const Look& look) { return write_ladders(results, look); });
  d.essentials();
  for (const auto& r : results) d.add_to("set_ups", set_up_document(r));
  return d;
}

}  // namespace leverwright::table
