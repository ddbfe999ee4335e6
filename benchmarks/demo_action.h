// What every benchmark starts from: the demo's action, regulated (back check and
// repetition spring by playing), with an mf touch and a state in mid-stroke;
// the time of one right-hand side there; and a main that prints what was measured where.
//
// Each benchmark runs 20 times and shows the median (Google Benchmark's own aggregates). Two counters stand
// beside the time where they mean something:
//   times_real_time   simulated seconds per second
//   right_hand_sides  the time as a multiple of one right-hand side of the same action, measured in the same
//                     run: what remains comparable between machines
// Both from processor time, so that a machine busy with other work does not falsify them; the time column is
// the clock on the wall, the CPU column beside it the processor's. Nothing is asserted: speed is reported.
#pragma once
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <string>
#include <vector>

#include "models/action/play.h"
#include "models/action/regulate_dynamic.h"
#include "models/action/touch.h"
#include "models/action/weigh.h"
#include "models/remedies/read_case.h"

namespace leverwright::benchmarks {

inline constexpr int kRepetitions = 20;

inline const case_file::CaseDescription& demo_case() {
  static const auto d =
      remedies::read_case(std::string(LEVERWRIGHT_SOURCE_DIR) + "/cases/missed_heel/case.toml");
  return d;
}

struct DemoAction {
  action::ActionDesign design;
  action::Regulated regulated;
  action::Action action;
  action::Rest rest;
  action::FoundTouch mf;
  run::Drive drive;            // of the mf touch
  double t_middle = 0;         // when the key is half-way to let-off [s]
  std::vector<double> middle;  // the state then
};

inline const DemoAction& demo() {
  static const DemoAction d = [] {
    DemoAction x;
    x.design = action::design(demo_case(), demo_case().set_ups.front());
    action::level_key(x.design, {});
    x.regulated = action::regulate(x.design, {}, x.design.policy);
    action::regulate_by_playing(x.design, x.regulated);  // back check and spring, as compare does
    x.action = action::assemble(x.design, x.regulated.screws);
    x.rest = action::build_rest(x.action, x.regulated.rest.q);
    x.mf = action::find_pressed_touch(x.action, x.rest, demo_case().value("touches.mf"));
    x.drive = action::pressed_drive(x.action, x.mf.touch);
    action::PlayOptions options;
    const auto whole = action::play(x.action, x.rest, x.drive, options);
    for (std::size_t k = 0; k < whole.series.time.size(); ++k)
      if (whole.series.dip[k] > 0.5 * x.regulated.dip_let_off) {
        x.t_middle = whole.series.time[k];
        break;
      }
    options.duration = x.t_middle;
    x.middle = action::play(x.action, x.rest, x.drive, options).end_state;
    return x;
  }();
  return d;
}

// Processor time of this program so far [s].
inline double processor_seconds() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

// Median over 41 batches, found once per program [s].
inline double right_hand_side_seconds() {
  static const double seconds = [] {
    const DemoAction& d = demo();
    planar::Scratch scratch(d.action.mechanism);
    std::vector<double> rates(d.middle.size());
    const planar::Applied applied = d.drive.at(d.t_middle);
    constexpr int kBatches = 41, kCalls = 1000;
    std::vector<double> times;
    for (int batch = 0; batch < kBatches; ++batch) {
      const double from = processor_seconds();
      for (int k = 0; k < kCalls; ++k) {
        d.action.mechanism.calc_rates(d.middle.data(), rates.data(), applied, scratch);
        benchmark::DoNotOptimize(rates.data());
      }
      times.push_back((processor_seconds() - from) / kCalls);
    }
    std::nth_element(times.begin(), times.begin() + kBatches / 2, times.end());
    return times[kBatches / 2];
  }();
  return seconds;
}

// Runs `work` as the benchmark's body; simulated_seconds 0: the work simulates no time.
template <class Work>
void run_timed(benchmark::State& state, double simulated_seconds, Work work) {
  using Clock = std::chrono::steady_clock;
  const double one = right_hand_side_seconds();
  double total = 0;
  for (auto _ : state) {
    const auto from = Clock::now();
    const double processor_from = processor_seconds();
    work();
    total += processor_seconds() - processor_from;
    state.SetIterationTime(std::chrono::duration<double>(Clock::now() - from).count());
  }
  const double mean = total / static_cast<double>(state.iterations());
  state.counters["right_hand_sides"] = mean / one;
  if (simulated_seconds > 0) state.counters["times_real_time"] = simulated_seconds / mean;
}

inline std::string output_of(const std::string& command) {
  std::string out;
  if (FILE* pipe = popen(command.c_str(), "r")) {
    char buffer[256];
    while (std::fgets(buffer, sizeof buffer, pipe)) out += buffer;
    pclose(pipe);
  }
  while (!out.empty() && out.back() == '\n') out.pop_back();
  return out;
}

inline int run_benchmarks(int argc, char** argv) {
  const std::string git = "git -C '" + std::string(LEVERWRIGHT_SOURCE_DIR) + "' ";
  std::string commit = output_of(git + "rev-parse --short=12 HEAD 2>/dev/null");
  if (commit.empty()) commit = "unknown";
  if (!output_of(git + "status --porcelain --untracked-files=no 2>/dev/null").empty())
    commit += " with changes";
  benchmark::AddCustomContext(
      "machine", output_of("uname -m") + ", " +
                     output_of("grep -m1 'model name' /proc/cpuinfo | cut -d: -f2 | sed 's/^ *//'"));
#if defined(__clang__)
  benchmark::AddCustomContext("compiler", std::string("clang ") + __clang_version__);
#else
  benchmark::AddCustomContext("compiler", std::string("gcc ") + __VERSION__);
#endif
  benchmark::AddCustomContext("build", std::string(LEVERWRIGHT_BUILD_TYPE) + ", " + LEVERWRIGHT_FLAGS);
  benchmark::AddCustomContext("commit", commit);
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  benchmark::AddCustomContext("one right-hand side",
                              std::to_string(right_hand_side_seconds() * 1e9).substr(0, 6) + " ns");
  benchmark::RunSpecifiedBenchmarks();
  benchmark::Shutdown();
  return 0;
}

// A benchmark of this project: 20 times, the aggregates shown.
template <class Function>
benchmark::internal::Benchmark* add(const char* name, Function function, benchmark::TimeUnit unit) {
  return benchmark::RegisterBenchmark(name, function)
      ->Repetitions(kRepetitions)
      ->DisplayAggregatesOnly(true)
      ->UseManualTime()
      ->Unit(unit);
}

}  // namespace leverwright::benchmarks
