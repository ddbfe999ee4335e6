// What each option of the model changes in what a user looks at: the table of models/handbook/options.md.
//
//   build/tests/validation/experiments/options_experiment      (from the project's root)
//
// One column as the program comes, one for each option switched the other way by itself (action::kOptions: a
// new option gets its column by standing there), one with all on. Each is the base set-up of the demo,
// regulated afresh (back check and repetition spring by playing), weighed and played. The finger's force is
// the one that the first column needs for the touch, so hammer speeds are comparable "at the same force
// history".
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <string>
#include <vector>

#include "models/playing/finger_touches.h"
#include "models/playing/repetition.h"
#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "sim/base/units.h"

namespace leverwright::study {
namespace {

const std::vector<std::string> kTouches = {"p", "mf", "f", "ff"};

struct Column {
  std::string name;
  SetUpResult set_up;
  std::vector<PlayedTouch> strokes;  // at the first column's forces
  double repetition = NAN;           // unbroken with full return [1/s]
  double struck = NAN;               // greatest force of the finger that strikes at f [N]
};

case_file::CaseDescription demo() { return remedies::read_case("cases/missed_heel/case.toml"); }

bool on_by_default(action::Option option) {
  static const action::Options options = action::read_options(demo());
  return options.has(option);
}

Column make_column(const std::string& name, const std::vector<action::Option>& other, bool on,
                   const Column* first) {
  case_file::CaseDescription d = demo();
  d.set_ups.resize(1);
  for (const auto o : other) d = action::with_option(d, o, on);
  CompareOptions options;
  options.uncertainty = false;
  options.touches = first ? std::vector<std::string>{} : kTouches;
  Column c;
  c.name = name;
  c.set_up = std::move(compare(d, options).set_ups.front());
  playing::RepetitionOptions repeat;
  repeat.why = false;
  repeat.step = 1;
  c.repetition = playing::find_repetition(d, 0, c.set_up, repeat).full.unbroken;
  const PlayedTouch struck = playing::play_finger_touch(d, c.set_up, "f", true);
  if (struck.found.found) c.struck = struck.stroke.measures.peak_force;
  if (!first) {
    c.strokes = c.set_up.touches;
    return c;
  }
  const action::Rest rest = action::build_rest(c.set_up.action, c.set_up.regulated.rest.q);
  for (const PlayedTouch& own : first->strokes) {
    PlayedTouch t = own;
    t.stroke =
        action::play(c.set_up.action, rest, action::pressed_drive(c.set_up.action, own.found.touch), {});
    c.strokes.push_back(t);
  }
  return c;
}

double peak(const Column& c, const PlayedTouch& t, action::ContactId place) {
  const auto& m = c.set_up.action.mechanism;
  return t.stroke.peak_normal[static_cast<std::size_t>(
      m.group_of(c.set_up.action.contact[static_cast<std::size_t>(place)]))];
}

void write_line(const std::string& what, const std::string& unit, const std::vector<Column>& columns,
                const std::function<double(const Column&)>& value, int digits) {
  std::string line = fmt::format("| {} | {} |", what, unit);
  for (const Column& c : columns) {
    const double x = value(c);
    line += std::isfinite(x) ? fmt::format(" {:.{}f} |", x, digits) : std::string(" - |");
  }
  fmt::print("{}\n", line);
}

void write_table() {
  std::vector<Column> columns;
  columns.push_back(make_column("as it comes", {}, true, nullptr));
  std::vector<action::Option> all;
  for (int i = 0; i < action::kOptionCount; ++i) {
    const auto o = static_cast<action::Option>(i);
    all.push_back(o);
    const bool on = !on_by_default(o);
    columns.push_back(
        make_column((on ? "" : "without ") + std::string(action::kOptions[static_cast<std::size_t>(i)].name),
                    {o}, on, &columns.front()));
  }
  columns.push_back(make_column("all on", all, true, &columns.front()));
  std::string head = "| quantity | unit |", rule = "|---|---|";
  for (const Column& c : columns) {
    head += fmt::format(" {} |", c.name);
    rule += "---|";
  }
  fmt::print("{}\n{}\n", head, rule);
  const auto weighed = [&](const char* what, const char* unit, double factor, int digits, auto value) {
    write_line(
        what, unit, columns, [&](const Column& c) { return value(c.set_up.weighing) * factor; }, digits);
  };
  const double gf = 1 / base::kGramForce;
  weighed("down weight", "gf", gf, 2, [](const auto& w) { return w.down_weight; });
  weighed("up weight", "gf", gf, 2, [](const auto& w) { return w.up_weight; });
  weighed("friction", "gf", gf, 2, [](const auto& w) { return w.friction; });
  weighed("distance ratio", "", 1, 3, [](const auto& w) { return w.distance_ratio; });
  weighed("let-off resistance", "N", 1, 3, [](const auto& w) { return w.let_off_resistance; });
  write_line(
      "repetition, full return", "1/s", columns, [](const Column& c) { return c.repetition; }, 1);
  write_line(
      "f struck: greatest force of the finger", "N", columns, [](const Column& c) { return c.struck; }, 1);
  for (std::size_t k = 0; k < kTouches.size(); ++k) {
    const auto played = [&](const char* what, const char* unit, double factor, int digits, auto value) {
      write_line(
          fmt::format("{}: {}", kTouches[k], what), unit, columns,
          [&](const Column& c) { return k < c.strokes.size() ? value(c, c.strokes[k]) * factor : NAN; },
          digits);
    };
    using C = const Column&;
    using T = const PlayedTouch&;
    played("hammer speed, same force", "m/s", 1, 3, [](C, T t) { return t.stroke.measures.hammer_speed; });
    played("key start to string", "ms", 1e3, 1, [](C, T t) { return t.stroke.measures.travel_time; });
    played("key bottom after string", "ms", 1e3, 2,
           [](C, T t) { return t.stroke.measures.key_bottom_after_string; });
    played("hammer on the string", "ms", 1e3, 2, [](C, T t) { return t.stroke.measures.string_time; });
    played("rebound over hammer speed", "", 1, 2,
           [](C, T t) { return t.stroke.measures.rebound_speed / t.stroke.measures.hammer_speed; });
    played("held after string", "ms", 1e3, 1, [](C, T t) { return find_held_time(t); });
    played("caught below the string", "mm", 1e3, 1, [](C, T t) { return t.stroke.measures.check_distance; });
    played("check after string", "ms", 1e3, 1, [](C, T t) { return t.stroke.measures.check_time; });
    played("greatest force on the string", "N", 1, 1,
           [](C c, T t) { return peak(c, t, action::kHammerString); });
    played("greatest force jack on knuckle", "N", 1, 1,
           [](C c, T t) { return peak(c, t, action::kJackKnuckle); });
    played("greatest force on the heel", "N", 1, 1,
           [](C c, T t) { return peak(c, t, action::kCapstanHeel); });
    played("energy audit, per million", "", 1e6, 0, [](C, T t) { return std::abs(t.stroke.audit.error()); });
    played("right-hand sides", "", 1, 0,
           [](C, T t) { return static_cast<double>(t.stroke.statistics.rhs_calls); });
  }
}

}  // namespace
}  // namespace leverwright::study

int main() {
  leverwright::study::write_table();
  return 0;
}
