#include "models/case_file/reconcile.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <random>

#include "models/case_file/quantity.h"
#include "sim/base/error.h"

namespace leverwright::case_file {
namespace {

constexpr double kMm = 1e-3;

struct Truth {  // an invented geometry, mm
  double xP = 193.3, yP = 65.2, xH = 88.1, yH = 105.4, xC = 132.7, yC = 34.6, h = 35.1;
  double front = 251.3, dip = 10.3, aftertouch = 1.1;
};

// The measurements worked out with plain trigonometry: polar angles instead of the program's matrices.
std::map<std::string, double> measurements(const Truth& t) {
  const double rear = std::sqrt(t.xC * t.xC + t.yC * t.yC);
  const double polar = std::atan2(t.yC, t.xC) + (t.dip - t.aftertouch) / 2 / t.front;
  const double dx = t.xP - rear * std::cos(polar), dy = t.yP - rear * std::sin(polar);
  return {{"spread", std::hypot(t.xP - t.xH, t.yP - t.yH)},
          {"wippen_centre_height", t.h + t.yP},
          {"hammer_centre_height", t.h + t.yH},
          {"balance_hole_height", t.h},
          {"capstan_top_height", t.h + t.yC},
          {"balance_hole_to_wippen_centre", t.xP},
          {"key_rear_length", rear},
          {"heel_contact_arm", std::hypot(dx, dy)}};
}

double sigma_of(const std::string& key) { return key == "spread" ? 0.25 : 0.5; }

CaseDescription make_case(const std::map<std::string, double>& values, const Truth& t = {}) {
  CaseDescription d;
  const auto put = [&](const std::string& key, double mm, double sigma) {
    Quantity q;
    q.value = mm * kMm;
    q.sigma = sigma * kMm;
    q.knowledge = Knowledge::kMeasured;
    q.dimension = Dimension::kLength;
    q.place = {"bench.toml", 7, key};
    d.quantities["measured." + key] = q;
  };
  for (const auto& [key, mm] : values) put(key, mm, sigma_of(key));
  put("key_front_length", t.front, 0.5);
  put("dip", t.dip, 0.1);
  put("aftertouch", t.aftertouch, 0.1);
  return d;
}

TEST(Reconcile, finds_the_geometry_exact_measurements_came_from) {
  const Truth t;
  const ReconciledGeometry g = reconcile(make_case(measurements(t)));
  EXPECT_NEAR(g.p_WP.x(), t.xP * kMm, 1e-10);
  EXPECT_NEAR(g.p_WP.y(), t.yP * kMm, 1e-10);
  EXPECT_NEAR(g.p_WH.x(), t.xH * kMm, 1e-10);
  EXPECT_NEAR(g.p_WH.y(), t.yH * kMm, 1e-10);
  EXPECT_NEAR(g.p_WC.x(), t.xC * kMm, 1e-10);
  EXPECT_NEAR(g.p_WC.y(), t.yC * kMm, 1e-10);
  EXPECT_NEAR(g.balance_hole_height, t.h * kMm, 1e-10);
  EXPECT_EQ(g.redundancy, 1);
  EXPECT_LT(g.chi_squared, 1e-12);
  EXPECT_TRUE(g.warnings.empty());
}

TEST(Reconcile, any_one_measurement_of_the_redundant_loop_may_be_left_out) {
  const Truth t;
  for (const char* key : {"wippen_centre_height", "capstan_top_height", "balance_hole_to_wippen_centre",
                          "key_rear_length", "heel_contact_arm"}) {
    auto values = measurements(t);
    values.erase(key);
    const ReconciledGeometry g = reconcile(make_case(values));
    EXPECT_EQ(g.redundancy, 0) << key;
    EXPECT_NEAR(g.p_WC.x(), t.xC * kMm, 1e-7) << key;
    EXPECT_NEAR(g.p_WP.y(), t.yP * kMm, 1e-7) << key;
  }
}

TEST(Reconcile, says_what_to_measure_when_the_rest_does_not_fix_a_point) {
  auto values = measurements(Truth{});
  values.erase("hammer_centre_height");
  try {
    reconcile(make_case(values));
    FAIL() << "accepted a hammer centre nothing holds";
  } catch (const base::UserError& error) {
    ASSERT_EQ(error.problems().size(), 1u);
    EXPECT_NE(error.problems()[0].what.find("hammer centre"), std::string::npos) << error.what();
    EXPECT_EQ(error.problems()[0].what.find("capstan"), std::string::npos) << error.what();
    EXPECT_NE(error.problems()[0].advice.find("measured.hammer_centre_height"), std::string::npos)
        << error.what();
  }
}

TEST(Reconcile, covariance_is_that_of_repeated_bench_work) {
  // Monte Carlo: measure the same action 4000 times with normal errors; compare the scatter of the answers.
  const Truth t;
  const ReconciledGeometry exact = reconcile(make_case(measurements(t)));
  std::mt19937 random(20240611);
  std::normal_distribution<double> normal;
  const int n = 4000;
  Eigen::Matrix<double, 7, 7> sum = Eigen::Matrix<double, 7, 7>::Zero();
  double chi = 0;
  for (int i = 0; i < n; ++i) {
    auto values = measurements(t);
    for (auto& [key, mm] : values) mm += sigma_of(key) * normal(random);
    const ReconciledGeometry g = reconcile(make_case(values));
    Eigen::Matrix<double, 7, 1> e;
    e << g.p_WP - exact.p_WP, g.p_WH - exact.p_WH, g.p_WC - exact.p_WC,
        g.balance_hole_height - exact.balance_hole_height;
    sum += e * e.transpose() / n;
    chi += g.chi_squared / n;
  }
  for (int j = 0; j < 7; ++j)  // standard error of a variance from 4000 draws is 2.2 %; four of those
    EXPECT_NEAR(sum(j, j) / exact.covariance(j, j), 1, 0.09) << j;
  EXPECT_NEAR(chi, 1, 0.1);  // one redundant measurement
}

TEST(Reconcile, a_wrong_measurement_is_warned_of_by_name_and_size) {
  const Truth t;
  auto values = measurements(t);
  values["heel_contact_arm"] += 5;
  const ReconciledGeometry g = reconcile(make_case(values));
  ASSERT_EQ(g.warnings.size(), 1u);
  EXPECT_NE(g.warnings[0].find("measured.heel_contact_arm (5.0 mm too large)"), std::string::npos)
      << g.warnings[0];
  for (const Misfit& m : g.measurements) {
    if (m.key != "measured.heel_contact_arm") continue;
    EXPECT_GT(m.standardised, kMisfitWarning);
    EXPECT_NEAR(m.would_be_wrong_by, 5 * kMm, 0.1 * kMm);  // linear to a few per cent
    EXPECT_LT(std::abs(m.in_sigmas), std::abs(m.standardised));
  }
}

TEST(Reconcile, small_scatter_passes_in_silence) {
  auto values = measurements(Truth{});
  values["heel_contact_arm"] += 0.7;
  values["key_rear_length"] -= 0.4;
  EXPECT_TRUE(reconcile(make_case(values)).warnings.empty());
}

TEST(Reconcile, numbers_of_two_different_pianos_are_an_error) {
  auto values = measurements(Truth{});
  values["heel_contact_arm"] += 14;
  try {
    reconcile(make_case(values));
    FAIL();
  } catch (const base::UserError& error) {
    EXPECT_NE(std::string(error.what()).find("contradict"), std::string::npos);
    EXPECT_EQ(error.problems()[0].line, 7);
  }
}

TEST(Reconcile, a_spread_shorter_than_its_heights_differ_is_impossible) {
  auto values = measurements(Truth{});
  values["hammer_centre_height"] = values["wippen_centre_height"] + 130;
  EXPECT_THROW(reconcile(make_case(values)), base::UserError);
}

TEST(Reconcile, half_stroke_takes_the_travel_to_let_off) {
  const Truth t;
  CaseDescription d = make_case(measurements(t));
  EXPECT_NEAR(half_stroke_key_angle(d), (10.3 - 1.1) / 2 / 251.3, 1e-12);
  d.quantities.erase("measured.aftertouch");
  EXPECT_NEAR(half_stroke_key_angle(d), 10.3 / 2 / 251.3, 1e-12);
}

}  // namespace
}  // namespace leverwright::case_file
