// The compare command's work for one set-up without uncertainty: levelled, regulated, weighed, measured.
#include "benchmarks/demo_action.h"
#include "models/study/compare.h"

namespace leverwright::benchmarks {
namespace {

void comparison(benchmark::State& state) {
  case_file::CaseDescription one = demo_case();
  one.set_ups.resize(1);
  study::CompareOptions options;
  options.uncertainty = false;
  run_timed(state, 0, [&] {
    const auto c = study::compare(one, options);
    benchmark::DoNotOptimize(c.set_ups.front().measures.data());
  });
}

}  // namespace
}  // namespace leverwright::benchmarks

int main(int argc, char** argv) {
  using namespace leverwright::benchmarks;
  add("comparison, one set-up", comparison, benchmark::kMillisecond);
  return run_benchmarks(argc, argv);
}
