#include "sim/planar/dry_friction.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace leverwright::planar {

namespace {
// Both laws break away at the same share.
double slip_share(double u, double v) {
  constexpr double kPerRest = 1.0 / (1.0 - DryFriction::kBreak);
  if (u * v <= 0) return 0.0;
  return std::max(0.0, (std::abs(u) - DryFriction::kBreak) * kPerRest);
}

// Share of the limit that the loss of a stuck surface takes: s tau v / (z + tau |v|).
double stuck_loss(double u, double v, double yield, double loss_time) {
  return (u * v > 0 ? 1.0 - std::abs(u) : 1.0) * loss_time * v / (yield + loss_time * std::abs(v));
}
}  // namespace

DryFriction::DryFriction(double mu, double shear_stiffness, double nap_shear, double damping_time)
    : mu_(mu),
      k_t_(shear_stiffness),
      per_k_t_(1.0 / shear_stiffness),
      z_min_(nap_shear),
      tau_d_(damping_time) {
  assert(mu >= 0 && shear_stiffness > 0 && nap_shear > 0 && damping_time >= 0);
}

double DryFriction::yield_displacement(double normal, double mu_factor) const {
  return z_min_ + mu_ * mu_factor * normal / k_t_;
}

DryFriction::Reply DryFriction::calc(double normal, double rate_normal, double v, double u,
                                     double mu_factor) const {
  Reply out{0, 0, 0};
  if (normal <= 0) {
    out.rate_u = -u / kRecovery;
    return out;
  }
  u = std::clamp(u, -1.0, 1.0);
  const double limit = mu_ * mu_factor * normal;
  const double elastic = limit * per_k_t_;
  const double z_y = z_min_ + elastic, per_z_y = 1.0 / z_y;
  const double alpha = slip_share(u, v);
  const double stick = (1.0 - alpha) * z_y / (z_y + kBuildUp * std::max(0.0, u * v));
  out.rate_u = v * per_z_y * stick;
  out.loss = limit * u * v * (1.0 - stick);
  // Unloading brings the surface nearer to slip, as slip along u does.
  const double slips = rate_normal < 0 ? slip_share(u, u) : 0.0;
  out.rate_u -= 0.5 * (1.0 + elastic * per_z_y) * u * rate_normal / normal * (1.0 - slips);
  out.loss -= 0.5 * u * u * mu_ * mu_factor * rate_normal * (z_y + elastic) * slips;
  const double damping = limit * stuck_loss(u, v, z_y, tau_d_);
  out.force = limit * u + damping;
  out.loss += damping * v;
  return out;
}

double DryFriction::sliding(double normal, double v, double u, double mu_factor) const {
  if (normal <= 0) return v;
  u = std::clamp(u, -1.0, 1.0);
  const double z_y = yield_displacement(normal, mu_factor);
  return v * (1.0 - (1.0 - slip_share(u, v)) * z_y / (z_y + kBuildUp * std::max(0.0, u * v)));
}

double DryFriction::stored(double normal, double u, double mu_factor) const {
  u = std::clamp(u, -1.0, 1.0);
  return normal > 0 ? 0.5 * mu_ * mu_factor * normal * u * u * yield_displacement(normal, mu_factor) : 0.0;
}

double DryFriction::step_state(double normal_old, double normal, double slip, double u,
                               double mu_factor) const {
  if (normal <= 0) return 0.0;
  const double z_y = yield_displacement(normal, mu_factor);
  u = normal_old > 0 ? u * std::sqrt(normal_old * yield_displacement(normal_old, mu_factor) / (normal * z_y))
                     : 0.0;
  return std::clamp(u + slip / z_y, -1.0, 1.0);
}

double DryFriction::quasi_static_stored_rate(double normal, double rate_normal, double slip_rate, double u,
                                             double mu_factor) const {
  if (normal <= 0) return 0.0;
  const double limit = mu_ * mu_factor * normal, elastic = limit / k_t_, z_y = z_min_ + elastic;
  double rate_u = slip_rate / z_y;
  rate_u -= 0.5 * (1.0 + elastic / z_y) * u * rate_normal / normal;
  if (std::abs(u) >= 1.0 && u * rate_u > 0) rate_u = 0;  // sliding
  return 0.5 * mu_ * mu_factor * rate_normal * u * u * (z_y + elastic) + limit * z_y * u * rate_u;
}

PivotFriction::PivotFriction(double coulomb, double load_radius, double viscous, double yield_angle)
    : s0_(coulomb),
      load_radius_(load_radius),
      c_(viscous),
      theta_y_(yield_angle),
      per_theta_y_(1.0 / yield_angle) {
  assert(coulomb >= 0 && load_radius >= 0 && viscous >= 0 && yield_angle > 0);
}

PivotFriction::Reply PivotFriction::calc(double reaction, double lagged, double omega, double u) const {
  Reply out;
  begin(lagged, omega, u, out);
  finish(reaction, lagged, u, out);
  return out;
}

void PivotFriction::begin(double lagged, double omega, double u, Reply& out) const {
  u = std::clamp(u, -1.0, 1.0);
  const double s = level(lagged);
  const double alpha = slip_share(u, omega);
  const double damping = s * stuck_loss(u, omega, theta_y_, kLossTime);
  out.torque = s * u + damping + c_ * omega;
  out.rate_u = omega * per_theta_y_ * (1.0 - alpha);
  out.rate_reaction = 0;
  out.loss_dry = s * u * omega * alpha + damping * omega;
  out.loss_viscous = c_ * omega * omega;
}

void PivotFriction::finish(double reaction, double lagged, double u, Reply& out) const {
  out.rate_reaction = (reaction - lagged) * (1.0 / kSqueezeTime);
  const double s = level(lagged);
  if (load_radius_ == 0 || s <= 0) return;
  u = std::clamp(u, -1.0, 1.0);
  const double rate_s = load_radius_ * out.rate_reaction;
  const double slips = rate_s < 0 ? slip_share(u, u) : 0.0;
  out.rate_u -= 0.5 * u * rate_s / s * (1.0 - slips);
  out.loss_dry -= 0.5 * u * u * theta_y_ * rate_s * slips;
}

double PivotFriction::stored(double lagged_reaction, double u) const {
  u = std::clamp(u, -1.0, 1.0);
  return 0.5 * level(lagged_reaction) * u * u * theta_y_;
}

double PivotFriction::step_state(double reaction_old, double reaction, double turn, double u) const {
  const double s_old = level(reaction_old), s = level(reaction);
  if (s > 0 && s_old > 0) u *= std::sqrt(s_old / s);
  return std::clamp(u + turn / theta_y_, -1.0, 1.0);
}

double PivotFriction::quasi_static_stored_rate(double reaction, double turn_rate, double u) const {
  if (std::abs(u) >= 1.0 && u * turn_rate > 0) return 0.0;
  return level(reaction) * u * turn_rate;
}

}  // namespace leverwright::planar
