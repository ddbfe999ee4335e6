// Unknowns with priors found from readings, by robust least squares.
//
//   minimise  sum_j rho(((y_j - f_j(p) - sum_k G_jk nu_k) / s_j)^2) + sum_i ((p_i - m_i) / w_i)^2 + sum_k
//   nu_k^2
//
// y_j reading with standard deviation s_j; p unknowns with prior mean m, standard deviation w and bounds;
// nu_k the other uncertain inputs of the case, each in its own standard deviations, acting in proportion by
// G. rho: Huber's loss, linear beyond kHuber standard deviations, so that one wrong reading does not pull
// everything with it [@huber1964].
//
// f is replaced by its tangent at the last p, the whole solved with bounds (NLopt's sequential quadratic
// programme), and the tangent laid again at the result until p moves less than kSettled prior standard
// deviations; where it turns back without getting much shorter, or again and again, half the way is gone. The
// covariance is that of the last tangent problem, (sum_j w_j a_j a_j^T + priors)^-1 with the
// loss's weights w_j; its block of p has the nu taken into account. What a prior range gives is a normal of
// the same standard deviation: weak, and stated as such.
#pragma once
#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>

namespace leverwright::calibrate {

inline constexpr double kHuber = 2.5, kSettled = 0.02;

struct Parameter {
  std::string name;
  double mean = 0, sigma = 1;  // prior
  double low = -1e300, high = 1e300;
};

struct FitProblem {
  std::vector<Parameter> parameters;
  Eigen::VectorXd y, s;
  Eigen::MatrixXd nuisance;  // readings x nuisance inputs; may have no column
  std::function<Eigen::VectorXd(const Eigen::VectorXd& p)> predict;
  std::function<Eigen::MatrixXd(const Eigen::VectorXd& p)> differentiate;  // readings x parameters
  // Return false to stop; the last result is kept.
  std::function<bool(double share)> progress;
};

struct Fit {
  bool settled = false;
  int rounds = 0;
  Eigen::VectorXd p;           // found
  Eigen::MatrixXd covariance;  // of p
  Eigen::MatrixXd jacobian;    // of the last tangent
  Eigen::VectorXd fitted;      // f(p) + G nu
  Eigen::VectorXd weight;      // of each reading in the loss, 1 when it is inside kHuber
  Eigen::VectorXd residual;    // (y - fitted) / s
};

Fit fit(const FitProblem& problem);

}  // namespace leverwright::calibrate
