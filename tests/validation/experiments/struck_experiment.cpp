// What governs the greatest force of a struck touch, and why its key bottoms after the string: tables of
// models/handbook/struck_experiment.md.
//
//   build/tests/validation/experiments/struck_experiment [PART OF A ROW'S NAME]      (from the project's
//   root, two minutes)
//
// Every row is the demo's base set-up with one thing different, regulated afresh by measure and by playing,
// and struck by a finger from above at the stated hammer speeds.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "models/action/options.h"
#include "models/playing/finger_touches.h"
#include "models/remedies/read_case.h"

namespace leverwright::study {
namespace {

using action::FingerTouch;
using case_file::CaseDescription;
using Moves = std::vector<std::pair<std::string, double>>;  // key of the case, SI
using Hand = std::function<void(FingerTouch&)>;

CaseDescription demo(const Moves& moves = {}, const std::vector<action::Option>& options = {}) {
  CaseDescription d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  for (const action::Option o : options) d = action::with_option(d, o, true);
  for (const auto& [key, value] : moves) d.quantities.at(key).value = value;
  return d;
}

SetUpResult solve(const CaseDescription& d) {
  CompareOptions options;
  options.uncertainty = false;
  return std::move(compare(d, options).set_ups.front());
}

std::string g_wanted;  // only rows whose name has this in it

struct Seen {
  bool found = false;
  double hand = NAN, peak = NAN, at_dip = NAN, before_string = NAN;  // [m/s], [N], [mm], [ms]
  double key_then = NAN, left = NAN;  // key's speed there over its greatest; way left at the string [mm]
  double bottom = NAN;                // key bottom minus string [ms]
  double travel = NAN;                // key start to string [ms]
  bool twice = false;
};

Seen strike(const CaseDescription& d, const SetUpResult& s, double speed, const Hand& hand,
            bool struck = true) {
  Seen out;
  FingerTouch touch = playing::find_finger(d, s.regulated.dip, struck);
  touch.speed = 0.2 * speed;
  if (hand) hand(touch);
  const auto& q = s.regulated.rest.q;
  const auto found = action::find_finger_touch(s.design, s.regulated.screws, q, speed, touch);
  out.found = found.found;
  if (!found.found) return out;
  const auto f = action::put_finger(s.design, s.regulated.screws, q, found.touch);
  action::PlayOptions fine;
  fine.stroke.output_interval = 5e-5;
  const auto r = action::play(f.action, f.rest, action::finger_touch_drive(f, found.touch),
                              action::finger_options(found.touch, fine));
  const double string = r.event[action::kStringContact];
  std::size_t top = 0, at_string = 0;
  for (std::size_t k = 0; k < r.series.time.size(); ++k) {
    if (r.series.time[k] <= string) at_string = k;
    if (r.series.time[k] < found.touch.released_at() && r.series.finger_force[k] > r.series.finger_force[top])
      top = k;
  }
  out.hand = found.touch.speed;
  out.peak = r.measures.peak_force;
  out.at_dip = r.series.dip[top] * 1e3;
  out.before_string = (string - r.series.time[top]) * 1e3;
  out.key_then = r.series.key_speed[at_string];
  out.left = (s.regulated.dip - r.series.dip[at_string]) * 1e3;
  out.bottom = r.measures.key_bottom_after_string * 1e3;
  out.travel = r.measures.travel_time * 1e3;
  out.twice = r.has(action::Fault::kDoubleHit);
  return out;
}

std::string cell(double x, int digits) {
  return std::isfinite(x) ? fmt::format(" {:.{}f} |", x, digits) : std::string(" - |");
}

void row(const std::string& name, const Moves& moves, const std::vector<action::Option>& options = {},
         const Hand& hand = {}, bool struck = true) {
  if (name.find(g_wanted) == std::string::npos) return;
  const CaseDescription d = demo(moves, options);
  const SetUpResult s = solve(d);
  std::string line = "| " + name + " |";
  if (!s.weighing.ok) {
    fmt::print("{} not regulated | | | | | | | | | | |\n", line);
    return;
  }
  line += cell(strike(d, s, 1.0, hand, struck).peak, 1) + cell(strike(d, s, 2.0, hand, struck).peak, 0);
  for (const double speed : {4.5, 6.0}) {
    const Seen x = strike(d, s, speed, hand, struck);
    line += cell(x.peak, 0) + cell(x.at_dip, 1) + cell(x.before_string, 1);
  }
  for (const double speed : {1.0, 2.0, 4.5, 6.0}) {
    const Seen x = strike(d, s, speed, hand, struck);
    line += fmt::format(" {}{} |", std::isfinite(x.bottom) ? fmt::format("{:.1f}", x.bottom) : "-",
                        x.twice ? " twice" : "");
    if (speed == 6.0) line += cell(x.left, 1) + cell(x.key_then, 2);
  }
  fmt::print("{}\n", line);
  std::fflush(stdout);
}

}  // namespace
}  // namespace leverwright::study

