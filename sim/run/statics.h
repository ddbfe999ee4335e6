// Coupled quasi-static equilibrium, with friction and hysteresis carried along the path.
//
// One coordinate (`driven`, the key) is held; the others settle so that every generalised force vanishes:
//   r_i(q) = gravity + springs - sum_c (N_c J_d,c + T_c J_t,c) - pivots = 0   for i != driven,
// and r_driven is what the finger must balance. Dissipative elements are stepped implicitly from the last
// accepted state (return mapping: the bristle state is clamped to its cone, the cloth memory to its play), so
// the path is the slow limit of the dynamics, but for the corner between sticking and sliding: sharp here,
// rounded in the moving laws (up to a quarter of mu N, within a few yield displacements of a turn; both agree
// after that). Without dissipation (regulation) the equilibrium is a minimum of potential energy.
//
// Where the driven body's joint can itself move up a slide (TravelPoint::lift; a key on its balance
// punching), the held quantity is the travel T of the point at which the finger presses, T = travel(a) - l
// with a the driven angle and l the lift. The finger's force f acts on both, f dT/da on a and -f on l, so
// with f from the driven equation the lift's own becomes
//   r_l + r_a / (dT/da) = 0,      and the angle follows the lift,  a = a(T + l).
//
// Newton with a difference Jacobian, kept for another step where it served well; where that fails (a lever
// snapping over), pseudo-transient continuation
//   (D / dtau + K) dq = r,   dtau grown as the residual falls [@kelley1998],
// which follows the damped motion to the next stable equilibrium.
// With dissipation the way of a snap matters
// (a hammer that falls rubs the other way than one that rises), so there each pseudo step is solved in full,
//   r(q; memories) = D (q - q_before) / dtau,
// and its memories are kept before the next. What the drag takes during a snap is no row of the ledger.
#pragma once
#include <vector>

#include "sim/planar/mechanism.h"

namespace leverwright::run {

using planar::Mechanism;
using planar::Vec2;
using planar::VecQ;

// Everything a quasi-static path remembers. Sizes as in the mechanism.
struct StaticState {
  VecQ q;
  std::vector<double> d0, u;                    // per contact
  std::vector<planar::NormalLoad> press;        // per contact, that the state u belongs to
  std::vector<double> pivot_u, pivot_reaction;  // per pivot
};

// Work-conjugate travel: the downward travel of a point fixed on the driven body.
struct TravelPoint {
  int body = 0;
  Vec2 r = Vec2::Zero();  // body frame [m]
  int lift = -1;          // coordinate of the slide that carries the body's joint, upwards along W's y; or -1
};

// One row of the friction ledger at one dip: power per unit of travel [N], from its own force and its own
// velocity. Dissipations are counted along the way the path goes (never negative); stored energy per downward
// travel, so
//   force = stored + direction * (sum of friction, cloth and pivot rows).
struct LedgerRates {
  std::vector<double> friction;  // per contact: T slip' - stored bristle energy'
  std::vector<double> cloth;     // per contact: hysteresis
  std::vector<double> pivot;     // per pivot
  double stored = 0;             // rate of gravity + springs + cloth + bristles [N]
};

struct StaticSample {
  double travel = 0;     // of the travel point, from the path's zero [m]
  double direction = 1;  // +1: the path goes down, -1: up
  double force = 0;      // downward force at the travel point that holds the equilibrium [N]
  StaticState state;
  VecQ dq;  // d q / d travel
  std::vector<planar::ContactPoint> contact_points;
  std::vector<double> normal, tangential, slip_rate, depth_rate;  // per contact; rates per unit travel
  std::vector<double> pivot_torque, pivot_reaction;
  LedgerRates ledger;
  double residual = 0;  // largest |r_i| left [N m]
};

class StaticSolver {
 public:
  // dissipative = false: no friction, no hysteresis.
  StaticSolver(const Mechanism& model, int driven, TravelPoint travel_point, bool dissipative);

