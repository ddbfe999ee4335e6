#include "models/calibrate/least_squares.h"

#include <ceres/ceres.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace leverwright::calibrate {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// constant - sum rows times unknowns; unknowns are one block.
class Straight : public ceres::CostFunction {
 public:
  Straight(MatrixXd rows, VectorXd constant) : rows_(std::move(rows)), constant_(std::move(constant)) {
    set_num_residuals(static_cast<int>(rows_.rows()));
    mutable_parameter_block_sizes()->push_back(static_cast<int>(rows_.cols()));
  }
  bool Evaluate(const double* const* x, double* r, double** jacobians) const override {
    const Eigen::Map<const VectorXd> at(x[0], rows_.cols());
    Eigen::Map<VectorXd>(r, rows_.rows()) = constant_ - rows_ * at;
    if (jacobians && jacobians[0])
      Eigen::Map<Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>>(
          jacobians[0], rows_.rows(), rows_.cols()) = -rows_;
    return true;
  }

 private:
  MatrixXd rows_;
  VectorXd constant_;
};

struct Tangent {
  VectorXd x;  // p in prior standard deviations from the mean, then nu
  MatrixXd covariance;
};

// One tangent problem: readings r0 - A x in standard deviations, x ~ N(0, 1).
Tangent solve(const MatrixXd& a, const VectorXd& r0, const VectorXd& start, const VectorXd& low,
              const VectorXd& high) {
  const int n = static_cast<int>(a.cols());
  VectorXd x = start;
  ceres::HuberLoss loss(kHuber);
  ceres::Problem::Options keep;
  keep.loss_function_ownership = ceres::DO_NOT_TAKE_OWNERSHIP;
  ceres::Problem problem(keep);
  for (int j = 0; j < a.rows(); ++j)
    problem.AddResidualBlock(new Straight(a.row(j), r0.segment(j, 1)), &loss, x.data());
  problem.AddResidualBlock(new Straight(MatrixXd::Identity(n, n), VectorXd::Zero(n)), nullptr, x.data());
  for (int i = 0; i < low.size(); ++i) {
    problem.SetParameterLowerBound(x.data(), i, low[i]);
    problem.SetParameterUpperBound(x.data(), i, high[i]);
  }
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.max_num_iterations = 200;
  options.function_tolerance = 1e-12;
  options.parameter_tolerance = 1e-10;
  options.num_threads = 1;  // the same bits everywhere
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  if (!summary.IsSolutionUsable()) throw std::runtime_error("least squares: " + summary.message);
  ceres::Covariance::Options how;
  how.algorithm_type = ceres::DENSE_SVD;
  ceres::Covariance covariance(how);
  if (!covariance.Compute({std::make_pair<const double*, const double*>(x.data(), x.data())}, &problem))
    throw std::runtime_error("least squares: no covariance");
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor> c(n, n);
  covariance.GetCovarianceBlock(x.data(), x.data(), c.data());
  return {x, c};
}

}  // namespace

Fit fit(const FitProblem& f) {
  const int n = static_cast<int>(f.parameters.size()), m = static_cast<int>(f.y.size());
  const int k = static_cast<int>(f.nuisance.cols());
  VectorXd mean(n), sigma(n), low(n), high(n);
  for (int i = 0; i < n; ++i) {
    const Parameter& q = f.parameters[static_cast<std::size_t>(i)];
    mean[i] = q.mean;
    sigma[i] = q.sigma;
    low[i] = (q.low - q.mean) / q.sigma;
    high[i] = (q.high - q.mean) / q.sigma;
  }
  Fit out;
  VectorXd x = VectorXd::Zero(n + k);
  constexpr int kRounds = 8;
  for (out.rounds = 1; out.rounds <= kRounds; ++out.rounds) {
    out.p = mean + sigma.cwiseProduct(x.head(n));
    const VectorXd here = f.predict(out.p);
    out.jacobian = f.differentiate(out.p);
    MatrixXd a(m, n + k);
    a.leftCols(n) = f.s.cwiseInverse().asDiagonal() * out.jacobian * sigma.asDiagonal();
    if (k > 0) a.rightCols(k) = f.s.cwiseInverse().asDiagonal() * f.nuisance;
    const VectorXd r0 = (f.y - here).cwiseQuotient(f.s) + a.leftCols(n) * x.head(n);
    const Tangent t = solve(a, r0, x, low, high);
    const double moved = n > 0 ? (t.x - x).head(n).cwiseAbs().maxCoeff() : 0;
    x = t.x;
    out.p = mean + sigma.cwiseProduct(x.head(n));
    out.covariance = sigma.asDiagonal() * t.covariance.topLeftCorner(n, n) * sigma.asDiagonal();
    out.residual = r0 - a * x;
    out.fitted = f.y - f.s.cwiseProduct(out.residual);
    out.weight =
        out.residual.unaryExpr([](double r) { return std::abs(r) <= kHuber ? 1.0 : kHuber / std::abs(r); });
    out.settled = moved < kSettled;
    if (out.settled) break;
    if (f.progress && !f.progress(static_cast<double>(out.rounds) / kRounds)) break;
  }
  return out;
}

}  // namespace leverwright::calibrate
