// One right-hand side of the equations of motion: the demo's action half-way to let-off in an mf stroke, with
// capstan, jack and repetition lever bearing.
#include "benchmarks/demo_action.h"

namespace leverwright::benchmarks {
namespace {

void one_right_hand_side(benchmark::State& state) {
  const DemoAction& d = demo();
  planar::Scratch scratch(d.action.mechanism);
  std::vector<double> rates(d.middle.size());
  const planar::Applied applied = d.drive.at(d.t_middle);
  for (auto _ : state) {
    d.action.mechanism.calc_rates(d.middle.data(), rates.data(), applied, scratch);
    benchmark::DoNotOptimize(rates.data());
  }
  int bearing = 0;
  for (double n : scratch.normal) bearing += n > 0;
  state.counters["contacts_bearing"] = bearing;
  state.counters["states"] = static_cast<double>(d.middle.size());
}

}  // namespace
}  // namespace leverwright::benchmarks

int main(int argc, char** argv) {
  using namespace leverwright::benchmarks;
  benchmark::RegisterBenchmark("right-hand side, mid-stroke", one_right_hand_side)
      ->Repetitions(kRepetitions)
      ->DisplayAggregatesOnly(true)
      ->Unit(benchmark::kNanosecond);
  return run_benchmarks(argc, argv);
}
