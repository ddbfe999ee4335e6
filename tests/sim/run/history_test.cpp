// Given functions of time: values, derivatives, and the times at which they bend.
#include "sim/run/history.h"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/run/drive.h"

namespace leverwright::run {
namespace {

constexpr double kPi = 3.14159265358979323846;

// Derivatives against differences, away from bends.
void check_derivatives(const History& f, const std::vector<double>& times, double scale) {
  const double h = 1e-6;
  for (const double t : times) {
    const double rate = (f.at(t + h).value - f.at(t - h).value) / (2 * h);
    const double second = (f.at(t + h).rate - f.at(t - h).rate) / (2 * h);
    EXPECT_NEAR(f.at(t).rate, rate, 1e-6 * scale) << t;
    EXPECT_NEAR(f.at(t).second, second, 1e-4 * scale) << t;
  }
}

TEST(History, StraightLinesHoldTheirEnds) {
  const LinearHistory f({0.2, 0.5, 0.9}, {1.5, -0.3, 0.7});
  EXPECT_EQ(f.at(-3).value, 1.5);
  EXPECT_EQ(f.at(-3).rate, 0.0);
  EXPECT_NEAR(f.at(0.3).value, 0.9, 1e-15);
  EXPECT_NEAR(f.at(0.3).rate, -6, 1e-14);
  EXPECT_NEAR(f.at(0.5).rate, 2.5, 1e-14) << "to the right of a point";
  EXPECT_EQ(f.at(0.9).value, 0.7);
  EXPECT_EQ(f.at(4).rate, 0.0);
  EXPECT_EQ(LinearHistory({0.1}, {2.5}).at(7).value, 2.5);
  std::vector<double> bends;
  f.add_breakpoints(bends);
  EXPECT_EQ(bends, (std::vector<double>{0.2, 0.5, 0.9}));
}

TEST(History, HalfCosineAndQuinticRamps) {
  const std::vector<double> t{0.1, 0.4, 0.6}, y{0.5, 2.1, -0.7};
  const RampHistory cosine(RampShape::kHalfCosine, t, y), quintic(RampShape::kQuintic, t, y);
  EXPECT_NEAR(cosine.at(0.2).value, 0.5 + 1.6 * 0.5 * (1 - std::cos(kPi / 3)), 1e-15);
  EXPECT_NEAR(cosine.at(0.25).rate, 1.6 * 0.5 * kPi / 0.3, 1e-13);
  // x = 1/4: 10/64 - 15/256 + 6/1024 = 106/1024
  EXPECT_NEAR(quintic.at(0.45).value, 2.1 - 2.8 * 106.0 / 1024, 1e-14);
  EXPECT_NEAR(quintic.at(0.5).rate, -2.8 * 1.875 / 0.2, 1e-12);
  for (const RampHistory* f : {&cosine, &quintic}) {
    check_derivatives(*f, {0.13, 0.22, 0.37, 0.43, 0.51, 0.58}, 30);
    EXPECT_NEAR(f->at(0.4).value, 2.1, 1e-15);
    EXPECT_NEAR(f->at(0.4).rate, 0, 1e-12);
    EXPECT_EQ(f->at(0.05).value, 0.5);
    EXPECT_EQ(f->at(0.61).value, -0.7);
    EXPECT_EQ(f->at(0.61).second, 0.0);
  }
  EXPECT_NEAR(quintic.at(0.4 + 1e-9).second, 0, 1e-4) << "its second derivative is continuous";
  EXPECT_GT(std::abs(cosine.at(0.4 + 1e-9).second), 100) << "the half cosine's is not";
}

TEST(History, SplineGoesThroughItsSamplesAndJoinsTheHeldEnds) {
  std::vector<double> y;
  const double start = 0.03, spacing = 2e-3;
  const auto wave = [](double t) { return 4 - std::cos(2 * kPi * t / 0.1); };
  for (int k = 0; k <= 50; ++k) y.push_back(wave(spacing * k));  // slope zero at both ends
  const SplineHistory f(start, spacing, y);
  for (int k = 0; k < 50; ++k)
    EXPECT_NEAR(f.at(start + spacing * k).value, y[static_cast<std::size_t>(k)], 1e-12);
  for (const double t : {0.0113, 0.0377, 0.0651, 0.0899})
    EXPECT_NEAR(f.at(start + t).value, wave(t), 2e-6);  // (pi / 25)^4 * 5 / 384 of the amplitude
  check_derivatives(f, {0.0413, 0.0777, 0.1211}, 1e3);
  EXPECT_EQ(f.at(0.0).value, y.front());
  EXPECT_EQ(f.at(0.2).value, y.back());
  EXPECT_NEAR(f.at(start).rate, 0, 1e-9);
  std::vector<double> bends;
  f.add_breakpoints(bends);
  ASSERT_EQ(bends.size(), 2u);
  EXPECT_DOUBLE_EQ(bends[1], start + 0.1);
}

TEST(Drive, BendsOfForceAndMotionComeSortedAndOnce) {
  Drive d;
  d.press(0, planar::Vec2(0.1, 0), planar::Vec2(0, -1),
          std::make_shared<LinearHistory>(std::vector<double>{0.3, 0.7}, std::vector<double>{1, 2}));
  d.move(1, std::make_shared<RampHistory>(RampShape::kQuintic, std::vector<double>{0.1, 0.3, 0.4},
                                          std::vector<double>{0, 2, 1}));
  EXPECT_EQ(d.breakpoints(), (std::vector<double>{0.1, 0.3, 0.4, 0.7}));
  EXPECT_EQ(d.moved_coordinate(), 1);
  const planar::Applied a = d.at(0.5);
  EXPECT_EQ(a.load.body, 0);
  EXPECT_NEAR(a.load.force.y(), -1.5, 1e-15);
  EXPECT_NEAR(d.pressing_force(0.5), 1.5, 1e-15);
  EXPECT_EQ(a.prescribed, 1);
  EXPECT_EQ(a.q, 1.0);
  EXPECT_EQ(Drive().at(0.5).load.body, planar::kGround);
  EXPECT_EQ(Drive().at(0.5).prescribed, -1);
  EXPECT_EQ(Drive().moved_coordinate(), -1);
}

}  // namespace
}  // namespace leverwright::run
