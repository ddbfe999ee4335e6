// From which coefficient of friction on a capstan does not slide on its cloth: the table of
// models/handbook/leaning_capstan.md.
//
//   build/tests/validation/experiments/stuck_capstan_experiment      (from the project's root, seconds)
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "tests/models/action/dry_capstan.h"

namespace leverwright::action {
namespace {

void row(double mu) {
  const Prepared p = with_capstan_friction(mu);
  double swing = 0, swing_to_let_off = 0, lean = 0, lean_to_let_off = 0, least_yield = 1;
  for (const auto* way : {&p.weighing.down, &p.weighing.up}) {
    double slid = 0, low = 0, high = 0, last = 0;
    for (const run::StaticSample& s : *way)
      for (std::size_t i = 0; i < s.normal.size(); ++i) {
        const planar::Contact& c = *p.action.mechanism.contacts[i];
        if (c.group != kContactNames[kCapstanHeel] || s.normal[i] < 0.02) continue;
        slid += s.slip_rate[i] * (s.travel - last);
        last = s.travel;
        low = std::min(low, slid);
        high = std::max(high, slid);
        const double u = std::abs(s.state.u[i]);
        lean = std::max(lean, u);
        if (way == &p.weighing.down) swing = high - low;
        if (s.travel > p.regulated.dip_let_off) continue;
        lean_to_let_off = std::max(lean_to_let_off, u);
        least_yield = std::min(least_yield, c.friction.yield_displacement(s.contact_points[i].depth));
        if (way == &p.weighing.down) swing_to_let_off = high - low;
      }
  }
  const auto share = [](double u) { return u < 1 ? fmt::format("{:.2f}", u) : std::string("slides"); };
  fmt::print("| {:.2f} | {:.3f} | {:.3f} | {} | {} | {:.3f} | {:.2f} | {:.2f} |\n", mu,
             swing_to_let_off * 1e3, swing * 1e3, share(lean_to_let_off), share(lean), 2e3 * least_yield,
             p.down(), p.up());
}

}  // namespace
}  // namespace leverwright::action

int main() {
  fmt::print(
      "| coefficient | swing to let-off, mm | over the stroke, mm | largest lean over what it can bear, to "
      "let-off | whole stroke | 2 z_y at the lightest, mm | down weight, gf | up weight, gf "
      "|\n|---|---|---|---|---|---|---|---|\n");
  for (const double mu : {0.15, 0.25, 0.32, 0.34, 0.38, 0.40, 0.45}) leverwright::action::row(mu);
  return 0;
}
