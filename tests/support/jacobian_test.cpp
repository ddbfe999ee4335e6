// The helper itself: right on a known derivative, and it does notice a wrong one.
#include "tests/support/jacobian.h"

#include <cmath>

#include "tests/support/order.h"

namespace leverwright::support {
namespace {

Eigen::VectorXd curved(const Eigen::VectorXd& x) {
  return Eigen::Vector2d(std::sin(x[0]) * x[1], std::exp(0.7 * x[1]) - x[0] * x[0]);
}

Eigen::MatrixXd slopes(const Eigen::VectorXd& x) {
  Eigen::Matrix2d j;
  j << std::cos(x[0]) * x[1], std::sin(x[0]), -2 * x[0], 0.7 * std::exp(0.7 * x[1]);
  return j;
}

TEST(DifferenceJacobian, AgreesWithClosedForm) {
  const Eigen::Vector2d x(0.83, -1.37);
  EXPECT_TRUE(jacobian_agrees(curved, x, slopes(x), 1e-3, 1e-11));
}

TEST(DifferenceJacobian, NoticesAnError) {
  const Eigen::Vector2d x(0.83, -1.37);
  Eigen::MatrixXd wrong = slopes(x);
  wrong(1, 0) *= 1 + 1e-7;
  EXPECT_FALSE(jacobian_agrees(curved, x, wrong, 1e-3, 1e-9));
  EXPECT_FALSE(slope_agrees([](double s) { return s * s * s; }, 1.3, 3 * 1.3 * 1.3 * 1.001, 1e-3, 1e-6));
}

TEST(DifferenceJacobian, IsOfFourthOrder) {
  const Eigen::Vector2d x(0.83, -1.37);
  const auto error = [&](double h) {
    return (difference_jacobian(curved, x, h) - slopes(x)).cwiseAbs().maxCoeff();
  };
  EXPECT_TRUE(order_is({error(0.2), error(0.1)}, 4, 0.1, 1e-12));
}

}  // namespace
}  // namespace leverwright::support
