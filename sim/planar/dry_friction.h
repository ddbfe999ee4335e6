// Dry friction that sticks: an elasto-plastic bristle whose stiffness is the cloth's own shear stiffness.
//
// Normal force N, compression d of the cloth that bears it, slip velocity v, friction force on the moving side -T.
//
// Stiffness. The shear stiffness is a share kappa_t of the normal stiffness under the same load, which for a cloth
// N = F_ref (d / d_ref)^p is k_t = kappa_t p N / d: a surface that bears more is stiffer sideways too ([@mindlin1949]: a
// bounded contact of equal elastic bodies has kappa_t = 2 (1 - nu) / (2 - nu); a thin layer has kappa_t = G / E = 1 /
// (2 (1 + nu)), 1/2 for felt, which does not swell sideways, nu = 0; leather with nu = 0.3 has 0.38 and 0.82). A cap,
// knuckle or tail as wide as its cloth is thick lies between: 0.7.
//
// Law. State u in [-1, 1]:
//   T = mu N u                                                                    [N]
//   yield displacement  z_y = z_min + z_e,   z_e = mu N / k_t = mu d / (kappa_t p)   [m]
//   udot = (v / z_y) sigma(u, v) - (1/2) g u (1 - beta),        g = Ndot / N + zdot_e / z_y
//   sigma(u, v) = (1 - alpha) z_y / (z_y + tau_b (u v)_+)
//   alpha(u, v) = 0 when u v <= 0 or |u| < u_break, else (|u| - u_break)/(1 - u_break)
//   beta        = 0 when g >= 0, alpha(u, u) when g < 0: unloading brings the surface nearer to slip
// So below u_break the contact is elastic and rests for ever, at |u| = 1 it slides with Coulomb's force, and |u| never
// exceeds 1 (an integrator's u that has counts as 1). (Elasto-plastic bristles: [@dupont2002].) tau_b: full friction
// needs not only its way z_y but also some time to build up; it matters above z_y / tau_b, which a bearing surface of
// cloth reaches at about 1 m/s.
// Energy. Stored: E = (1/2) mu N u^2 z_y. As d ln(N z_y)/dt = g, with v = 0 the second term keeps E constant both
// ways, so that a bearing force that trembles leaves a stuck surface as it was (were u kept when N falls, every
// tremble would cost it some of its friction); unloading dissipates only as u nears 1. Dissipation
//   D = T v (1 - sigma) + (1/2) mu N u^2 z_y (-g)_+ beta   >= 0,   as sigma = 1 when u v < 0.
// So no closed cycle of slip and normal force creates energy. (With T = k_t z and mu N u kept on loading, it would:
// the same trap is known for the tangential force of granular contacts.)
// Loss. The stuck surface has the loss of its material, a time tau_d, besides:
//   T_d = mu N s tau_d v / (z_y + tau_d |v|),   s = 1 - |u| when u v > 0, else 1,
// which adds D_d = T_d v >= 0, leaves nothing to a sliding surface, and never takes |T| beyond mu N.
// Limits. Where cloth springs back faster than it can follow, the surface bears less than its reversible force N: the
// share lambda = N_total / N. A sliding surface then resists with no more than mu N_total,
//   T = mu N [(sigma u + (1 - sigma) clamp(u, -lambda, lambda)],   sigma with u / lambda,   T_d times lambda,
// which stores the same and dissipates T v - mu N u v sigma = mu N clamp(u) v (1 - sigma) >= 0. (A stuck surface that
// is turned back may hold more than mu N_total until its shear is undone.) The state is kept when the contact opens
// (T = 0 there) and fades within kRecovery. z_min stands for the nap that shears freely before any load bears on it. mu
// acts only as mu N and mu d: a place that is rougher by a factor is a press that is greater by that factor, in both.
#pragma once

namespace leverwright::planar {

// What bears on a rubbing surface, or its rate: force N and compression d, both times the local factor on mu.
struct NormalLoad {
  double force = 0;  // [N], or [N/s]
  double depth = 0;  // [m], or [m/s]
};

class DryFriction {
 public:
  DryFriction() = default;
  // mu >= 0; shear_share kappa_t > 0; exponent p of the cloth that bears; nap_shear z_min [m]; damping_time
  // tau_d [s].
  DryFriction(double mu, double shear_share, double exponent, double nap_shear, double damping_time);