  StaticState initial(const VecQ& q) const;  // memories empty
  // Settles at the given driven coordinate (with a lift: at the travel it has there at lift zero), from
  // `state` (updated on success). False when no equilibrium was found.
  bool settle(double driven_value, StaticState& state);
  // The same, starting the search at `guess` (a predictor) while memories still step from `state`.
  bool settle_from(const VecQ& guess, double driven_value, StaticState& state);
  // The same by Newton's iteration alone: false where the branch ends and something would snap over.
  bool follow(const VecQ& guess, double driven_value, StaticState& state);
  // Settles with the driven coordinate free as well (rest of the key under gravity), frictionless meaning
  // only.
  bool solve_equilibrium(StaticState& state);
  // True when the state is already settled (frictionless meaning).
  bool is_equilibrium(const StaticState& state, bool free_driven);
  // The state from which the last settle call made its last step: the one it was given or, where something
  // snapped over on the way, the one after the snap.
  const StaticState& last_from() const { return last_from_; }
  // Forces, rates and ledger at a settled state reached from `previous` (last_from() of that settle call).
  StaticSample sample(const StaticState& previous, const StaticState& settled);

  double travel_of(double driven_value) const;  // downward position change of the travel point [m], lift zero
  double driven_for(double travel) const;       // inverse
  double travel_of(const VecQ& q) const;        // with the lift
  int evaluations() const { return evaluations_; }
  double last_residual() const { return last_residual_; }
  const Mechanism& model() const { return model_; }
  int driven() const { return driven_; }

 private:
  // Residual of all coordinates at q, stepping memories from `from`; fills `to` when given.
  void residual(const VecQ& q, const StaticState& from, VecQ& r, StaticState* to);
  // The residual of a contact alone is asked for again only where one of its bodies has moved.
  struct Response {
    double normal = 0, tangential = 0, d0 = 0, u = 0;
    planar::NormalLoad press;
  };
  Response reply_of(std::size_t contact, const planar::Scratch& s, const VecQ& dq,
                    const StaticState& from) const;
  void add_weights(planar::Scratch& s, VecQ& r) const;
  void add_contact(std::size_t contact, const planar::Scratch& at, const Response& reply, planar::Scratch& to,
                   VecQ& r) const;
  void add_pivots(planar::Scratch& s, const VecQ& dq, const StaticState& from, VecQ& r,
                  StaticState* to) const;
  bool solve(const VecQ& start, StaticState& state, bool free_driven);
  // most_slopes: Jacobians tried before it gives up.
  bool newton(VecQ& q, const StaticState& from, bool free_driven, int most_slopes = 14);
  bool follow_damped_motion(VecQ& q, const StaticState& from, bool free_driven);
  // Damped motion that keeps its memories, from `state` to the next equilibrium at the given driven value.
  bool fall(double driven_value, StaticState& state);
  // By differences from r0, at the `from` of the last residual and, where nothing went wrong, its q. Touches
  // of bodies that a coordinate does not move are taken from there, as is a gap too wide for the difference
  // to close.
  // Unless free, the angle goes with the lift and the lift's row has the driven one's in it.
  void jacobian(const VecQ& q, const StaticState& from, const VecQ& r0, bool free_driven, planar::MatQ& k);
  void hold(VecQ& q) const;                   // the driven coordinate to the held travel
  void reduce(const VecQ& q, VecQ& r) const;  // takes the finger's force out of r
  double travel_slope(double driven_value) const;

  const Mechanism& model_;
  int driven_;
  TravelPoint point_;
  bool dissipative_;
  planar::Scratch s_, probe_;
  std::vector<Response> replies_;   // per contact, of the last residual
  std::vector<unsigned> moved_by_;  // per contact: bit j set when coordinate j moves one of its bodies
  StaticState last_from_;
  bool pressed_ = true;  // a finger holds the driven coordinate
  int evaluations_ = 0;
  double last_residual_ = 0, held_travel_ = 0;
};

}  // namespace leverwright::run
