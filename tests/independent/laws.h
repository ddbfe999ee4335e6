// Cloth, dry friction and bushings a second time, from the equations in the notes on top of
// sim/planar/cloth.h and sim/planar/dry_friction.h.
//
// Cloth: its memory d0 is integrated as it stands there.
// Friction: not u but the root of the bristles' energy is integrated,
//   w = u sqrt(N z_y),   so that   wdot = sqrt(N z_y) [ (v/z_y) sigma + (1/2)(1 + rho) u (Ndot/N) beta ]:
// the term that keeps the energy of a stuck surface under a changing force has gone, and nothing is left to
// stiffen as a contact opens or closes (w = 0 there). Likewise w = u sqrt(S) for a bushing.
// N in the friction law is the cloth's force without its viscous part; its rate follows from the memory's. `total` is
// the force with it.
// A bushing has no build-up time.
#pragma once
#include "tests/independent/plain_action.h"

namespace leverwright::independent {

struct LawConstants {
  double kappa, cloth_break, bristle_break, build_up_time, squeeze_time, pivot_loss_time;
};

struct ClothForce {
  double normal = 0;                     // with the viscous part, never tensile [N]
  double bearing = 0, rate_bearing = 0;  // without it [N, N/s]
  double rate_memory = 0;
};
ClothForce press(const PlainCloth& c, const LawConstants& k, double d, double rate_d, double memory);

struct Rubbing {
  double force = 0, rate_w = 0;
};
Rubbing rub(const PlainFriction& f, const LawConstants& k, double bearing, double rate_bearing, double depth,
            double rate_depth, double slip, double w, double total);

struct Bushing {
  double torque = 0, rate_w = 0, rate_lagged = 0;
};
// `reaction` is needed for the rates alone.
Bushing turn(const PlainPivot& p, const LawConstants& k, double reaction, double lagged, double omega,
             double w);

// Open contacts forget within this time [s].
inline constexpr double kForget = 1e-4;

}  // namespace leverwright::independent