  struct Response {
    double force;   // T, along +slip means it resists slip in that direction [N]
    double rate_u;  // [1/s]
    double loss;    // [W]
  };
  // borne lambda: share of press.force that the surface bears just now, 0 to 1 (1: all of it).
  Response calc(NormalLoad press, NormalLoad rate, double slip_velocity, double u, double borne = 1.0) const;
  // The share of the slip velocity that slides, v (1 - sigma): what the stuck surface's own shear leaves
  // [m/s].
  double sliding(NormalLoad press, double slip_velocity, double u) const;
  double stored(NormalLoad press, double u) const;  // [J]

  // Quasi-static step: state after the press went from `from` to `to` and the contact slipped by `slip`.
  double step_state(NormalLoad from, NormalLoad to, double slip, double u) const;
  double yield_displacement(double depth) const { return z_min_ + give_ * depth; }
  // Rate of the stored bristle energy per unit path, state already stepped.
  double quasi_static_stored_rate(NormalLoad press, NormalLoad rate, double slip_rate, double u) const;

  double mu() const { return mu_; }
  double shear_share() const { return kappa_t_; }
  double nap_shear() const { return z_min_; }
  double damping_time() const { return tau_d_; }
  bool acts() const { return mu_ > 0; }

  static constexpr double kBreak = 0.8;       // u_break
  static constexpr double kBuildUp = 1.5e-4;  // tau_b [s]; estimate
  static constexpr double kRecovery = 1e-3;   // [s]

 private:
  double mu_ = 0, kappa_t_ = 1, give_ = 0, z_min_ = 1e-6, tau_d_ = 0;  // give = mu / (kappa_t p)
};

// The same law for a pivot: torque tau = S u with level S = S_0 + mu r_pin R (R: joint reaction [N]) and a
// constant yield angle. The reaction is taken through a first-order lag R_f (the bushing cloth must be
// squeezed first), so S and its rate are functions of the state and the energy argument above holds
// unchanged: E = (1/2) S u^2 theta_y, S that rises or falls keeps E short of slip. The stuck bushing has the
// loss of its material as above, with kLossTime, and a viscous part c omega acts besides.
class PivotFriction {
 public:
  PivotFriction() = default;
  // coulomb S_0 [N m]; load_radius mu r_pin [m]; viscous c [N m s]; yield_angle theta_y [rad].
  PivotFriction(double coulomb, double load_radius, double viscous, double yield_angle);

  struct Response {
    double torque;  // resists positive omega
    double rate_u, rate_reaction;
    double loss_dry, loss_viscous;
  };
  Response calc(double reaction, double lagged_reaction, double omega, double u) const;
  // The same in two parts: torque and viscous loss, which do not need the reaction; then the rest.
  void begin(double lagged_reaction, double omega, double u, Response& reply) const;
  void finish(double reaction, double lagged_reaction, double u, Response& reply) const;
  double stored(double lagged_reaction, double u) const;
  double level(double reaction) const { return s0_ + load_radius_ * reaction; }
  double step_state(double reaction_old, double reaction, double turn, double u) const;
  // As for DryFriction, at constant level.
  double quasi_static_stored_rate(double reaction, double turn_rate, double u) const;
  double yield_angle() const { return theta_y_; }
  double load_radius() const { return load_radius_; }
  double coulomb() const { return s0_; }
  double viscous() const { return c_; }
  bool acts() const { return s0_ > 0 || load_radius_ > 0; }

  static constexpr double kSqueezeTime = 5e-4;  // [s] lag of the reaction
  static constexpr double kLossTime = 1e-3;     // tau_d of bushing cloth [s]; estimate
  static constexpr double kBreak = DryFriction::kBreak;

 private:
  double s0_ = 0, load_radius_ = 0, c_ = 0, theta_y_ = 1e-3, per_theta_y_ = 1e3;
};

}  // namespace leverwright::planar
