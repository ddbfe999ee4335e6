// Weighing off the demo's regulated action: the whole stroke twice down and up in steps of 0.05 mm with the
// friction ledger at every dip, and the quick one that the uncertainties use.
#include "benchmarks/demo_action.h"

namespace leverwright::benchmarks {
namespace {

void weighing(benchmark::State& state, double step, bool whole_stroke) {
  const DemoAction& d = demo();
  action::WeighOptions options;
  options.step = step;
  options.whole_stroke = whole_stroke;
  run_timed(state, 0, [&] {
    const auto w = action::weigh(d.action, d.regulated, options);
    benchmark::DoNotOptimize(w.down_weight);
  });
}

}  // namespace
}  // namespace leverwright::benchmarks

int main(int argc, char** argv) {
  using namespace leverwright::benchmarks;
  add(
      "weighing, whole stroke", [](benchmark::State& s) { weighing(s, 0.05e-3, true); },
      benchmark::kMillisecond);
  add(
      "weighing, quick", [](benchmark::State& s) { weighing(s, 0.2e-3, false); }, benchmark::kMillisecond);
  return run_benchmarks(argc, argv);
}
