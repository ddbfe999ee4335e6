// What governs the fall of friction when capstan and heel are both moved 9.5 mm toward the balance rail
// (bench row of 1995), and what the sideways give of the heel cloth is worth: the tables of
// models/handbook/relocation_experiment.md.
//
//   build/tests/validation/experiments/relocation_experiment      (from the project's root)
//
// Every row is the pair of set-ups of tests/validation/bench_rows, each regulated afresh, with the named
// numbers moved before and after. The bench row: sixteen notes, factors 0.46 to 0.79, mean 0.62; weight
// ratio 7.5 to 5.5.
#include <fmt/format.h>

#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

using Moves = std::vector<std::pair<std::string, double>>;  // key of the case, value in SI

constexpr double kMm = 1e-3, kGfAt23 = base::kGramForce * 23e-3;

const case_file::CaseDescription& rows_case() {
  static const auto d = remedies::read_case("tests/validation/bench_rows/case.toml");
  return d;
}

// "heel height": the whole trace of the heel lower (a taller heel), with the regulated capstan below it.
case_file::CaseDescription with(const Moves& moves) {
  case_file::CaseDescription d = rows_case();
  for (const auto& [key, value] : moves)
    if (key == "heel height")
      for (double& y : d.point_lists.at("wippen.heel_profile").y) y -= value;
    else
      d.quantities.at(key).value = value;
  return d;
}

struct Side {
  bool ok = false;
  double friction = 0, ratio = 0, down = 0, up = 0, capstan = 0, fall = 0, line = 0;
};

Side weigh_side(const Moves& moves, const std::vector<case_file::Change>& changes) {
  const auto d = with(moves);
  case_file::SetUp s;
  s.changes = changes;
  case_file::CaseDescription kept = d;
  kept.choices["regulation.policy"] = "keep blow and aftertouch";
  ActionDesign base = design(kept, case_file::SetUp{});
  level_key(base, {});
  Side out;
  ActionDesign mine = design(kept, s);
  mine.back_rail_offset = base.back_rail_offset;
  const Prepared p = prepare(mine);
  out.ok = p.regulated.ok && p.weighing.ok;
  if (!out.ok) return out;
  const auto& w = p.weighing;
  out.friction = p.friction();
  out.ratio = w.weight_ratio;
  out.down = p.down();
  out.up = p.up();
  // Half of D - U less the mean of half the gap between the two curves: the part that is the fall of the
  // curves.
  out.fall = p.friction() - 0.5 * (w.mean_down - w.mean_up) / kGf;
  const auto heel = static_cast<std::size_t>(p.action.contact[kCapstanHeel]);
  double sum = 0, length = 0;
  for (std::size_t k = 1; k < w.down.size(); ++k) {
    if (w.down[k].travel < w.window_from || w.down[k].travel > w.window_to) continue;
    const double h = w.down[k].travel - w.down[k - 1].travel;
    sum += h * 0.5 * (w.down[k].ledger.friction[heel] + w.up[k].ledger.friction[heel]);
    length += h;
  }
  out.capstan = length > 0 ? sum / length / kGf : 0;
  out.line = find_bench_notes(p.action, p.regulated, w).line_distance_half * 1e3;
  return out;
}

std::vector<case_file::Change> moved(double mm) {
  if (mm == 0) return {};
  const char* way = mm > 0 ? "toward the balance rail" : "toward the strings";
  return {make_change("capstan moved", {{"distance", std::abs(mm) * kMm}}, {{"direction", way}}),
          make_change("heel re-glued", {{"shift", std::abs(mm) * kMm}, {"shim", 0}}, {{"direction", way}})};
}

void row(const std::string& name, const Moves& before, const Moves& after, double from = 0, double to = 9.5) {
  const Side a = weigh_side(before, moved(from)), b = weigh_side(after, moved(to));
  if (!a.ok || !b.ok) {
    fmt::print("| {} | not regulated | | | | | | |\n", name);
    return;
  }
  fmt::print(
      "| {} | {:.1f} to {:.1f} | {:.2f} | {:.2f} to {:.2f} | {:.2f} to {:.2f} | {:.1f} to {:.1f} | {:.1f} to "
      "{:.1f} |\n",
      name, a.friction, b.friction, b.friction / a.friction, a.ratio, b.ratio, a.capstan, b.capstan, a.fall,
      b.fall, a.line, b.line);
}

