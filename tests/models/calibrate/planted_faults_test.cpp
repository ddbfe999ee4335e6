// A short run of tests/validation/experiments/causes_experiment.cpp: false alarms and planted faults.
#include "tests/models/calibrate/planted_faults.h"

#include <gtest/gtest.h>

namespace leverwright::calibrate_test {
namespace {

TEST(PlantedFaults, AreNamedAndNothingIsBlamedForNothing) {
  const PlantedJobs jobs(11);
  int alarms = 0;
  constexpr int kQuiet = 400;
  for (int draw = 0; draw < kQuiet; ++draw)
    alarms += !jobs.run(Planted::kNone, 0, static_cast<std::uint64_t>(draw)).found.causes.empty();
  EXPECT_LE(alarms, kQuiet / 20);
  int named = 0, tried = 0;
  for (int p = 1; p < static_cast<int>(Planted::kCount); ++p)
    for (int draw = 0; draw < 6; ++draw) {
      const double sigmas = 3 + 3 * study::counter_uniform(11, 7, static_cast<std::uint64_t>(draw));
      const auto outcome = jobs.run(static_cast<Planted>(p), sigmas, static_cast<std::uint64_t>(1000 + draw));
      tried += outcome.possible;
      named += outcome.possible && outcome.first_or_second;
    }
  EXPECT_GE(tried, 36);
  EXPECT_GE(named, 0.7 * tried) << "80 % in the long run; 42 draws scatter by 6 %";
}

}  // namespace
}  // namespace leverwright::calibrate_test
