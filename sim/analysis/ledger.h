// Friction ledger at one dip: what makes the down-going force differ from the up-going one.
//
// On a quasi-static path every force has its power per unit of travel, so (run/statics.h)
//   F_down = stored'_down + sum of losses_down,    F_up = stored'_up - sum of losses_up
// and half the difference is the sum of these rows:
//   - friction of each contact group, hysteresis of each cloth group, friction of each pivot (mean of down and up)
//   - half the difference of the rates of stored energy (gravity, springs, cloth, bristles)
// Each row comes from its own force and its own velocity, none is a remainder; `misfit` says how well they
// add up.
#pragma once
#include <string>
#include <vector>

#include "sim/run/statics.h"

namespace leverwright::analysis {

enum class LedgerKind { kFriction, kCloth, kPivot, kStored };

struct LedgerRow {
  std::string name;  // contact group or pivot; "stored energy"
  LedgerKind kind;
  int of = 0;               // index into Mechanism::groups(), or its pivots
  double down = 0, up = 0;  // per unit of travel on either way [N]
  double amount = 0;        // its share of (F_down - F_up)/2 [N]
};

struct FrictionLedger {
  double travel = 0;
  std::vector<LedgerRow>
      rows;        // groups in the mechanism's order: friction, then cloth; pivots; stored energy last
  double sum = 0;  // of the rows
  double half_difference = 0;  // (F_down - F_up)/2
  double misfit = 0;           // (sum - half_difference) / half_difference
};

// `down` and `up` are samples of a down-going and an up-going path at the same travel.
FrictionLedger find_ledger(const run::Mechanism& mechanism, const run::StaticSample& down,
                           const run::StaticSample& up);

// The rows' means over the travel [from, to], each row a straight line between samples (trapezoids). `down`
// and `up` are sampled at the same rising travels, with `from` and `to` among them. No rows when nothing lies
// between.
FrictionLedger find_mean_ledger(const run::Mechanism& mechanism, const std::vector<run::StaticSample>& down,
                                const std::vector<run::StaticSample>& up, double from, double to);

// Of one group or pivot: rubbing, and what its cloth loses [N]; index into Mechanism::groups() or pivots.
double friction_of_group(const FrictionLedger& ledger, int group);

}  // namespace leverwright::analysis