Moves knuckle(double mu) {
  return {{"contact.jack_knuckle.friction", mu}, {"contact.lever_knuckle.friction", mu}};
}

Moves together(Moves a, const Moves& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

int run() {
  fmt::print(
      "| changed | friction, gf | factor | weight ratio | of it capstan on heel | of it fall of the "
      "curves | "
      "contact above the line of centres, mm |\n|---|---|---|---|---|---|---|\n");
  const auto same = [](const std::string& name, const Moves& m) { row(name, m, m); };
  row("nothing", {}, {});
  for (const double mu : {0.02, 0.2, 0.3, 0.4}) same(fmt::format("knuckle friction {:g}", mu), knuckle(mu));
  for (const double gf : {1.0, 8.0, 12.0})
    same(fmt::format("hammer centre {:g} gf", gf), {{"friction.hammer_centre", gf * kGfAt23}});
  const Moves free_key = {
      {"friction.key_balance", 0}, {"friction.key_front", 0}, {"friction.balance_load", 0}};
  same("key without friction", free_key);
  same("key 6 gf",
       {{"friction.key_balance", 3 * base::kGramForce}, {"friction.key_front", 3 * base::kGramForce}});
  for (const double mu : {0.12, 0.4, 0.6})
    same(fmt::format("heel friction {:g}", mu), {{"contact.capstan_heel.friction", mu}});
  for (const double mm : {-6.0, -3.0, 3.0, 6.0})
    same(fmt::format("heel {:g} mm taller", mm), {{"heel height", mm * kMm}});
  row("the same move, from 9.5 mm farther back (ratio nearer to 7.5 to 5.5)", {}, {}, -9.5, 0);
  row("that, key without friction", free_key, free_key, -9.5, 0);
  const Moves all = together(free_key, knuckle(0.3));
  row("that, knuckle friction 0.3", all, all, -9.5, 0);
  fmt::print("\nOther things changed with the move:\n\n");
  row("heel friction 0.6 before, 0.25 after", {{"contact.capstan_heel.friction", 0.6}}, {});
  for (const double mm : {-6.0, 6.0})
    row(fmt::format("heel {:g} mm taller before, as it is after", mm), {{"heel height", mm * kMm}}, {});
  for (const double deg : {-12.0, 12.0})
    row(fmt::format("capstan leaning {:g} deg before (its edge)", deg), {{"capstan.lean", deg * M_PI / 180}},
        {});
  for (const double deg : {-12.0, 12.0})
    row(fmt::format("that, heel friction 0.6 before, {:g} deg", deg),
        {{"capstan.lean", deg * M_PI / 180}, {"contact.capstan_heel.friction", 0.6}}, {});
  row("knuckle friction 0.3 before, 0.11 after", knuckle(0.3), {});
  row("hammer centre 8 gf before, 4 after", {{"friction.hammer_centre", 8 * kGfAt23}}, {});

  fmt::print(
      "\n| sideways give of the heel cloth | D, gf | U, gf | friction | of it capstan on heel "
      "|\n|---|---|---|---|---|\n");
  for (const double share : {0.2, 0.35, 0.7, 1.0, 2.0, 4.0, 10.0, 1000.0}) {
    const Side s = weigh_side({{"contact.capstan_heel.shear_share", share},
                               {"contact.capstan_heel.nap_shear", share > 100 ? 1e-7 : 0.005e-3}},
                              {});
    fmt::print("| {} | {:.2f} | {:.2f} | {:.2f} | {:.3f} |\n",
               share > 100 ? "rigid sideways" : fmt::format("shear share {:g}", share), s.down, s.up,
               s.friction, s.capstan);
  }
  return 0;
}

}  // namespace
}  // namespace leverwright::action

int main() { return leverwright::action::run(); }
