#include "tests/independent/laws.h"

#include <algorithm>
#include <cmath>

namespace leverwright::independent {

namespace {

// Share of slip in the motion: alpha(u, v).
double slipping(double u, double v, double from) {
  return u * v > 0 ? std::max(0.0, (std::abs(u) - from) / (1 - from)) : 0.0;
}

// Loss of the stuck material as a share of the limit: s tau v / (z + tau |v|).
double material_loss(double u, double v, double z, double tau) {
  const double s = u * v > 0 ? 1 - std::abs(u) : 1.0;
  return s * tau * v / (z + tau * std::abs(v));
}

double bent(double w, double root) { return root > 0 ? std::clamp(w / root, -1.0, 1.0) : 0.0; }

}  // namespace

ClothForce press(const PlainCloth& c, const LawConstants& k, double d, double rate, double memory) {
  ClothForce out;
  if (d <= 0) {
    out.rate_memory = -memory / kForget;
    return out;
  }
  const auto backbone = [&c](double x) { return x > 0 ? c.force * std::pow(x / c.depth, c.exponent) : 0.0; };
  const double elastic = backbone(d), stiffness = c.exponent * elastic / d;
  double hysteretic = 0, rate_hysteretic = 0;
  if (c.hysteresis > 0) {
    const double ratio = rate > 0 ? std::pow(1 - c.hysteresis / k.kappa, 1 / c.exponent)
                                  : std::pow(1 + c.hysteresis / k.kappa, 1 / c.exponent);
    const double lowest = d * std::pow(1 - c.hysteresis / k.kappa, 1 / c.exponent);
    const double highest = d * std::pow(1 + c.hysteresis / k.kappa, 1 / c.exponent);
    const double d0 = std::min(std::max(memory, lowest), highest);
    const double elastic0 = backbone(d0), stiffness0 = c.exponent * elastic0 / d0;
    hysteretic = k.kappa * (elastic - elastic0);
    const double zeta = hysteretic / (c.hysteresis * elastic);
    if (zeta * rate > 0)
      out.rate_memory = std::max(0.0, (std::abs(zeta) - k.cloth_break) / (1 - k.cloth_break)) * ratio * rate;
    rate_hysteretic = k.kappa * (stiffness * rate - stiffness0 * out.rate_memory);
  }
  const double reversible = elastic + hysteretic;
  const double viscous = (c.damping * elastic + c.loss_time * stiffness) * rate;
  out.normal = std::max(0.0, reversible + viscous);
  out.bearing = std::max(0.0, reversible);
  out.rate_bearing = stiffness * rate + rate_hysteretic;
  return out;
}

Rubbing rub(const PlainFriction& f, const LawConstants& k, double bearing, double rate_bearing, double depth,
            double rate_depth, double v, double w, double total) {
  Rubbing out;
  if (bearing <= 0) {
    out.rate_w = -w / kForget;
    return out;
  }
  const double limit = f.mu * bearing, per_depth = f.mu / (f.shear_share * f.exponent);
  const double z_y = f.nap_shear + per_depth * depth;
  const double root = std::sqrt(bearing * z_y), u = bent(w, root);
  const double root_grows = 0.5 * (rate_bearing / bearing + per_depth * rate_depth / z_y);
  // A sliding surface resists with what it bears in all, the viscous part with it, where that is less.
  const double share = std::min(1.0, total / bearing);
  const double strained = share > 0 ? std::clamp(u / share, -1.0, 1.0) : (u < 0 ? -1.0 : 1.0);
  const double sigma =
      (1 - slipping(strained, v, k.bristle_break)) * z_y / (z_y + k.build_up_time * std::max(0.0, u * v));
  const double beta = root_grows < 0 ? slipping(u, u, k.bristle_break) : 0.0;
  out.rate_w = root * (v / z_y * sigma + root_grows * u * beta);
  const double held = sigma * u + (1 - sigma) * std::clamp(u, -share, share);
  out.force = limit * (held + share * material_loss(u, v, z_y, f.damping_time));
  return out;
}

Bushing turn(const PlainPivot& p, const LawConstants& k, double reaction, double lagged, double omega,
             double w) {
  Bushing out;
  out.rate_lagged = (reaction - lagged) / k.squeeze_time;
  const double level = p.coulomb + p.load_radius * lagged;
  out.torque = p.viscous * omega;
  if (level <= 0) return out;
  const double root = std::sqrt(level), u = bent(w, root), rate_level = p.load_radius * out.rate_lagged;
  const double sigma = 1 - slipping(u, omega, k.bristle_break);
  const double beta = rate_level < 0 ? slipping(u, u, k.bristle_break) : 0.0;
  out.rate_w = root * (omega / p.yield_angle * sigma + 0.5 * u * rate_level / level * beta);
  out.torque += level * (u + material_loss(u, omega, p.yield_angle, k.pivot_loss_time));
  return out;
}

}  // namespace leverwright::independent
