// The bounded robust fit against two other ways to the same minimum: numbers of the general least-squares
// library that stood here before (trust region, free of bounds), and coordinates moved one at a time until
// none moves.
#include "models/calibrate/least_squares.h"

#include <gtest/gtest.h>

#include <Eigen/LU>
#include <cmath>

#include "models/study/counter_random.h"

namespace leverwright::calibrate {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;
using study::counter_normal;

// Straight in its unknowns: capstan, knuckle, centre, bushing; two other inputs.
FitProblem straight_problem(const MatrixXd& slope, double reading_error) {
  FitProblem f;
  f.parameters = {{"capstan", 0.25, 0.06, 0, 2},
                  {"knuckle", 0.2, 0.05, 0, 2},
                  {"centre", 4, 1.5, 0, 40},
                  {"bushing", 2, 0.6, 0, 40}};
  f.s = VectorXd::Constant(slope.rows(), reading_error);
  f.nuisance = MatrixXd(slope.rows(), 2);
  for (Eigen::Index j = 0; j < slope.rows(); ++j) f.nuisance.row(j) << 1, (j % 2 == 0 ? 0.6 : -0.5);
  f.predict = [slope](const VectorXd& p) { return VectorXd(slope * p); };
  f.differentiate = [slope](const VectorXd&) { return slope; };
  return f;
}

MatrixXd some_slope() {
  MatrixXd out(24, 4);
  for (int j = 0; j < 24; ++j) {
    const double way = j % 2 == 0 ? 1 : -0.8;
    out.row(j) << way * (20 - 0.3 * j + 8 * (j % 4 > 1)), way * (24 - 0.4 * j), way * (1 + 0.01 * j), way;
  }
  return out;
}

// One unknown after another to its own minimum, within its bounds, until 60 000 rounds have gone by: slow,
// and it cannot go wrong, as the whole is convex and the bounds are its axes.
VectorXd descend_by_coordinates(const FitProblem& f, const MatrixXd& slope) {
  const Eigen::Index n = slope.cols(), k = f.nuisance.cols();
  VectorXd mean(n), width(n), low = VectorXd::Constant(n + k, -1e9), high = -low;
  for (Eigen::Index i = 0; i < n; ++i) {
    const Parameter& q = f.parameters[static_cast<std::size_t>(i)];
    mean[i] = q.mean, width[i] = q.sigma;
    low[i] = (q.low - q.mean) / q.sigma, high[i] = (q.high - q.mean) / q.sigma;
  }
  MatrixXd a(slope.rows(), n + k);
  a << slope * width.asDiagonal(), f.nuisance;
  a = f.s.cwiseInverse().asDiagonal() * a;
  VectorXd r = (f.y - slope * mean).cwiseQuotient(f.s), x = VectorXd::Zero(n + k);
  for (int round = 0; round < 60000; ++round)
    for (Eigen::Index i = 0; i < n + k; ++i) {
      const double downhill = a.col(i).dot(r.cwiseMax(-kHuber).cwiseMin(kHuber)) - x[i];
      const double at = std::min(high[i], std::max(low[i], x[i] + downhill / (1 + a.col(i).squaredNorm())));
      r -= a.col(i) * (at - x[i]);
      x[i] = at;
    }
  return mean + width.cwiseProduct(x.head(n));
}

TEST(LeastSquares, IsTheMinimumWithBoundsAndOutliers) {
  const MatrixXd slope = some_slope();
  int at_bounds = 0, outliers = 0;
  for (int which = 0; which < 6; ++which) {
    FitProblem f = straight_problem(slope, which < 4 ? 1.5 : 0.05);
    if (which % 2 == 1) f.parameters[1].low = 0.15, f.parameters[3].low = 1.8;
    f.y = slope * (VectorXd(4) << 0.1 + 0.05 * which, 0.05, 3, 1.2).finished();
    for (int j = 0; j < 24; ++j) f.y[j] += f.s[j] * counter_normal(3, j, which);
    if (which >= 2) f.y[3] += 20 * f.s[3], f.y[8] -= 9 * f.s[8];
    const Fit found = fit(f);
    ASSERT_TRUE(found.settled) << which;
    const VectorXd other = descend_by_coordinates(f, slope);
    for (int i = 0; i < 4; ++i) {
      const Parameter& q = f.parameters[static_cast<std::size_t>(i)];
      EXPECT_NEAR(found.p[i], other[i], 1e-4 * std::sqrt(found.covariance(i, i))) << which << ": " << q.name;
      EXPECT_GE(found.p[i], q.low) << which;
      EXPECT_LE(found.p[i], q.high) << which;
      at_bounds += found.p[i] - q.low < 1e-9;
    }
    for (const double w : found.weight) outliers += w < 1;
  }
  EXPECT_GE(at_bounds, 5) << "bounds were met";
  EXPECT_GE(outliers, 8) << "and outliers were among the readings";
}

TEST(LeastSquares, WithoutOutliersAndBoundsIsTheClosedForm) {
  const MatrixXd slope = some_slope();
  FitProblem f = straight_problem(slope, 1.5);
  f.y = slope * (VectorXd(4) << 0.26, 0.19, 4.4, 2.1).finished();
  for (int j = 0; j < 24; ++j) f.y[j] += 0.5 * counter_normal(8, j, 0);
  const Fit found = fit(f);
  MatrixXd noise = f.s.cwiseAbs2().asDiagonal(), prior = MatrixXd::Zero(4, 4);
  noise += f.nuisance * f.nuisance.transpose();
  VectorXd mean(4);
  for (int i = 0; i < 4; ++i) {
    mean[i] = f.parameters[static_cast<std::size_t>(i)].mean;
    prior(i, i) = std::pow(f.parameters[static_cast<std::size_t>(i)].sigma, 2);
  }
  // The posterior of a normal prior and normal readings, written with the readings' covariance.
  const MatrixXd gain = prior * slope.transpose() * (slope * prior * slope.transpose() + noise).inverse();
  const VectorXd p = mean + gain * (f.y - slope * mean);
  const MatrixXd covariance = prior - gain * slope * prior;
  for (int i = 0; i < 4; ++i) {
    EXPECT_NEAR(found.p[i], p[i], 1e-6 * std::sqrt(covariance(i, i))) << i;
    for (int k = 0; k < 4; ++k)
      EXPECT_NEAR(found.covariance(i, k), covariance(i, k),
                  1e-9 * std::sqrt(covariance(i, i) * covariance(k, k)));
  }
}

// A small model with products in it, as in fit_test.cpp; p and standard deviations as the former library gave
// them.
TEST(LeastSquares, AgreesWithTheFormerLibraryWhereNoBoundIsMet) {
  const auto predict = [](const VectorXd& p) {
    VectorXd out(24);
    for (int k = 0; k < 6; ++k)
      for (int after = 0; after < 2; ++after) {
        const double load = 20 - k + 8 * after, knuckle = 24 - 1.5 * k;
        const double f = load * p[0] * (1 + 0.3 * p[0]) + knuckle * p[1] + p[2] * (1 + 0.1 * p[1]) + p[3];
        const double balance = 36 - 0.4 * k + 4 * after;
        out[4 * k + 2 * after] = balance + f;
        out[4 * k + 2 * after + 1] = balance - 0.8 * f;
      }
    return out;
  };
  FitProblem f = straight_problem(some_slope(), 1.5);
  f.predict = predict;
  f.differentiate = [&](const VectorXd& p) {
    MatrixXd out(24, 4);
    for (int i = 0; i < 4; ++i)
      out.col(i) =
          (predict(p + 1e-4 * VectorXd::Unit(4, i)) - predict(p - 1e-4 * VectorXd::Unit(4, i))) / 2e-4;
    return out;
  };
  const double former[2][8] = {{0.2594372232, 0.2202806713, 3.93471739, 1.989779799, 0.04013239315,
                                0.0434323074, 1.109271794, 0.5788033946},
                               {0.223685005, 0.1979953936, 4.781111953, 2.122551077, 0.04116061476,
                                0.04338820766, 1.116971202, 0.579073471}};
  for (int which = 0; which < 2; ++which) {
    f.y = predict((VectorXd(4) << 0.31, 0.14, 5.2, 1.6).finished());
    for (int j = 0; j < 24; ++j) f.y[j] += 1.5 * counter_normal(17, 300 + j, which);
    if (which == 1) f.y[7] += 30, f.y[12] -= 9;  // outliers
    const Fit found = fit(f);
    for (int i = 0; i < 4; ++i) {
      EXPECT_NEAR(found.p[i], former[which][i], 1e-4 * former[which][4 + i]) << which << ", " << i;
      EXPECT_NEAR(std::sqrt(found.covariance(i, i)), former[which][4 + i], 1e-5 * former[which][4 + i]);
    }
  }
}

}  // namespace
}  // namespace leverwright::calibrate
