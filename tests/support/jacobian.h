// Derivatives by differences: the one helper through which every Jacobian of the project is tested.
//
// Five-point central differences, df/dx = (f(-2h) - 8 f(-h) + 8 f(h) - f(2h)) / 12h. Truncation h^4
// f'''''/30, rounding about 1.5 eps |f| / h: with lengths and angles of order 0.1 and h = 1e-4 to 1e-3 both
// stay under 1e-11.
#pragma once
#include <gtest/gtest.h>

#include <Eigen/Core>
#include <algorithm>
#include <functional>

namespace leverwright::support {

using VectorFunction = std::function<Eigen::VectorXd(const Eigen::VectorXd&)>;

inline Eigen::MatrixXd difference_jacobian(const VectorFunction& f, const Eigen::VectorXd& x, double step) {
  Eigen::MatrixXd out(f(x).size(), x.size());
  for (Eigen::Index j = 0; j < x.size(); ++j) {
    const auto at = [&](double k) {
      Eigen::VectorXd probe = x;
      probe[j] += k * step;
      return f(probe);
    };
    out.col(j) = (at(-2) - 8 * at(-1) + 8 * at(1) - at(2)) / (12 * step);
  }
  return out;
}

// True when every entry agrees within `tolerance` times the largest entry (at least 1e-6 of the unit, so that
// a row of zeros is compared with something); the message shows both.
inline ::testing::AssertionResult jacobian_agrees(const VectorFunction& f, const Eigen::VectorXd& x,
                                                  const Eigen::MatrixXd& claimed, double step,
                                                  double tolerance) {
  const Eigen::MatrixXd measured = difference_jacobian(f, x, step);
  if (measured.rows() != claimed.rows() || measured.cols() != claimed.cols())
    return ::testing::AssertionFailure() << "sizes differ";
  const double scale = std::max(1e-6, measured.cwiseAbs().maxCoeff());
  const double error = (measured - claimed).cwiseAbs().maxCoeff();
  if (error <= tolerance * scale) return ::testing::AssertionSuccess();
  return ::testing::AssertionFailure() << "largest error " << error << " against " << scale
                                       << " at x = " << x.transpose() << "\nby differences\n"
                                       << measured << "\nclaimed\n"
                                       << claimed;
}

// The same for a scalar function of one variable.
inline ::testing::AssertionResult slope_agrees(const std::function<double(double)>& f, double x,
                                               double claimed, double step, double tolerance) {
  const VectorFunction g = [&](const Eigen::VectorXd& at) { return Eigen::VectorXd::Constant(1, f(at[0])); };
  return jacobian_agrees(g, Eigen::VectorXd::Constant(1, x), Eigen::MatrixXd::Constant(1, 1, claimed), step,
                         tolerance);
}

}  // namespace leverwright::support