int main(int count, char** words) {
  using namespace leverwright::study;
  using leverwright::action::Option;
  using namespace leverwright::action;
  if (count > 1) leverwright::study::g_wanted = words[1];
  fmt::print(
      "| changed | p: peak, N | mf: peak, N | f: peak, N | at a dip of, mm | before the string, ms | ff: peak, N | at a dip of, mm | "
      "before "
      "the string, ms | key bottom minus string, ms: p | mf | f | ff | ff: way left at the string, mm | key "
      "then, "
      "m/s |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n");
  row("nothing", {});
  for (const double g : {50.0, 100.0, 400.0, 600.0})
    row(fmt::format("finger of {:g} g", g), {{"touches.finger_mass", g * 1e-3}});
  for (const double k : {1.0, 2.0, 10.0})
    row(fmt::format("flesh of {:g} N/mm at 1 N", k), {{"touches.finger_stiffness", k * 1e3}});
  row("flesh and key in series", {{"touches.finger_stiffness", 1.2e3}});
  for (const double c : {5.0, 40.0})
    row(fmt::format("flesh's damping {:g} N s/m", c), {{"touches.finger_damping", c}});
  for (const double h : {0.0, 20.0, 40.0})
    row(fmt::format("arm 3 N + {:g} N s/m", h), {}, {}, [h](FingerTouch& t) { t.hold_per_speed = h; });
  for (const double h : {5e-3, 60e-3})
    row(fmt::format("from {:g} mm", h * 1e3), {}, {}, [h](FingerTouch& t) { t.height = h; });
  for (const double h : {5e-3, 20e-3})
    row(fmt::format("hand's way below the bottom {:g} mm", h * 1e3), {}, {},
        [h](FingerTouch& t) { t.over = h; });
  row("shank bends", {}, {kShankBending});
  row("balance punching", {}, {kBalancePunching});
  row("both", {}, {kShankBending, kBalancePunching});
  row("dip 9.9 mm", {{"regulation.dip", 9.9e-3}});
  row("dip 9.5 mm", {{"regulation.dip", 9.5e-3}});
  row("dip 9.5 mm, balance punching", {{"regulation.dip", 9.5e-3}}, {kBalancePunching});
  row("front punching half as hard", {{"contact.key_front_punching.test_force", 10.0}});
  row("front punching half as hard again", {{"contact.key_front_punching.test_force", 30.0}});
  row("let-off 1 mm", {{"regulation.let_off", 1e-3}});
  row("pressed by the same finger", {}, {}, {}, false);
  const std::pair<std::string, double> light = {"touches.finger_mass", 50e-3};
  const std::pair<std::string, double> soft = {"touches.finger_stiffness", 1.2e3};
  row("both bend, flesh and key in series", {soft}, {kShankBending, kBalancePunching});
  row("the same, finger of 50 g", {soft, light}, {kShankBending, kBalancePunching});
  row("finger of 50 g, balance punching", {light}, {kBalancePunching});
  row("finger of 50 g, dip 9.5 mm", {light, {"regulation.dip", 9.5e-3}});
  row("finger of 50 g, balance punching, dip 9.5 mm", {light, {"regulation.dip", 9.5e-3}},
      {kBalancePunching});
  row("finger of 50 g, arm 3 N + 20 N s/m", {light}, {}, [](FingerTouch& t) { t.hold_per_speed = 20; });
  row("the same, balance punching, dip 9.5 mm", {light, {"regulation.dip", 9.5e-3}}, {kBalancePunching},
      [](FingerTouch& t) { t.hold_per_speed = 20; });
  return 0;
}
