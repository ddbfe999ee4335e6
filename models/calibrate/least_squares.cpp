#include "models/calibrate/least_squares.h"

#include <nlopt.h>

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>

namespace leverwright::calibrate {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double kNoBound = 1e200;

double weight_of(double r) { return std::abs(r) <= kHuber ? 1.0 : kHuber / std::abs(r); }

// One tangent problem: readings r0 - A x in standard deviations, x ~ N(0, 1), bounds on the first of them.
//
//   minimise  g(x) = sum_j h(r_j) + x^T x / 2,   r = r0 - A x,   h(r) = r^2 / 2, or kHuber (|r| - kHuber / 2)
//
// It is convex, and z = L^T x with L L^T = I + A^T A makes it round: where no reading is beyond kHuber its
// second derivative in z is the identity, which is where the sequential quadratic programme begins. Without
// an outlier its first step is the answer, with bounds or without.
class TangentProblem {
 public:
  TangentProblem(const MatrixXd& a, const VectorXd& r0, const VectorXd& low, const VectorXd& high)
      : a_(a), r0_(r0), root_(normal_matrix(a, VectorXd::Ones(a.rows()))) {
    for (Index i = 0; i < low.size(); ++i) {
      if (low[i] > -kNoBound) bounds_.push_back({i, 1, low[i]});
      if (high[i] < kNoBound) bounds_.push_back({i, -1, -high[i]});
    }
    // Rows of x = L^-T z that stand in a bound.
    MatrixXd picked = MatrixXd::Zero(a.cols(), static_cast<Index>(bounds_.size()));
    for (std::size_t k = 0; k < bounds_.size(); ++k)
      picked(bounds_[k].at, static_cast<Index>(k)) = bounds_[k].sign;
    slope_ = root_.matrixL().solve(picked);
  }

  VectorXd solve(const VectorXd& start) {
    const Index n = start.size();
    VectorXd z = root_.matrixU() * start;
    const std::unique_ptr<nlopt_opt_s, void (*)(nlopt_opt)> opt(
        nlopt_create(NLOPT_LD_SLSQP, static_cast<unsigned>(n)), nlopt_destroy);
    nlopt_set_min_objective(opt.get(), cost, this);
    if (!bounds_.empty())
      nlopt_add_inequality_mconstraint(opt.get(), static_cast<unsigned>(bounds_.size()), beyond, this,
                                       nullptr);
    nlopt_set_xtol_abs1(opt.get(), kExact);
    nlopt_set_maxeval(opt.get(), kEvaluations);
    double least = 0;
    const nlopt_result how = nlopt_optimize(opt.get(), z.data(), &least);
    if (how < 0 && how != NLOPT_ROUNDOFF_LIMITED) throw std::runtime_error("least squares: no minimum found");
    VectorXd x = root_.matrixU().solve(z);
    for (const Bound& b : bounds_) x[b.at] = b.sign * std::max(b.sign * x[b.at], b.limit);
    return x;
  }

  // (sum_j w_j a_j a_j^T + I)^-1
  MatrixXd find_covariance(const VectorXd& x) const {
    const VectorXd w = (r0_ - a_ * x).unaryExpr(&weight_of);
    return normal_matrix(a_, w).llt().solve(MatrixXd::Identity(x.size(), x.size()));
  }

 private:
  static constexpr double kExact = 1e-9;  // in standard deviations of what the readings leave open
  static constexpr int kEvaluations = 2000;
  struct Bound {
    Index at;
    double sign, limit;  // sign * x[at] >= limit
  };

  static MatrixXd normal_matrix(const MatrixXd& a, const VectorXd& w) {
    return MatrixXd::Identity(a.cols(), a.cols()) + a.transpose() * w.asDiagonal() * a;
  }
  static double cost(unsigned n, const double* at, double* slope, void* self) {
    const auto& t = *static_cast<const TangentProblem*>(self);
    const VectorXd x = t.root_.matrixU().solve(Eigen::Map<const VectorXd>(at, n));
    const VectorXd r = t.r0_ - t.a_ * x;
    double sum = 0.5 * x.squaredNorm();
    for (const double one : r)
      sum += std::abs(one) <= kHuber ? 0.5 * one * one : kHuber * (std::abs(one) - 0.5 * kHuber);
    if (slope != nullptr)
      Eigen::Map<VectorXd>(slope, n) =
          t.root_.matrixL().solve(x - t.a_.transpose() * r.cwiseMax(-kHuber).cwiseMin(kHuber));
    return sum;
  }
  // limit - sign x, not above 0.
  static void beyond(unsigned m, double* out, unsigned n, const double* at, double* slope, void* self) {
    const auto& t = *static_cast<const TangentProblem*>(self);
    Eigen::Map<VectorXd> value(out, m);
    value = -t.slope_.transpose() * Eigen::Map<const VectorXd>(at, n);
    for (std::size_t k = 0; k < t.bounds_.size(); ++k) out[k] += t.bounds_[k].limit;
    if (slope != nullptr)  // row by row
      Eigen::Map<MatrixXd>(slope, n, m) = -t.slope_;
  }

  const MatrixXd& a_;
  const VectorXd& r0_;
  Eigen::LLT<MatrixXd> root_;  // L
  std::vector<Bound> bounds_;
  MatrixXd slope_;  // of sign x in z, a column for each bound
};

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
  constexpr int kRounds = 10;
  double share = 1;  // of the way to the tangent's answer
  int turns = 0;
  VectorXd last = VectorXd::Zero(n);
  for (out.rounds = 1; out.rounds <= kRounds; ++out.rounds) {
    out.p = mean + sigma.cwiseProduct(x.head(n));
    const VectorXd here = f.predict(out.p);
    out.jacobian = f.differentiate(out.p);
    MatrixXd a(m, n + k);
    a.leftCols(n) = f.s.cwiseInverse().asDiagonal() * out.jacobian * sigma.asDiagonal();
    if (k > 0) a.rightCols(k) = f.s.cwiseInverse().asDiagonal() * f.nuisance;
    const VectorXd r0 = (f.y - here).cwiseQuotient(f.s) + a.leftCols(n) * x.head(n);
    TangentProblem tangent(a, r0, low, high);
    const VectorXd found = tangent.solve(x);
    // Down and up weight are a greatest and a least value: where another place takes over, tangents from either side
    // point back at each other. Half the way ends between them; a turn that gets much shorter is the fit closing in.
    const VectorXd way = (found - x).head(n);
    const bool turns_back = way.dot(last) < 0;
    if (turns_back) ++turns;
    if (turns_back && (turns > 2 || way.norm() > 0.5 * last.norm())) share *= 0.5;
    last = way;
    const double moved = n > 0 ? share * way.cwiseAbs().maxCoeff() : 0;
    x += share * (found - x);
    out.p = mean + sigma.cwiseProduct(x.head(n));
    out.covariance = sigma.asDiagonal() * tangent.find_covariance(x).topLeftCorner(n, n) * sigma.asDiagonal();
    out.residual = r0 - a * x;
    out.fitted = f.y - f.s.cwiseProduct(out.residual);
    out.weight = out.residual.unaryExpr(&weight_of);
    out.settled = moved < kSettled;
    if (out.settled) break;
    if (f.progress && !f.progress(static_cast<double>(out.rounds) / kRounds)) break;
  }
  return out;
}

}  // namespace leverwright::calibrate
