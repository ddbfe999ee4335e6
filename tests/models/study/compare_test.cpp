// compare: what depends on nothing but the case, what a stop keeps, and what strokes come with.
#include "models/study/compare.h"

#include <gtest/gtest.h>

#include <atomic>
#include <cmath>
#include <stdexcept>

#include "models/remedies/read_case.h"

namespace leverwright::study {
namespace {

case_file::CaseDescription demo(std::size_t set_ups) {
  auto d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(set_ups);
  return d;
}

Comparison solve(const case_file::CaseDescription& d, int threads, const std::vector<std::string>& touches) {
  CompareOptions options;
  options.uncertainty = false;
  options.threads = threads;
  options.touches = touches;
  return compare(d, options);
}

// Equal to the last bit, NaN equal to NaN.
void expect_same(const std::vector<double>& a, const std::vector<double>& b, const std::string& what) {
  ASSERT_EQ(a.size(), b.size()) << what;
  for (std::size_t k = 0; k < a.size(); ++k)
    ASSERT_TRUE(a[k] == b[k] || (std::isnan(a[k]) && std::isnan(b[k]))) << what << " " << k;
}

TEST(Compare, SameBitsForAnyNumberOfThreads) {
  const auto d = demo(3);
  const Comparison one = solve(d, 1, {"mf"}), two = solve(d, 2, {"mf"});
  ASSERT_EQ(one.set_ups.size(), 3u);
  ASSERT_EQ(two.set_ups.size(), 3u);
  for (std::size_t s = 0; s < 3; ++s) {
    const SetUpResult &a = one.set_ups[s], &b = two.set_ups[s];
    EXPECT_EQ(a.name, d.set_ups[s].name) << "in the order of the case";
    EXPECT_EQ(b.name, a.name);
    expect_same({a.measures.begin(), a.measures.end()}, {b.measures.begin(), b.measures.end()}, "measures");
    expect_same({a.regulated.screws.begin(), a.regulated.screws.end()},
                {b.regulated.screws.begin(), b.regulated.screws.end()}, "screws");
    ASSERT_EQ(a.touches.size(), 1u);
    const auto &p = a.touches[0].stroke, &q = b.touches[0].stroke;
    expect_same(p.series.time, q.series.time, "time");
    expect_same(p.series.string_gap, q.series.string_gap, "hammer");
    expect_same(p.series.finger_force, q.series.finger_force, "finger");
    expect_same({p.event.begin(), p.event.end()}, {q.event.begin(), q.event.end()}, "events");
  }
}

TEST(Compare, ASetUpDependsOnTheBaseButOnNoOtherSetUp) {
  auto d = demo(3);
  const Comparison all = solve(d, 2, {});
  d.set_ups.erase(d.set_ups.begin() + 1);
  const Comparison fewer = solve(d, 2, {});
  ASSERT_EQ(fewer.set_ups.size(), 2u);
  EXPECT_EQ(fewer.set_ups[1].name, all.set_ups[2].name);
  expect_same({fewer.set_ups[1].measures.begin(), fewer.set_ups[1].measures.end()},
              {all.set_ups[2].measures.begin(), all.set_ups[2].measures.end()}, "measures");
}

TEST(Compare, TheOrderInWhichSetUpsAreListedChangesNothing) {
  auto d = demo(3);
  const Comparison listed = solve(d, 2, {"mf"});
  std::swap(d.set_ups[1], d.set_ups[2]);
  const Comparison swapped = solve(d, 2, {"mf"});
  for (const std::size_t s : {1u, 2u}) {
    const SetUpResult &a = listed.set_ups[s], &b = swapped.set_ups[3 - s];
    EXPECT_EQ(a.name, b.name);
    expect_same({a.measures.begin(), a.measures.end()}, {b.measures.begin(), b.measures.end()}, "measures");
    expect_same(a.touches[0].stroke.series.string_gap, b.touches[0].stroke.series.string_gap, "hammer");
  }
}

TEST(Compare, AStopKeepsTheFirstOnesWhole) {
  const auto d = demo(4);
  CompareOptions options;
  options.threads = 2;
  std::vector<std::string> told;
  options.finished = [&](const SetUpResult& s) { told.push_back(s.name); };
  std::atomic<int> calls{0};
  options.progress = [&](const Progress& p) {
    EXPECT_GE(p.share, 0.0);
    EXPECT_LE(p.share, 1.0);
    return ++calls <
           3;  // stop while the first ones are under way: what is begun is finished, nothing else begins
  };
  const Comparison c = compare(d, options);
  ASSERT_FALSE(c.set_ups.empty());
  ASSERT_LT(c.set_ups.size(), 4u);
  ASSERT_EQ(told.size(), c.set_ups.size());
  for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
    EXPECT_EQ(c.set_ups[k].name, d.set_ups[k].name);
    EXPECT_EQ(told[k], d.set_ups[k].name);
    EXPECT_TRUE(c.set_ups[k].weighing.ok);
  }
  EXPECT_TRUE(c.inputs.empty()) << "no uncertainties of half a study";
}

TEST(Compare, AStopBeforeTheFirstLeavesNothing) {
  CompareOptions options;
  options.progress = [](const Progress&) { return false; };
  EXPECT_TRUE(compare(demo(2), options).set_ups.empty());
}

TEST(Compare, WhatTheCallerThrowsComesBackToTheCaller) {
  CompareOptions options;
  options.uncertainty = false;
  options.finished = [](const SetUpResult&) { throw std::runtime_error("the disk is full"); };
  EXPECT_THROW(compare(demo(2), options), std::runtime_error);
}

TEST(Compare, PlaysOnlyFromWhereItIsTold) {
  CompareOptions options;
  options.uncertainty = false;
  options.touches = {"mf"};
  options.first_played = 1;
  const Comparison c = compare(demo(2), options);
  EXPECT_TRUE(c.set_ups[0].touches.empty());
  ASSERT_EQ(c.set_ups[1].touches.size(), 1u);
}

TEST(Compare, CheckAndSpringAreSetByPlaying) {
  const Comparison c = solve(demo(1), 1, {"mf"});
  const SetUpResult& s = c.set_ups[0];
  EXPECT_TRUE(s.regulated_ok);
  EXPECT_TRUE(s.played.ok);
  // The touch mf is the blow the check is set by: 15.5 mm, found to 0.1 mm, and played once more.
  EXPECT_NEAR(s.played.checking, s.design.checking, 0.1e-3);
  EXPECT_NEAR(s.touches[0].stroke.measures.check_distance, s.design.checking, 0.3e-3);
  EXPECT_GE(s.played.rise_speed, s.design.spring_rise_low);
  EXPECT_LE(s.played.rise_speed, s.design.spring_rise_high);
}

}  // namespace
}  // namespace leverwright::study
