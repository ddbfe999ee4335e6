// Where the energy of a mechanism is, store by store, each from its own formula; and the audit over a run.
//
//   stored(end) - stored(start) + sum of losses - work put in = 0
// where every loss and the work are integrals the mechanism carries in its state (each from its own force
// times its own speed). What is left is the error of the integration, told relative to the most work that was
// in at any time.
#pragma once
#include "sim/planar/mechanism.h"

namespace leverwright::run {

struct StoredEnergy {  // [J]
  double kinetic = 0, gravity = 0, springs = 0, cloth = 0, bristles = 0, pivots = 0, strings = 0;
  double sum() const { return kinetic + gravity + springs + cloth + bristles + pivots + strings; }
};

// s: from calc_rates at x.
StoredEnergy calc_stored(const planar::Mechanism& model, const double* x, const planar::Scratch& s);

struct EnergyAudit {
  double stored_change = 0, losses = 0, work = 0;  // [J]
  double most_work = 0;                            // largest work put in at any time
  double least_loss_rate = 0;  // most negative loss seen at a sample [W]; a correct law has none
  double most_kinetic = 0;     // largest kinetic energy
  double reference() const { return most_work > most_kinetic ? most_work : most_kinetic; }
  double error() const { return reference() > 0 ? (stored_change + losses - work) / reference() : 0.0; }
};

}  // namespace leverwright::run
