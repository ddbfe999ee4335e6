#include "models/keyboard/carry.h"

#include <Eigen/Cholesky>
#include <Eigen/QR>
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "sim/base/statistics.h"

namespace leverwright::keyboard {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int kKnownScatter = 1 << 20;  // degrees of freedom that stand for a known scatter: a normal
constexpr double kOneSigma = 0.682689492137086, kBand = 0.95, kOutlierLevel = 0.02;

double two_sided(double confidence, int freedom) {
  const double upper = 0.5 + 0.5 * confidence;
  if (freedom <= 0 || freedom >= kKnownScatter) return base::find_normal_quantile(upper);
  return base::find_student_quantile(freedom, upper);
}

VectorXd row_of(int note, int degree, bool apart) {
  const double t = (note - 44.5) / 43.5;
  VectorXd x(degree + 1 + (apart ? 1 : 0));
  for (int k = 0; k <= degree; ++k) x[k] = base::find_legendre(k, t);
  if (apart) x[degree + 1] = is_sharp(note) ? 1 : 0;
  return x;
}

MatrixXd rows_of(const std::vector<Sample>& samples, int degree, bool apart) {
  MatrixXd X(static_cast<Index>(samples.size()), degree + 1 + (apart ? 1 : 0));
  for (std::size_t j = 0; j < samples.size(); ++j)
    X.row(static_cast<Index>(j)) = row_of(samples[j].note, degree, apart).transpose();
  return X;
}

bool is_determined(const MatrixXd& X) {
  return X.rows() >= X.cols() && Eigen::ColPivHouseholderQR<MatrixXd>(X).rank() == X.cols();
}

struct LineFit {
  MatrixXd X, C;
  VectorXd y, V, beta, residual;
  double tau2 = 0;
  int freedom = 0;
};

void solve(LineFit& f, const VectorXd& s2, double tau2, double floor) {
  f.tau2 = tau2;
  f.V = (s2.array() + tau2).max(floor);
  const VectorXd w = f.V.array().rsqrt();
  const MatrixXd A = w.asDiagonal() * f.X;
  const Eigen::ColPivHouseholderQR<MatrixXd> qr(A);
  f.beta = qr.solve(w.asDiagonal() * f.y);
  f.residual = f.y - f.X * f.beta;
  f.C = (A.transpose() * A).ldlt().solve(MatrixXd::Identity(f.X.cols(), f.X.cols()));
}

LineFit fit_line(const std::vector<Sample>& samples, int degree, const Law& law) {
  const bool apart = law.apart;
  LineFit f;
  f.X = rows_of(samples, degree, apart);
  const auto n = static_cast<Index>(samples.size());
  f.y.resize(n);
  VectorXd s2(n);
  for (Index j = 0; j < n; ++j) {
    f.y[j] = samples[static_cast<std::size_t>(j)].value;
    s2[j] = std::pow(samples[static_cast<std::size_t>(j)].sigma, 2);
  }
  f.freedom = static_cast<int>(n - f.X.cols());
  if (law.scatter >= 0) f.freedom = kKnownScatter;
  // Readings without error and without scatter: all weigh alike. The floor is far below any reading's step.
  const double scale = std::max(f.y.cwiseAbs().maxCoeff(), std::numeric_limits<double>::min());
  const double floor = 1e-24 * scale * scale;
  const auto excess = [&](double tau2) {
    solve(f, s2, tau2, floor);
    return (f.residual.array().square() / f.V.array()).sum() - f.freedom;
  };
  if (law.scatter >= 0 || f.freedom <= 0 || excess(0) <= 0) {
    solve(f, s2, std::pow(std::max(0.0, law.scatter), 2), floor);
    return f;
  }
  double high = std::max(f.residual.squaredNorm() / f.freedom, floor);
  while (excess(high) > 0) high *= 4;
  std::uintmax_t tries = 200;
  const auto root = boost::math::tools::toms748_solve(excess, 0.0, high,
                                                      boost::math::tools::eps_tolerance<double>(45), tries);
  solve(f, s2, 0.5 * (root.first + root.second), floor);
  return f;
}

CarriedNote predict(const LineFit& f, const std::vector<Sample>& samples, int note, int degree, bool apart) {
  const VectorXd x = row_of(note, degree, apart);
  VectorXd c = VectorXd::Zero(f.y.size());
  CarriedNote out;
  for (Index j = 0; j < f.y.size(); ++j)
    if (samples[static_cast<std::size_t>(j)].note == note) {
      c[j] = f.tau2;
      out.measured = true;
    }
  // Two readings of one note share its u: their covariance is not diagonal. The mean of them stands for both
  // (merge_repeats), so that c has one entry at most.
  const VectorXd g = c.array() / f.V.array();
  const VectorXd d = x - f.X.transpose() * g;
  out.line = x.dot(f.beta);
  out.value = out.line + g.dot(f.residual);
  const double var = std::max(0.0, f.tau2 - c.dot(g) + d.dot(f.C * d));
  const double factor = two_sided(kOneSigma, f.freedom);
  out.sigma = factor * std::sqrt(var);
  out.band = two_sided(kBand, f.freedom) * std::sqrt(var);
  out.line_sigma = factor * std::sqrt(std::max(0.0, x.dot(f.C * x)));
  return out;
}

// Readings of one note become their weighted mean.
std::vector<Sample> merge_repeats(const std::vector<Sample>& samples) {
  std::vector<Sample> out;
  for (const Sample& s : samples) {
    const auto same =
        std::find_if(out.begin(), out.end(), [&](const Sample& one) { return one.note == s.note; });
    if (same == out.end()) {
      out.push_back(s);
      continue;
    }
    const double a = same->sigma > 0 ? 1 / (same->sigma * same->sigma) : 1,
                 b = s.sigma > 0 ? 1 / (s.sigma * s.sigma) : 1;
    same->value = (a * same->value + b * s.value) / (a + b);
    same->sigma = same->sigma > 0 && s.sigma > 0 ? 1 / std::sqrt(a + b) : 0;
  }
  return out;
}

bool is_beyond(const std::vector<Sample>& samples, int note, bool apart) {
  int low = kLastNote, high = kFirstNote;
  for (const Sample& s : samples)
    if (!apart || is_sharp(s.note) == is_sharp(note)) {
      low = std::min(low, s.note);
      high = std::max(high, s.note);
    }
  return note < low || note > high;
}

JudgedSample judge(const std::vector<Sample>& samples, std::size_t j, int degree, const Law& law) {
  const bool apart = law.apart;
  JudgedSample out{samples[j].note, samples[j].value, samples[j].sigma, NAN, NAN, false};
  std::vector<Sample> others = samples;
  others.erase(others.begin() + static_cast<std::ptrdiff_t>(j));
  const MatrixXd X = rows_of(others, degree, apart);
  if ((law.scatter < 0 && X.rows() <= X.cols()) || !is_determined(X)) return out;
  const LineFit f = fit_line(others, degree, law);
  const VectorXd x = row_of(samples[j].note, degree, apart);
  const double s = std::sqrt(std::max(0.0, x.dot(f.C * x)) + f.tau2 + std::pow(samples[j].sigma, 2));
  out.expected = x.dot(f.beta);
  out.expected_sigma = two_sided(kOneSigma, f.freedom) * s;
  const double limit = two_sided(1 - kOutlierLevel / static_cast<double>(samples.size()), f.freedom) * s;
  // What rounding alone can make is none.
  out.outlier = std::abs(out.value - out.expected) > limit + 1e-9 * std::abs(out.expected);
  return out;
}

int find_samples_to_halve(const LineFit& f, const std::vector<Sample>& samples, int degree, bool apart) {
  double line = 0;
  int count = 0;
  for (int note = kFirstNote; note <= kLastNote; ++note) {
    if (std::any_of(samples.begin(), samples.end(), [&](const Sample& s) { return s.note == note; }))
      continue;
    const VectorXd x = row_of(note, degree, apart);
    line += std::max(0.0, x.dot(f.C * x));
    ++count;
  }
  if (count == 0 || f.freedom <= 0) return 0;
  line /= count;
  const double now = std::pow(two_sided(kBand, f.freedom), 2) * (line + f.tau2);
  const auto n = static_cast<double>(samples.size());
  const auto is_half = [&](int more) {
    const double line_then = line * n / (n + more);
    return std::pow(two_sided(kBand, f.freedom + more), 2) * (line_then + f.tau2) <= 0.25 * now;
  };
  if (!is_half(kMostSamplesAsked)) return 0;
  int low = 0, high = kMostSamplesAsked;  // the band falls with every sample
  while (high - low > 1) {
    const int middle = (low + high) / 2;
    (is_half(middle) ? high : low) = middle;
  }
  return high;
}

}  // namespace

