// Seek: the amount and place of one or two changes that meet a target, within bounds and under limits; and
// what is possible at best when it cannot be met.
//
// Every point is a set-up of its own: the amounts put into its changes, regulated afresh from the same start
// and weighed (trial.h), so a point's numbers depend on nothing but the point. First a grid over the bounds,
// in parallel; then from its best points COBYLA ([@powell1994]; NLopt), which needs no slopes, keeps
// bounds, takes limits as they are and, with steps no smaller than a hand can cut, passes over the small
// jumps of regulation. Where many points are as good as the best to `within` (a flat best, or a target met
// along a line), the smallest change among them is the answer, sought in a last stage. Points that cannot be
// regulated or jam are excluded and counted, with the commonest reason.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/search/trial.h"

namespace leverwright::search {

struct Vary {
  std::size_t change = 0;                     // index into the changes of the set-up
  const case_file::Remedy* remedy = nullptr;  // that change's
  std::string argument;                       // "distance"
  double from = 0, to = 0;                    // SI; negative: against the change's own direction
  std::string unit;                           // "mm", for people
  double unit_si = 1e-3;
  std::string name;  // "capstan moved: distance"
};

struct Limit {
  std::size_t number = 0;  // TrialNumber
  double low, high;        // SI; infinite where there is none
};

enum class Aim { kLeast, kMost, kReach };

struct Seek {
  std::string name, question;
  std::size_t set_up = 0;
  int undone = 0;          // how its changes can be taken back (case_file::undone_class)
  std::size_t number = 0;  // TrialNumber that is sought
  Aim aim = Aim::kLeast;
  double target = 0;       // kReach: SI
  double within = 0;       // what counts as met, or as good as the best, SI
  std::vector<Vary> vary;  // one or two
  std::vector<Limit> limits;
  std::vector<std::size_t> maps;  // numbers drawn over the two amounts; the sought one when empty
  case_file::Origin place;
};

// The set-up with these amounts (as many as `vary`, SI).
case_file::SetUp with_amounts(const case_file::CaseDescription& description, const Seek& seek,
                              const std::vector<double>& amounts);

struct SeekPoint {
  std::vector<double> amounts;  // SI
  Trial trial;
};

struct SeekResult {
  Seek seek;
  Trial base;                            // the case's first set-up
  SeekPoint best;                        // trial.ok false: not one point could be used
  double best_possible = 0;              // of the sought number, SI; `best` is as good to `within`
  bool met = false;                      // the target is reached and the limits are kept
  bool limits_kept = false;              // where they are not, best is the point nearest to keeping them
  double reach_low = 0, reach_high = 0;  // of the sought number over all points that keep the limits, SI
  std::vector<bool> at_bound;            // per amount: the answer lies on a bound
  std::vector<double> flat_low,
      flat_high;                // per amount: where the number is as good as the best, to `within`
  double noise = 0;             // of the sought number: regulated from another start, SI
  int tried = 0, excluded = 0;  // points
  std::string commonest_reason;
  bool whole = true;  // false: stopped; best is the best so far
};

struct SeekOptions {
  int threads = 0;                             // 0: as many as the machine has
  std::function<bool(double share)> progress;  // false stops; never called by two threads at once
};

SeekResult seek(const case_file::CaseDescription& description, const Seek& what,
                const SeekOptions& options = {});

// The number all over the bounds: steps[k] values of each amount, ends included.
struct AmountMap {
  Seek seek;
  std::vector<std::vector<double>> axes;  // per amount, SI
  // [number][i1 * n0 + i0]; NaN where excluded or not yet computed.
  std::vector<std::vector<double>> values;
  std::vector<std::string> why;  // per point; empty where it is a number, or not yet computed
  int done = 0, excluded = 0;
  bool whole = true;               // false: stopped, the rest is NaN
  std::vector<double> as_written;  // amounts of the case
  std::vector<double> best;        // of the computed points that keep the limits; empty when none does
};

AmountMap map_amounts(const case_file::CaseDescription& description, const Seek& what,
                      const std::vector<int>& steps, const SeekOptions& options = {});

// Smaller is better; how a point is judged: infinite where excluded. `violation` (scaled, 0 where all limits
// are kept) goes before `cost`.
struct Judged {
  double violation = 0, cost = 0;
};
Judged judge(const Seek& seek, const TrialNumbers& numbers);
bool better(const Judged& one, const Judged& other);

}  // namespace leverwright::search
