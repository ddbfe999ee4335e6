// Half a second of a pressed mf stroke of the demo's action: key start, let-off, string, check, held,
// released at 0.4 s. Once with everything recorded every quarter of a millisecond as the program does, once
// with the events and measures only, and once with the heel's patch instead of the point contact.
#include "benchmarks/demo_action.h"

namespace leverwright::benchmarks {
namespace {

constexpr double kDuration = 0.5;  // [s]

void stroke(benchmark::State& state, double output_interval) {
  const DemoAction& d = demo();
  action::PlayOptions options;
  options.duration = kDuration;
  options.stroke.output_interval = output_interval;
  run::StrokeStatistics statistics;
  run_timed(state, kDuration, [&] {
    const auto r = action::play(d.action, d.rest, d.drive, options);
    statistics = r.statistics;
    benchmark::DoNotOptimize(r.measures.hammer_speed);
  });
  state.counters["steps"] = static_cast<double>(statistics.steps);
  state.counters["calls_in_steps"] = static_cast<double>(statistics.rhs_calls);
}

void patch_stroke(benchmark::State& state) {
  static const auto patched = [] {
    action::ActionDesign design = demo().design;
    design.patch_grade = true;
    return action::assemble(design, demo().regulated.screws);
  }();
  const action::Rest rest = action::build_rest(patched, demo().regulated.rest.q);
  const run::Drive drive = action::pressed_drive(patched, demo().mf.touch);
  action::PlayOptions options;
  options.duration = kDuration;
  run_timed(state, kDuration, [&] {
    const auto r = action::play(patched, rest, drive, options);
    benchmark::DoNotOptimize(r.measures.hammer_speed);
  });
}

}  // namespace
}  // namespace leverwright::benchmarks

int main(int argc, char** argv) {
  using namespace leverwright::benchmarks;
  add(
      "stroke mf, 0.5 s, recorded", [](benchmark::State& s) { stroke(s, 2.5e-4); }, benchmark::kMillisecond);
  add(
      "stroke mf, 0.5 s, events only", [](benchmark::State& s) { stroke(s, 0); }, benchmark::kMillisecond);
  add("stroke mf, 0.5 s, heel patch", patch_stroke, benchmark::kMillisecond);
  return run_benchmarks(argc, argv);
}