Carried carry(const std::vector<Sample>& given, const Law& law) {
  const std::vector<Sample> samples = merge_repeats(given);
  const auto sharps =
      std::count_if(samples.begin(), samples.end(), [](const Sample& s) { return is_sharp(s.note); });
  if (samples.empty() || (law.apart && (sharps == 0 || sharps == static_cast<long>(samples.size()))))
    throw std::logic_error("carry: nothing to carry from");
  Carried out;
  out.apart = law.apart;
  out.degree = law.degree;
  const auto freedom = [&](int degree) {
    return static_cast<int>(samples.size()) - degree - 1 - (law.apart ? 1 : 0);
  };
  while (out.degree > 0 && ((law.scatter < 0 && freedom(out.degree) < kLeastFreedom) ||
                            !is_determined(rows_of(samples, out.degree, law.apart))))
    --out.degree;
  const LineFit f = fit_line(samples, out.degree, law);
  out.freedom = std::max(0, freedom(out.degree));
  out.scatter_known = law.scatter >= 0 || out.freedom > 0;
  out.scatter = std::sqrt(f.tau2);
  if (law.apart) {
    const Index k = out.degree + 1;
    out.sharp_less_natural = f.beta[k];
    out.sharp_less_natural_sigma = two_sided(kOneSigma, f.freedom) * std::sqrt(f.C(k, k));
  }
  for (int note = kFirstNote; note <= kLastNote; ++note) {
    out.notes.push_back(predict(f, samples, note, out.degree, law.apart));
    out.notes.back().extrapolated = is_beyond(samples, note, law.apart || law.one_kind);
  }
  for (std::size_t j = 0; j < samples.size(); ++j) {
    out.samples.push_back(judge(samples, j, out.degree, law));
    if (law.lumpy) out.samples.back().outlier = false;
  }
  out.samples_to_halve = find_samples_to_halve(f, samples, out.degree, law.apart);
  return out;
}

}  // namespace leverwright::keyboard
