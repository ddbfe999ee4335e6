// The helper finds the order of the explicit midpoint rule on x' = -x, and refuses another order, noise and
// NaN.
#include "tests/support/order.h"

#include <limits>

namespace leverwright::support {
namespace {

std::vector<double> midpoint_errors() {
  std::vector<double> out;
  for (const int steps : {20, 40, 80}) {
    const double h = 1.0 / steps;
    double x = 1;
    for (int k = 0; k < steps; ++k) x -= h * (x - 0.5 * h * x);
    out.push_back(std::abs(x - std::exp(-1.0)));
  }
  return out;
}

TEST(Order, OfTheMidpointRuleIsTwo) {
  EXPECT_TRUE(order_is(midpoint_errors(), 2, 0.1, 1e-12));
  EXPECT_NEAR(observed_order(midpoint_errors().front(), midpoint_errors().back(), 2), 2, 0.1);
}

TEST(Order, AnotherOrderAndNoiseAreRefused) {
  EXPECT_FALSE(order_is(midpoint_errors(), 3, 0.1, 1e-12));
  EXPECT_FALSE(order_is(midpoint_errors(), 2, 0.1, 1e-2));
  EXPECT_FALSE(order_is({1e-3, std::numeric_limits<double>::quiet_NaN()}, 2, 0.1, 1e-12));
  EXPECT_FALSE(order_is({1e-3}, 2, 0.1, 1e-12));
}

}  // namespace
}  // namespace leverwright::support
