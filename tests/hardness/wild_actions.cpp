// Random actions within and beyond what a piano can be (wild_action.h), each an answer that keeps the rules
// (invariants.h) or a named refusal.
//
//   wild_actions weigh COUNT [SEED] [FROM]     regulated and weighed
//   wild_actions play COUNT [SEED] [FROM]      check and spring by playing, and pressed at mf
//   wild_actions compare COUNT [SEED] [FROM]   with three random set-ups, without uncertainties
// Prints what is broken or late, and counts. Exit code 1 when anything is. Run from the project's root.
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <cstring>

#include "models/remedies/read_case.h"
#include "tests/hardness/wild_runs.h"

int main(int argc, char** argv) {
  using namespace leverwright;
  using namespace leverwright::hardness;
  if (argc < 3) {
    fmt::print("wild_actions weigh|play|compare COUNT [SEED] [FROM]\n");
    return 2;
  }
  const Through through = !std::strcmp(argv[1], "weigh")  ? Through::kWeigh
                          : !std::strcmp(argv[1], "play") ? Through::kPlay
                                                          : Through::kCompare;
  const std::uint64_t seed = argc > 3 ? std::stoull(argv[3]) : 20261128;
  const int from = argc > 4 ? std::stoi(argv[4]) : 0;
  const auto model = remedies::read_case("cases/missed_heel/case.toml");
  Tally t =
      run_many(model, through, seed, from, std::stoi(argv[2]),
               [](int which, const std::string& kind, const Outcome& o) {
                 for (const auto& text : o.broken) fmt::print("{} ({}): {}\n", which, kind, text);
                 if (o.seconds > 2)
                   fmt::print("{} ({}): {:.1f} s, {} evaluations\n", which, kind, o.seconds, o.evaluations);
                 if (o.seconds > 2 || !o.broken.empty()) fmt::print("    {}\n    {}\n", o.moved, o.refusal);
                 if (which % 500 == 499) fmt::print("... {}\n", which + 1);
                 std::fflush(stdout);
               });
  fmt::print("\n{} {} actions, seed {}, from {}\n", argv[1], t.tried, seed, from);
  fmt::print("answered {} (", t.answered);
  for (const auto& [kind, n] : t.kinds) fmt::print(" {} {}", kind, n);
  fmt::print(" ), refused by the reader {}, refused by name later {}\n", t.by_reader, t.refused);
  fmt::print("rules broken in {}, over the time limit {}\n", t.broken, t.late);
  std::sort(t.seconds.begin(), t.seconds.end());
  if (!t.seconds.empty())
    fmt::print("processor time each: median {:.3f} s, 99 % {:.3f} s, longest {:.3f} s\n",
               t.seconds[t.seconds.size() / 2], t.seconds[t.seconds.size() * 99 / 100], t.seconds.back());
  for (const auto& [text, n] : t.breaks) fmt::print("  broken {:5d}  {}\n", n, text);
  for (const auto& [text, n] : t.refusals) fmt::print("  refused {:5d}  {}\n", n, text);
  return t.broken + t.late > 0 ? 1 : 0;
}
