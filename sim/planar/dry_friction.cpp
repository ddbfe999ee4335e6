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

DryFriction::DryFriction(double mu, double shear_share, double exponent, double nap_shear,
                         double damping_time)
    : mu_(mu),
      kappa_t_(shear_share),
      give_(mu / (shear_share * exponent)),
      z_min_(nap_shear),
      tau_d_(damping_time) {
  assert(mu >= 0 && shear_share > 0 && exponent >= 1 && nap_shear > 0 && damping_time >= 0);
}

DryFriction::Response DryFriction::calc(NormalLoad press, NormalLoad rate, double v, double u,
                                        double borne) const {
  Response out{0, 0, 0};
  if (press.force <= 0) {
    out.rate_u = -u / kRecovery;
    return out;
  }
  u = std::clamp(u, -1.0, 1.0);
  const double limit = mu_ * press.force;
  const double z_y = yield_displacement(press.depth), per_z_y = 1.0 / z_y;
  const double alpha = slip_share(borne > 0 ? std::clamp(u / borne, -1.0, 1.0) : std::copysign(1.0, u), v);
  const double stick = (1.0 - alpha) * z_y / (z_y + kBuildUp * std::max(0.0, u * v));
  const double sliding_u = std::clamp(u, -borne, borne);
  out.rate_u = v * per_z_y * stick;
  out.loss = limit * sliding_u * v * (1.0 - stick);
  // Unloading brings the surface nearer to slip, as slip along u does.
  const double g = rate.force / press.force + give_ * rate.depth * per_z_y;
  const double slips = g < 0 ? slip_share(u, u) : 0.0;
  out.rate_u -= 0.5 * g * u * (1.0 - slips);
  out.loss -= 0.5 * limit * u * u * z_y * g * slips;
  const double damping = borne * limit * stuck_loss(u, v, z_y, tau_d_);
  out.force = limit * (stick * u + (1.0 - stick) * sliding_u) + damping;
  out.loss += damping * v;
  return out;
}

double DryFriction::sliding(NormalLoad press, double v, double u) const {
  if (press.force <= 0) return v;
  u = std::clamp(u, -1.0, 1.0);
  const double z_y = yield_displacement(press.depth);
  return v * (1.0 - (1.0 - slip_share(u, v)) * z_y / (z_y + kBuildUp * std::max(0.0, u * v)));
}

double DryFriction::stored(NormalLoad press, double u) const {
  u = std::clamp(u, -1.0, 1.0);
  return press.force > 0 ? 0.5 * mu_ * press.force * u * u * yield_displacement(press.depth) : 0.0;
}

double DryFriction::step_state(NormalLoad from, NormalLoad to, double slip, double u) const {
  if (to.force <= 0) return 0.0;
  const double z_y = yield_displacement(to.depth);
  u = from.force > 0 ? u * std::sqrt(from.force * yield_displacement(from.depth) / (to.force * z_y)) : 0.0;
  return std::clamp(u + slip / z_y, -1.0, 1.0);
}

double DryFriction::quasi_static_stored_rate(NormalLoad press, NormalLoad rate, double slip_rate,
                                             double u) const {
  if (press.force <= 0) return 0.0;
  const double limit = mu_ * press.force, z_y = yield_displacement(press.depth);
  const double g = rate.force / press.force + give_ * rate.depth / z_y;
  double rate_u = slip_rate / z_y - 0.5 * g * u;
  if (std::abs(u) >= 1.0 && u * rate_u > 0) rate_u = 0;  // sliding
  return 0.5 * limit * z_y * u * (g * u + 2 * rate_u);
}

PivotFriction::PivotFriction(double coulomb, double load_radius, double viscous, double yield_angle)
    : s0_(coulomb),
      load_radius_(load_radius),
      c_(viscous),
      theta_y_(yield_angle),
      per_theta_y_(1.0 / yield_angle) {
  assert(coulomb >= 0 && load_radius >= 0 && viscous >= 0 && yield_angle > 0);
}

PivotFriction::Response PivotFriction::calc(double reaction, double lagged, double omega, double u) const {
  Response out;
  begin(lagged, omega, u, out);
  finish(reaction, lagged, u, out);
  return out;
}

void PivotFriction::begin(double lagged, double omega, double u, Response& out) const {
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

void PivotFriction::finish(double reaction, double lagged, double u, Response& out) const {
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
