// Regulation of the demo's base set-up, every screw from the drawing: one for each policy.
#include "benchmarks/demo_action.h"

namespace leverwright::benchmarks {
namespace {

void regulation(benchmark::State& state, const std::string& policy) {
  int evaluations = 0;
  run_timed(state, 0, [&] {
    action::ActionDesign design = demo().design;
    const auto r = action::regulate(design, {}, policy);
    evaluations = r.evaluations;
    benchmark::DoNotOptimize(r.dip);
  });
  state.counters["evaluations"] = evaluations;
}

}  // namespace
}  // namespace leverwright::benchmarks

int main(int argc, char** argv) {
  using namespace leverwright::benchmarks;
  for (const char* policy : {"keep dip and blow", "keep blow and aftertouch", "keep dip and aftertouch"})
    add(("regulation, " + std::string(policy)).c_str(),
        [policy](benchmark::State& s) { regulation(s, policy); }, benchmark::kMillisecond);
  return run_benchmarks(argc, argv);
}
