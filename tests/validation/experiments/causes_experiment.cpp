// How often the check after the work names a cause for nothing, and how often it names a planted fault first
// or second. Writes models/handbook/causes_experiment.md.
//
//   causes_experiment PAGE [SEED] [DRAWS]
#include <fmt/format.h>

#include <fstream>
#include <iostream>

#include "tests/models/calibrate/planted_faults.h"

using namespace leverwright;
using namespace leverwright::calibrate_test;

int main(int count, char** words) {
  if (count < 2) {
    std::cerr << "usage: causes_experiment PAGE [SEED] [DRAWS]\n";
    return 2;
  }
  const std::uint64_t seed = count > 2 ? std::stoull(words[2]) : 20251;
  const int draws = count > 3 ? std::stoi(words[3]) : 60;
  const PlantedJobs jobs(seed);
  int alarms = 0, notes = 0;
  const int quiet = 40 * draws;
  for (int draw = 0; draw < quiet; ++draw) {
    const auto found = jobs.run(Planted::kNone, 0, static_cast<std::uint64_t>(draw)).found;
    alarms += !found.causes.empty();
    for (const auto& n : found.notes) notes += !n.causes.empty();
  }
  std::string page = fmt::format(
      "# After the work: false alarms and planted faults\n\nMade by `causes_experiment`, seed {}: the three "
      "notes of "
      "`cases/after_the_work`, capstans moved 3 mm, six readings each before and after.\nA fault moves the "
      "reading it "
      "moves most by 3 to 6 standard deviations of prediction and reading together (uniform), through the "
      "whole "
      "action;\nwhat is uncertain otherwise is drawn as the prediction supposes "
      "(`tests/models/calibrate/planted_faults.h`).\n\n"
      "Nothing wrong: a cause is named in {:.1f} % of {} jobs (a single note by itself in {:.1f} % of its "
      "tables).\n\n"
      "| planted | jobs | first or second, % | 3 to 4 | 4 to 5 | 5 to 6 |\n|---|---|---|---|---|---|\n",
      seed, 100.0 * alarms / quiet, quiet, 100.0 * notes / (3 * quiet));
  int all = 0, all_named = 0;
  for (int p = 1; p < static_cast<int>(Planted::kCount); ++p) {
    int tried[3] = {}, named[3] = {};
    for (int draw = 0; draw < draws; ++draw) {
      const double sigmas = 3 + 3 * study::counter_uniform(seed, 7 + static_cast<std::uint64_t>(p),
                                                           static_cast<std::uint64_t>(draw));
      const auto outcome =
          jobs.run(static_cast<Planted>(p), sigmas, static_cast<std::uint64_t>(100000 * p + draw));
      if (!outcome.possible) continue;
      const int band = std::min(2, static_cast<int>(sigmas - 3));
      ++tried[band];
      named[band] += outcome.first_or_second;
    }
    const int sum = tried[0] + tried[1] + tried[2], hits = named[0] + named[1] + named[2];
    all += sum;
    all_named += hits;
    page += fmt::format("| {} | {} | {:.0f} |", name_of(static_cast<Planted>(p)), sum,
                        100.0 * hits / std::max(1, sum));
    for (int b = 0; b < 3; ++b) page += fmt::format(" {}/{} |", named[b], tried[b]);
    page += "\n";
    std::cerr << name_of(static_cast<Planted>(p)) << std::endl;
  }
  page += fmt::format("| all | {} | {:.0f} | | | |\n", all, 100.0 * all_named / std::max(1, all));
  std::ofstream(words[1]) << page;
  std::cout << page;
  return 0;
}
