// A noisy record made smooth: what the filter leaves of an oscillation, derivatives, uneven sampling, noise.
#include "sim/run/smoothed_history.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace leverwright::run {
namespace {

constexpr double kPi = 3.14159265358979323846;

std::vector<double> evenly(double from, double to, double step) {
  std::vector<double> t;
  for (double x = from; x <= to + 1e-12; x += step) t.push_back(x);
  return t;
}

template <class F>
std::vector<double> values_of(const std::vector<double>& t, F f) {
  std::vector<double> y;
  for (const double x : t) y.push_back(f(x));
  return y;
}

// H = 1 / (1 + (f / f_c)^6), at a place far from the ends, with no phase.
TEST(SmoothedHistory, LeavesOfAnOscillationWhatItsCutOffSays) {
  const double cut_off = 80;
  for (const double share : {0.25, 0.7, 1.0, 1.5, 2.15}) {
    const double omega = 2 * kPi * share * cut_off;
    const auto t = evenly(0, 0.6, 0.4e-3);
    const SmoothedHistory z(t, values_of(t, [&](double x) { return 3 + std::sin(omega * x); }), cut_off);
    double in = 0, out = 0, across = 0;
    for (const double x : t) {
      if (x < 0.2 || x > 0.4) continue;
      const double got = z.at(x).value - 3;
      in += std::sin(omega * x) * std::sin(omega * x);
      out += got * std::sin(omega * x);
      across += got * std::cos(omega * x);
    }
    const double expected = 1 / (1 + std::pow(share, 6));
    EXPECT_NEAR(out / in, expected, 0.01) << share;
    EXPECT_NEAR(across / in, 0, 0.01) << "no phase, " << share;
  }
}

TEST(SmoothedHistory, KeepsASlowWayWithItsDerivatives) {
  // A ramp of 40 ms is slow against 100 Hz: its acceleration comes out too.
  const auto way = [](double x) {
    const double s = std::min(1.0, std::max(0.0, (x - 0.1) / 0.08));
    return 9e-3 * s * s * s * (10 + s * (6 * s - 15));
  };
  const auto t = evenly(0, 0.3, 1e-3);
  const SmoothedHistory z(t, values_of(t, way), 100);
  for (double x = 0.05; x < 0.25; x += 0.003) {
    EXPECT_NEAR(z.at(x).value, way(x), 0.01e-3) << x;
    const double h = 1e-5;
    EXPECT_NEAR(z.at(x).rate, (z.at(x + h).value - z.at(x - h).value) / (2 * h), 1e-5) << x;
    EXPECT_NEAR(z.at(x).second, (z.at(x + h).rate - z.at(x - h).rate) / (2 * h), 0.05) << x;
    EXPECT_NEAR(z.at(x).second, (way(x + 1e-4) - 2 * way(x) + way(x - 1e-4)) / 1e-8, 1.5) << x;
  }
  EXPECT_EQ(z.at(-1).rate, 0);
  EXPECT_NEAR(z.at(7).value, 9e-3, 1e-6) << "held";
  EXPECT_EQ(z.at(7).second, 0);
}

TEST(SmoothedHistory, TakesUnevenAndRepeatedSamples) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> jitter(0.2e-3, 1.8e-3);
  std::vector<double> t{0};
  while (t.back() < 0.4) t.push_back(t.back() + (t.size() % 10 == 0 ? 0.0 : jitter(random)));
  const auto y = values_of(t, [](double x) { return std::sin(2 * kPi * 12 * x); });
  const SmoothedHistory z(t, y, 100);
  for (double x = 0.05; x < 0.35; x += 0.01)
    EXPECT_NEAR(z.at(x).value, std::sin(2 * kPi * 12 * x), 5e-3) << x;
}

// Samples at 1 kHz with 0.01 mm of noise: differences of them would give accelerations of tens of m/s2.
TEST(SmoothedHistory, TakesTheNoiseOutOfAnAcceleration) {
  std::mt19937_64 random(3);
  std::normal_distribution<double> noise(0, 0.01e-3);
  const auto t = evenly(0, 0.5, 1e-3);
  const auto y = values_of(t, [&](double) { return noise(random); });
  const SmoothedHistory z(t, y, 100);
  double raw = 0, smooth = 0;
  int n = 0;
  for (std::size_t k = 50; k + 50 < t.size(); ++k, ++n) {
    raw += std::pow((y[k + 1] - 2 * y[k] + y[k - 1]) / 1e-6, 2);
    smooth += std::pow(z.at(t[k]).second, 2);
  }
  EXPECT_GT(std::sqrt(raw / n), 20);
  EXPECT_LT(std::sqrt(smooth / n), 2) << "m/s2";
}

}  // namespace
}  // namespace leverwright::run
