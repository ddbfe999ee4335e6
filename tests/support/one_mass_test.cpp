#include "tests/support/one_mass.h"

#include <gtest/gtest.h>

namespace leverwright::test_support {
namespace {

TEST(OneMass, ConstantForceIsAParabolaAndLittleForceSticks) {
  const OneMass toy{0.31, {{0, 0.01}, {0.42, 0.42}}, 0.13};
  const std::vector<double> times{0, 0.021, 0.043};
  const auto moved = toy.travel(times, [](double) { return 1.7; });
  for (std::size_t k = 0; k < times.size(); ++k)
    EXPECT_NEAR(moved[k], 0.5 * (1.7 - 0.42 - 0.13) / 0.31 * times[k] * times[k], 1e-9);
  for (const double y : toy.travel(times, [](double) { return 0.5; })) EXPECT_EQ(y, 0.0);
}

TEST(OneMass, OnASpringItSwingsAndFrictionTakesFourTimesItsWayEachPeriod) {
  // S = 60 y: from y = 8 mm under no push it swings about friction's offset and loses 2 f / k each half.
  const OneMass toy{0.25, {{-0.02, 0.02}, {-1.2, 1.2}}, 0.06};
  const double half = 3.14159265358979 * std::sqrt(0.25 / 60);
  const auto y = toy.travel(
      {0, half}, [](double) { return 0.0; }, 8e-3);
  EXPECT_NEAR(y[1], -(8e-3 - 2 * 0.06 / 60), 2e-6);
}

TEST(OneMass, TheForceOfAMotionGivesThatMotion) {
  const OneMass toy{0.29, {{0, 0.004, 0.01}, {0.5, 0.38, 0.44}}, 0.12};
  const double w = 31;  // y = 4 mm (1 - cos w t)
  std::vector<double> times;
  for (int k = 0; k <= 40; ++k) times.push_back(0.002 * k);
  const auto y = toy.travel(times, [&](double t) {
    return toy.force(4e-3 * (1 - std::cos(w * t)), 1, 4e-3 * w * w * std::cos(w * t));
  });
  for (std::size_t k = 0; k < times.size(); ++k) EXPECT_NEAR(y[k], 4e-3 * (1 - std::cos(w * times[k])), 2e-7);
}

}  // namespace
}  // namespace leverwright::test_support
