// Monte Carlo against closed forms: what a straight line gets right, what it cannot, and that the bits depend
// on the seed alone.
#include "models/study/monte_carlo.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/read_case.h"
#include "models/study/compare.h"
#include "models/study/counter_random.h"

namespace leverwright::study {
namespace {

Input normal_input(const std::string& key) {
  Input in;
  in.key = in.name = key;
  in.sigma = 1;
  return in;
}

Input uniform_input(const std::string& key, double from, double to) {
  Input in = normal_input(key);
  in.uniform = true;
  in.from = from;
  in.to = to;
  return in;
}

std::vector<double> draws(const Input& in, int n, std::uint64_t seed = 11) {
  std::vector<double> x;
  for (int k = 0; k < n; ++k) x.push_back(draw(in, "", seed, static_cast<std::uint64_t>(k)));
  return x;
}

TEST(CounterRandom, GivesThePublishedAnswers) {
  // Known answers of philox4x32-10 that come with its authors' code (from memory).
  EXPECT_EQ(philox({0, 0, 0, 0}, {0, 0}), (Counter{0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}));
  EXPECT_EQ(philox({0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff}, {0xffffffff, 0xffffffff}),
            (Counter{0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}));
  EXPECT_EQ(philox({0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344}, {0xa4093822, 0x299f31d0}),
            (Counter{0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}));
}

TEST(MonteCarlo, DrawsHaveTheDistributionsTheyAreSaidToHave) {
  const int n = 20000;
  const auto z = draws(normal_input("a"), n), u = draws(uniform_input("b", -1, 2), n);
  const Spread normal = describe_spread(z, {}, {}), uniform = describe_spread(u, {}, {});
  // Errors of mean and sd at 20000 draws: 0.007 and 0.005; percentiles 0.02. Four of each.
  EXPECT_NEAR(normal.mean, 0, 0.028);
  EXPECT_NEAR(normal.sd, 1, 0.02);
  EXPECT_NEAR(normal.low, -1.96, 0.08);
  EXPECT_NEAR(normal.high, 1.96, 0.08);
  EXPECT_NEAR(normal.sd_error, 1 / std::sqrt(2.0 * n), 0.0004);
  EXPECT_NEAR(uniform.mean, 0.5, 0.025);
  EXPECT_NEAR(uniform.sd, 3 / std::sqrt(12.0), 0.02);
  for (const double x : u) ASSERT_TRUE(x >= -1 && x <= 2);
  double together = 0;
  for (int k = 0; k < n; ++k)
    together += z[static_cast<std::size_t>(k)] * (u[static_cast<std::size_t>(k)] - 0.5);
  EXPECT_NEAR(together / n, 0, 0.025) << "streams are independent";
}

TEST(MonteCarlo, AgreesWithTheStraightLineWhereThereIsOne) {
  const int n = 4000;
  const auto x = draws(normal_input("a"), n),
             w = draws(uniform_input("b", -std::sqrt(3.0), std::sqrt(3.0)), n);
  std::vector<double> y;
  for (std::size_t k = 0; k < x.size(); ++k) y.push_back(5 + 3 * x[k] + w[k] + 0.02 * x[k] * x[k]);
  const Spread s = describe_spread(y, {x, w}, {"x", "w"});
  EXPECT_TRUE(agrees_with_linear(s, 5, std::sqrt(10.0)));
  EXPECT_FALSE(agrees_with_linear(s, 5, 1.4 * std::sqrt(10.0)));
  EXPECT_FALSE(agrees_with_linear(s, 6.5, std::sqrt(10.0)));
  EXPECT_EQ(s.dominant, "x");
  EXPECT_NEAR(s.dominant_share, 0.9, 0.03);
  EXPECT_NEAR(first_order_share(w, y), 0.1, 0.03);
}

TEST(MonteCarlo, SeesWhatAStraightLineCannot) {
  // y = x^2: the slope at 0 is 0, so the straight line says 0 +- 0. Mean 1, variance 2 in closed form.
  const int n = 4000;
  const auto x = draws(normal_input("a"), n), other = draws(normal_input("b"), n);
  std::vector<double> y;
  for (const double v : x) y.push_back(v * v);
  const Spread s = describe_spread(y, {x, other}, {"x", "other"});
  EXPECT_NEAR(s.mean, 1, 0.1);
  EXPECT_NEAR(s.sd, std::sqrt(2.0), 0.15);
  EXPECT_FALSE(agrees_with_linear(s, 0, 0));
  EXPECT_EQ(s.dominant, "x") << "although it does not correlate with y at all";
  EXPECT_GT(s.dominant_share, 0.85);
  EXPECT_LT(first_order_share(other, y), 0.02);
}

TEST(MonteCarlo, FailedSamplesAreLeftOutAndCounted) {
  std::vector<double> y(100, 1.0);
  for (std::size_t k = 0; k < 100; ++k) y[k] = k % 4 == 0 ? std::nan("") : static_cast<double>(k % 4);
  const Spread s = describe_spread(y, {}, {});
  EXPECT_EQ(s.count, 75);
  EXPECT_DOUBLE_EQ(s.mean, 2);
}

TEST(MonteCarlo, AStopKeepsTheFirstInARow) {
  int told = 0;
  const auto samples = run_samples(
      200,
      [](int k) {
        Measures m{};
        m[kDip] = k;
        return SampleOutput{m};
      },
      [&](double) { return ++told < 20; });
  ASSERT_GE(samples.size(), 10u);
  ASSERT_LT(samples.size(), 200u);
  for (std::size_t k = 0; k < samples.size(); ++k) EXPECT_EQ(samples[k][0][kDip], static_cast<double>(k));
}

// The demo with few inputs, drawn a few times: through regulation and weighing.
Comparison sampled(int threads, int samples, std::uint64_t seed, const std::vector<std::string>& keys) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups = {d.set_ups[0], d.set_ups[2]};
  for (auto& [key, q] : d.quantities)
    if (std::find(keys.begin(), keys.end(), key) == keys.end())
      q.knowledge = case_file::Knowledge::kExact;  // its sigma still weighs in reconciling
  d.leads.clear();
  d.point_lists.at("wippen.heel_profile").sigma = 0;
  CompareOptions options;
  options.threads = threads;
  options.monte_carlo = {samples, seed};
  return compare(d, options);
}

const std::vector<std::string> kKeys = {"measured.strike_weight", "contact.lever_knuckle.friction"};
const Comparison& by_two_threads() {
  static const Comparison c = sampled(2, 20, 3, kKeys);
  return c;
}

TEST(MonteCarlo, SameBitsForAnyNumberOfThreads) {
  const Comparison one = sampled(1, 20, 3, kKeys);
  const Comparison& two = by_two_threads();
  ASSERT_TRUE(one.monte_carlo && two.monte_carlo);
  EXPECT_NE(draw(normal_input("a"), "", 3, 0), draw(normal_input("a"), "", 4, 0)) << "seeds differ";
  EXPECT_EQ(one.monte_carlo->done, 20);
  for (std::size_t s = 0; s < 2; ++s)
    for (const auto k : {kDownWeight, kUpWeight, kDistanceRatio}) {
      const auto &a = one.monte_carlo->set_ups[s][k], &b = two.monte_carlo->set_ups[s][k];
      EXPECT_EQ(a.value.mean, b.value.mean);
      EXPECT_EQ(a.value.sd, b.value.sd);
      EXPECT_EQ(a.value.low, b.value.low);
      EXPECT_TRUE(s == 0 || a.difference.sd == b.difference.sd);
    }
}

TEST(MonteCarlo, WhatIsCommonCancelsInADifference) {
  const Comparison& c = by_two_threads();
  ASSERT_TRUE(c.monte_carlo);
  const auto& relocated = c.monte_carlo->set_ups[1][kDownWeight];
  EXPECT_LT(relocated.difference.sd, 0.5 * relocated.value.sd);
  // Both inputs act almost in proportion: the straight line holds.
  EXPECT_TRUE(c.monte_carlo->set_ups[0][kDownWeight].value_agrees);
  EXPECT_EQ(c.monte_carlo->failed[0], 0);
}

}  // namespace
}  // namespace leverwright::study
