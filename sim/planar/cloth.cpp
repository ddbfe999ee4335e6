#include "sim/planar/cloth.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace leverwright::planar {

Cloth::Cloth(double reference_force, double reference_compression, double exponent, double hysteresis,
             double damping_time, double loss_time)
    : f_ref_(reference_force),
      d_ref_(reference_compression),
      p_(exponent),
      eta_(hysteresis),
      c_(damping_time),
      alpha_(loss_time) {
  assert(f_ref_ > 0 && d_ref_ > 0 && p_ >= 1 && eta_ >= 0 && eta_ < 0.6 && c_ >= 0 && alpha_ >= 0);
  k_ = f_ref_ / std::pow(d_ref_, p_);
  r_load_ = std::pow(1.0 - eta_ / kKappa, 1.0 / p_);
  r_unload_ = std::pow(1.0 + eta_ / kKappa, 1.0 / p_);
  const double two_p = 2.0 * p_;
  if (std::abs(two_p - std::round(two_p)) < 1e-12 && two_p <= 10)
    twice_p_ = static_cast<int>(std::round(two_p));
}

double Cloth::power(double d) const {  // d^p, d > 0
  if (twice_p_ == 0) return std::pow(d, p_);
  double out = (twice_p_ % 2) ? std::sqrt(d) : 1.0;
  for (int k = twice_p_ / 2; k > 0; --k) out *= d;
  return out;
}

double Cloth::elastic_force(double d) const { return d > 0 ? k_ * power(d) : 0.0; }
double Cloth::elastic_slope(double d) const { return d > 0 ? p_ * k_ * power(d) / d : 0.0; }
double Cloth::elastic_energy(double d) const { return d > 0 ? k_ * power(d) * d / (p_ + 1.0) : 0.0; }
double Cloth::compression(double force) const { return force > 0 ? std::pow(force / k_, 1.0 / p_) : 0.0; }

Cloth::Response Cloth::calc(double d, double ddot, double d0) const {
  Response out{0, 0, 0, 0, 0};
  if (d <= 0) {
    out.rate_d0 = -d0 / kRecovery;
    return out;
  }
  d0 = step_memory(d, d0);
  const double fe = k_ * power(d), slope = p_ * fe / d;
  if (eta_ == 0) {
    out.reversible = fe;
    out.rate_reversible = slope * ddot;
  } else {
    const double fe0 = elastic_force(d0);
    const double fh = kKappa * (fe - fe0);
    const double slope0 = d0 > 0 ? p_ * fe0 / d0 : 0.0;
    if (fh * ddot > 0) {
      const double a = (std::abs(fh) / (eta_ * fe) - kBreak) * (1.0 / (1.0 - kBreak));
      if (a > 0) out.rate_d0 = a * (ddot > 0 ? r_load_ : r_unload_) * ddot;
    }
    out.reversible = fe + fh;
    out.rate_reversible = (1 + kKappa) * slope * ddot - kKappa * slope0 * out.rate_d0;
    out.loss = kKappa * slope0 * (d - d0) * out.rate_d0;
  }
  const double wanted = out.reversible + (c_ * fe + alpha_ * slope) * ddot;
  out.normal = std::max(0.0, wanted);
  out.loss += (out.normal - out.reversible) * ddot;
  return out;
}

double Cloth::stored(double d, double d0) const {
  const double dd = std::max(d, 0.0);
  if (eta_ == 0 || d <= 0) return elastic_energy(dd);
  d0 = step_memory(d, d0);
  const double u = elastic_energy(dd);
  return u + kKappa * (u - elastic_energy(d0) - elastic_force(d0) * (dd - d0));
}

double Cloth::step_memory(double d, double d0) const {
  if (d <= 0) return 0.0;
  return std::clamp(d0, r_load_ * d, r_unload_ * d);
}

double Cloth::quasi_static_force(double d, double d0_new) const {
  if (d <= 0) return 0.0;
  const double fe = k_ * power(d);
  return eta_ == 0 ? fe : fe + kKappa * (fe - elastic_force(d0_new));
}

Cloth::QuasiStaticRates Cloth::quasi_static_rates(double d, double depth_rate, double d0) const {
  const double slope = elastic_slope(d), slope0 = elastic_slope(d0);
  double rate_d0 = 0;
  if (depth_rate > 0 && d0 <= r_load_ * d * (1 + 1e-12)) rate_d0 = r_load_ * depth_rate;
  if (depth_rate < 0 && d0 >= r_unload_ * d * (1 - 1e-12)) rate_d0 = r_unload_ * depth_rate;
  return {(1 + kKappa) * slope * depth_rate - kKappa * slope0 * rate_d0,
          kKappa * slope0 * (d - d0) * rate_d0};
}

}  // namespace leverwright::planar
