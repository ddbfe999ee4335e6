#include "sim/run/smoothed_history.h"

#include <Eigen/Sparse>
#include <algorithm>
#include <boost/math/special_functions/cardinal_b_spline.hpp>
#include <cassert>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::run {

namespace {

constexpr int kHalf = 3;  // a quintic B-spline reaches three knots to either side

double value_of(double x) { return boost::math::cardinal_b_spline<5>(x); }

// Third derivative: third central difference of the quadratic B-spline.
double third_of(double x) {
  const auto b = [](double y) { return boost::math::cardinal_b_spline<2>(y); };
  return b(x + 1.5) - 3 * b(x + 0.5) + 3 * b(x - 0.5) - b(x - 1.5);
}

}  // namespace

SmoothedHistory::SmoothedHistory(const std::vector<double>& times, const std::vector<double>& values,
                                 double cut_off) {
  assert(times.size() == values.size() && times.size() >= 2 && times.back() > times.front() && cut_off > 0);
  constexpr double kMostKnots = 50000;
  constexpr double kQuiet = 1.0;  // held on either side, in 1 / f_c
  first_ = times.front();
  last_ = times.back();
  const double margin = kQuiet / cut_off;
  step_ = std::max(1 / (kKnotsPerCutOff * cut_off), (last_ - first_ + 2 * margin) / kMostKnots);
  start_ = first_ - margin;
  const int knots = static_cast<int>(std::ceil((last_ - first_ + 2 * margin) / step_)) + 1;
  const int n = knots + 2 * kHalf;  // spline k stands at start_ + (k - kHalf) step_
  std::vector<Eigen::Triplet<double>> entries;
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
  const auto add_sample = [&](double t, double y, double weight) {
    const double x = (t - start_) / step_ + kHalf;
    const int from = std::max(0, static_cast<int>(std::floor(x)) - kHalf + 1),
              to = std::min(n - 1, static_cast<int>(std::floor(x)) + kHalf);
    for (int i = from; i <= to; ++i) {
      const double b = value_of(x - i);
      right[i] += weight * b * y;
      for (int k = from; k <= to; ++k) entries.emplace_back(i, k, weight * b * value_of(x - k));
    }
  };
  for (std::size_t k = 0; k < times.size(); ++k) {
    const double before = k > 0 ? times[k] - times[k - 1] : 0,
                 after = k + 1 < times.size() ? times[k + 1] - times[k] : 0;
    add_sample(times[k], values[k], std::max(0.5 * (before + after), 1e-6 * step_));
  }
  for (double t = 0.5 * step_; t < margin; t += step_) {
    add_sample(first_ - t, values.front(), step_);
    add_sample(last_ + t, values.back(), step_);
  }
  // omega_c^-6 integral B_i''' B_k''': quadratic pieces, so three Gauss points an interval are exact.
  const double omega = 2 * base::kPi * cut_off;
  const double scale = std::pow(omega, -6) / std::pow(step_, 5);
  const double gauss[3] = {0.5 - std::sqrt(0.15), 0.5, 0.5 + std::sqrt(0.15)};
  const double weight[3] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
  // Only where all six splines stand.
  for (int j = kHalf - 1; j + kHalf < n; ++j)
    for (int g = 0; g < 3; ++g)
      for (int i = std::max(0, j - kHalf + 1); i <= std::min(n - 1, j + kHalf); ++i)
        for (int k = std::max(0, j - kHalf + 1); k <= std::min(n - 1, j + kHalf); ++k)
          entries.emplace_back(i, k,
                               scale * weight[g] * third_of(j + gauss[g] - i) * third_of(j + gauss[g] - k));
  Eigen::SparseMatrix<double> normal(n, n);
  normal.setFromTriplets(entries.begin(), entries.end());
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> solver(normal);
  const Eigen::VectorXd c = solver.solve(right);
  c_.assign(c.data(), c.data() + n);
}

Instant SmoothedHistory::at(double t) const {
  const double held = std::clamp(t, first_, last_);
  const double x = (held - start_) / step_ + kHalf;
  const int from = static_cast<int>(std::floor(x)) - kHalf + 1;
  Instant out;
  for (int i = from; i < from + 2 * kHalf; ++i) {
    const double c = c_[static_cast<std::size_t>(i)];
    out.value += c * value_of(x - i);
    if (held != t) continue;
    out.rate += c * boost::math::cardinal_b_spline_prime<5>(x - i) / step_;
    out.second += c * boost::math::cardinal_b_spline_double_prime<5>(x - i) / (step_ * step_);
  }
  return out;
}

void SmoothedHistory::add_breakpoints(std::vector<double>& times) const {
  times.push_back(first_);
  times.push_back(last_);
}

}  // namespace leverwright::run
