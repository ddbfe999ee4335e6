// How the numbers of a stroke depend on the tolerance and on the longest step: the tables of
// tests/validation/numerics.md.
//
//   build/tests/validation/experiments/numerics_experiment      (from the project's root)
//
// The demo's note as found, its touches p, mf and f; every row against the same stroke at a thousandth of the
// default tolerance. Audit: energy unaccounted for over the greatest work put in. A check follows an impact
// on the string and one on the check, which magnify what went before.
#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

constexpr double kReference = 1e-3;

StrokeResult stroke(const std::string& touch, double tolerance, double longest_step) {
  PlayOptions o;
  o.stroke.output_interval = 0;
  o.stroke.tolerance = tolerance;
  if (longest_step > 0) o.stroke.longest_step = longest_step;
  return play_touch(played_as_found(), touch_as_found(touch).touch, o);
}

// Largest difference of the events in [from, to], s.
double event_error(const StrokeResult& a, const StrokeResult& b, int from, int to) {
  double worst = 0;
  for (int e = from; e <= to; ++e) {
    const auto k = static_cast<std::size_t>(e);
    if (a.happened(static_cast<StrokeEvent>(e)) && b.happened(static_cast<StrokeEvent>(e)))
      worst = std::max(worst, std::abs(a.event[k] - b.event[k]));
  }
  return worst;
}

void write_row(const std::string& label, const StrokeResult& r, const StrokeResult& reference) {
  fmt::print("| {} | {:.1e} | {:.1e} | {:.1e} | {:.1e} | {:.1e} | {} | {} |\n", label,
             std::abs(r.measures.hammer_speed / reference.measures.hammer_speed - 1),
             event_error(r, reference, kKeyStart, kStringContact) * 1e6,
             std::abs(r.event[kKeyBottom] - reference.event[kKeyBottom]) * 1e6,
             std::abs(r.event[kCheck] - reference.event[kCheck]) * 1e6, std::abs(r.audit.error()),
             r.statistics.steps, r.statistics.rhs_calls);
}

void write_tables(const std::string& commit) {
  fmt::print(
      "# Tolerance against error\n\n"
      "Written by `tests/validation/experiments/numerics_experiment`{}. Each row against the same stroke at "
      "a "
      "thousandth of the default tolerance: share of the hammer's speed, microseconds of the events. Wanted: "
      "hammer "
      "speed within 5e-4, audit within 1e-4 at the default; `tests/models/action_play/touches_test.cpp` "
      "holds both, "
      "and that the times of the events converge.\n",
      commit.empty() ? "" : " at commit " + commit);
  for (const char* touch : {"p", "mf", "f"}) {
    const StrokeResult reference = stroke(touch, kReference, 0);
    fmt::print("\n### Touch {}, {:.4f} m/s\n\n", touch, reference.measures.hammer_speed);
    fmt::print(
        "| tolerance | hammer speed | events to the string, us | key bottom, us | check, us | energy audit | "
        "steps | right-hand sides |\n|---|---|---|---|---|---|---|---|\n");
    for (const double tolerance : {1e3, 1e2, 1e1, 1e0, 1e-1, 1e-2})
      write_row(tolerance == 1 ? "**1 (default)**" : fmt::format("{:g}", tolerance),
                stroke(touch, tolerance, 0), reference);
    for (const double step : {2e-3, 1e-3, 2e-4, 1e-4})
      write_row(fmt::format("1, longest step {:g} ms", step * 1e3), stroke(touch, 1, step), reference);
  }
}

}  // namespace
}  // namespace leverwright::action

int main(int argc, char** argv) { leverwright::action::write_tables(argc > 1 ? argv[1] : ""); }
