// A recorded function of time, sampled noisily and not necessarily evenly, as a smooth one.
//
// z minimises   integral (y - z)^2 dt  +  omega_c^-6 integral (z''')^2 dt,
// the first integral taken over the samples by trapezes. For dense samples that is a filter without phase,
//   H(omega) = 1 / (1 + (omega / omega_c)^6):
// half of an oscillation at the cut-off f_c = omega_c / (2 pi) is left, a hundredth at 2.15 f_c. (A smoothing
// spline of order m is such a filter of order 2 m: [@craven1979]; for
// motion analysis [@woltring1986]; both from memory.) z is a quintic
// B-spline (Boost.Math) with knots every kKnotsPerCutOff-th of 1 / f_c: its second derivative is smooth, so
// that a recorded way can drive a coordinate. The normal equations are banded and solved by Eigen's sparse
// LDL^T. Before the first and after the last sample the value is held.
#pragma once
#include <memory>
#include <vector>

#include "sim/run/history.h"

namespace leverwright::run {

class SmoothedHistory : public History {
 public:
  // times never falling, at least two different; as many values; cut_off > 0 [Hz].
  SmoothedHistory(const std::vector<double>& times, const std::vector<double>& values, double cut_off);
  Instant at(double t) const override;
  void add_breakpoints(std::vector<double>& times) const override;

  static constexpr int kKnotsPerCutOff = 10;

 private:
  double first_ = 0, last_ = 0, start_ = 0, step_ = 1;  // knots at start_ + k step_
  std::vector<double> c_;
};

}  // namespace leverwright::run
