// Dry friction that sticks: an elasto-plastic bristle whose stiffness is the cloth's own shear stiffness.
//
// Normal force N, slip velocity v, friction force on the moving side -T.  State u in [-1, 1]:
//   T = mu N u                                                                    [N]
//   yield displacement  z_y(N) = z_min + mu N / k_t                               [m]
//   udot = (v / z_y) sigma(u, v) - (1/2)(1 + rho) u (Ndot / N) (1 - beta),        rho = (mu N / k_t) / z_y
//   sigma(u, v) = (1 - alpha) z_y / (z_y + tau_b (u v)_+)
//   alpha(u, v) = 0 when u v <= 0 or |u| < u_break, else (|u| - u_break)/(1 - u_break)
//   beta        = 0 when N rises, alpha(u, u) when it falls: unloading brings the surface nearer to slip
// so below u_break the contact is elastic and rests for ever, at |u| = 1 it slides with Coulomb's force, and
// |u| never exceeds 1 (an integrator's u that has counts as 1). (Elasto-plastic bristles: Dupont, Hayward,
// Armstrong, Altpeter, IEEE Trans. Automatic Control 47(5), 2002.) tau_b: full friction needs not only its
// way z_y but also some time to build up; it matters above z_y / tau_b, which a bearing surface of cloth
// reaches at about 1 m/s. Stored energy E = (1/2) mu N u^2 z_y. With v = 0 the second term keeps E constant
// both ways, so that a bearing force that trembles leaves a stuck surface as it was (were u kept when N
// falls, every tremble would cost it some of its friction); a falling N dissipates only as u nears 1.
// Dissipation
//   D = T v (1 - sigma) + (1/2) mu u^2 (z_y + mu N / k_t) (-Ndot)_+ beta   >= 0,   as sigma = 1 when u v < 0.
// So no closed cycle of slip and normal force creates energy. (With T = k_t z and mu N u kept on loading, it
// would: the same trap is known for the tangential force of granular contacts.) The stuck surface has the
// loss of its material, a time tau_d, besides:
//   T_d = mu N s tau_d v / (z_y + tau_d |v|),   s = 1 - |u| when u v > 0, else 1,
// which adds D_d = T_d v >= 0, leaves nothing to a sliding surface, and never takes |T| beyond mu N.
// The state is kept when the contact opens (T = 0 there) and fades within kRecovery. z_min stands for the nap
// that shears freely before any load bears on it.
#pragma once

namespace leverwright::planar {

class DryFriction {
 public:
  DryFriction() = default;
  // mu >= 0; shear_stiffness k_t [N/m]; nap_shear z_min [m]; damping_time tau_d [s].
  DryFriction(double mu, double shear_stiffness, double nap_shear, double damping_time);

  struct Reply {
    double force;   // T, along +slip means it resists slip in that direction [N]
    double rate_u;  // [1/s]
    double loss;    // [W]
  };
  // normal >= 0 and its rate; mu_factor scales mu (rough or grooved places). A factor that changes on the way
  // is passed as a normal force that changes, factor times N with its whole rate and mu_factor 1: mu and N
  // act only as their product.
  Reply calc(double normal, double rate_normal, double slip_velocity, double u, double mu_factor) const;
  // The share of the slip velocity that slides, v (1 - sigma): what the stuck surface's own shear leaves
  // [m/s].
  double sliding(double normal, double slip_velocity, double u, double mu_factor) const;
  double stored(double normal, double u, double mu_factor) const;  // [J]

  // Quasi-static step: state after the normal force went from normal_old to normal and the contact slipped by
  // `slip`.
  double step_state(double normal_old, double normal, double slip, double u, double mu_factor) const;
  double yield_displacement(double normal, double mu_factor) const;
  // Rate of the stored bristle energy per unit path, state already stepped.
  double quasi_static_stored_rate(double normal, double rate_normal, double slip_rate, double u,
                                  double mu_factor) const;

  double mu() const { return mu_; }
  double shear_stiffness() const { return k_t_; }
  bool acts() const { return mu_ > 0; }
  // The same surface when only this share of its area bears: stiffness in proportion, coefficient unchanged.
  DryFriction shared(double share) const { return DryFriction(mu_, k_t_ * share, z_min_, tau_d_); }

  static constexpr double kBreak = 0.8;       // u_break
  static constexpr double kBuildUp = 1.5e-4;  // tau_b [s]; estimate
  static constexpr double kRecovery = 1e-3;   // [s]

 private:
  double mu_ = 0, k_t_ = 1, per_k_t_ = 1, z_min_ = 1e-6, tau_d_ = 0;
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

  struct Reply {
    double torque;  // resists positive omega
    double rate_u, rate_reaction;
    double loss_dry, loss_viscous;
  };
  Reply calc(double reaction, double lagged_reaction, double omega, double u) const;
  // The same in two parts: torque and viscous loss, which do not need the reaction; then the rest.
  void begin(double lagged_reaction, double omega, double u, Reply& reply) const;
  void finish(double reaction, double lagged_reaction, double u, Reply& reply) const;
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
