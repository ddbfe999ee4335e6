// Normal law of cloth, felt and leather: nonlinear, with rate-independent hysteresis, never tensile.
//
//   elastic backbone                       F_e(d) = F_ref (d / d_ref)^p, compression d >= 0 [m]   [N]
//   memory d0 (a play operator follows d)  F = F_e(d) + kappa (F_e(d) - F_e(d0))
// Slow loading ends on d0 = r_load d, slow unloading on d0 = r_unload d, with
//   kappa (1 - r_load^p) = eta,  kappa (r_unload^p - 1) = eta,   so   F = (1 +- eta) F_e(d).
// Memory rate: with zeta = kappa (F_e(d) - F_e(d0)) / (eta F_e(d)),
//   d0dot = a(zeta) r ddot   when ddot and zeta have the same sign, else 0,
//   a = 0 below kBreak, (|zeta| - kBreak)/(1 - kBreak) above.
// Hence r_load d <= d0 <= r_unload d for ever (|zeta| <= 1), and d0 = 0 as d returns to zero. An integrator's d0 that
// has strayed from that range counts as its nearest end (step_memory).
// Energy, so that no closed cycle creates any, whatever the history:
//   stored      U(d) + kappa [U(d) - U(d0) - F_e(d0) (d - d0)],  U = integral of F_e
//   dissipated  kappa F_e'(d0) (d - d0) d0dot >= 0, because d0 only ever moves towards d
// Loss with speed: c, the viscous part [@hunt1975]; alpha, the loss of the material in small quick motion about a
// preload, a force that follows the squeeze by a lead, F_e + alpha dF_e/dt (hammer felt: [@stulov2004]; [@smith_pasp]):
//   F_v = (c F_e(d) + alpha F_e'(d)) ddot       (alpha only with p > 1, or the force jumps at first touch)
// The sum is cut at zero; what the cut takes is booked as loss.
//
// Holds for wool cloth, felt and leather between 0 and some 100 N; an exponent p >= 2.5 stands for bottoming.
#pragma once

namespace leverwright::planar {

class Cloth {
 public:
  Cloth() = default;
  // reference_force [N] at reference_compression [m]; exponent p >= 1; hysteresis eta in [0, 0.6);
  // damping_time c [s/m]; loss_time alpha [s].
  Cloth(double reference_force, double reference_compression, double exponent, double hysteresis,
        double damping_time, double loss_time = 0);

  double elastic_force(double d) const;    // F_e
  double elastic_slope(double d) const;    // dF_e/dd
  double elastic_energy(double d) const;   // U
  double compression(double force) const;  // inverse of F_e

  struct Response {
    double reversible;  // F without the viscous part [N]
    double normal;      // the force [N], >= 0
    double rate_d0;     // memory rate [m/s]
    double loss;        // dissipated power [W]: hysteresis + viscous, each from its own force times speed
    double rate_reversible;  // d(reversible)/dt [N/s]
  };
  // d: compression (may be negative: open), ddot its rate, d0 the memory.
  Response calc(double d, double ddot, double d0) const;
  double stored(double d, double d0) const;  // [J]

  // Quasi-static: memory after moving to compression d (exact play operator); force then.
  double step_memory(double d, double d0) const;
  double quasi_static_force(double d, double d0_new) const;

  struct QuasiStaticRates {
    double rate_normal, loss;
  };
  // Rates per unit path for a depth rate, memory already stepped (on its play bound or inside it).
  QuasiStaticRates quasi_static_rates(double d, double depth_rate, double d0) const;

  double hysteresis() const { return eta_; }
  double exponent() const { return p_; }
  double reference_force() const { return f_ref_; }
  double reference_compression() const { return d_ref_; }
  double damping_time() const { return c_; }
  double loss_time() const { return alpha_; }
  // Same law without hysteresis and viscosity.
  Cloth elastic_only() const { return Cloth(f_ref_, d_ref_, p_, 0.0, 0.0); }
  Cloth scaled(double factor) const { return Cloth(f_ref_ * factor, d_ref_, p_, eta_, c_, alpha_); }

  static constexpr double kKappa = 2.0;  // stiffness of the hysteretic branch against the backbone
  static constexpr double kBreak = 0.3;  // share of the hysteresis force below which the memory rests
  static constexpr double kRecovery =
      1e-3;  // [s] time in which the d0 of an open cloth, which no longer matters, fades

 private:
  double f_ref_ = 1, d_ref_ = 1, p_ = 2.5, eta_ = 0, c_ = 0, alpha_ = 0;
  double k_ = 1, r_load_ = 1, r_unload_ = 1;
  int twice_p_ = 0;  // 2p when that is a whole number (fast powers), else 0
  double power(double d) const;
};

}  // namespace leverwright::planar
