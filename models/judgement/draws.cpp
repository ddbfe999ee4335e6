#include "models/judgement/draws.h"

#include <cmath>
#include <cstdint>

namespace leverwright::judgement {

namespace {

constexpr double kTwoPi = 6.283185307179586;

// The finalizer of [@steele2014]
// on a counter. Strictly between 0 and 1.
double uniform(std::uint64_t counter) {
  std::uint64_t x = (counter + 1) * 0x9E3779B97F4A7C15u;
  x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
  x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
  x ^= x >> 31;
  return (static_cast<double>(x >> 11) + 0.5) * 0x1p-53;
}

}  // namespace

Draws::Draws(std::size_t doubts) : z_(doubts, std::vector<double>(kCount)) {
  for (std::size_t i = 0; i < doubts; ++i)
    for (std::size_t n = 0; n < kCount / 2; ++n) {
      const std::uint64_t at = 2 * (i * kCount + n);
      z_[i][2 * n] = std::sqrt(-2 * std::log(uniform(at))) * std::cos(kTwoPi * uniform(at + 1));
      z_[i][2 * n + 1] = -z_[i][2 * n];
    }
}

void Draws::add(const Doubtful& x, std::vector<double>& out) const {
  if (!std::isfinite(x.value)) return;
  for (double& v : out) v += x.value;
  for (std::size_t i = 0; i < x.per_doubt.size() && i < z_.size(); ++i) {
    const double c = x.per_doubt[i];
    if (c == 0 || !std::isfinite(c)) continue;
    for (std::size_t n = 0; n < kCount; ++n) out[n] += c * z_[i][n];
  }
}

std::vector<double> Draws::of(const Doubtful& x) const {
  std::vector<double> out(kCount, 0.0);
  if (!std::isfinite(x.value)) out.assign(kCount, kUnknown);
  add(x, out);
  return out;
}

std::vector<double> Draws::shares(const std::vector<double>& y) const {
  double mean = 0, variance = 0;
  for (const double v : y) mean += v / kCount;
  for (const double v : y) variance += (v - mean) * (v - mean) / kCount;
  std::vector<double> out(z_.size(), 0.0);
  if (!(variance > 0)) return out;
  for (std::size_t i = 0; i < z_.size(); ++i) {
    double covariance = 0, own = 0;
    for (std::size_t n = 0; n < kCount; ++n) {
      covariance += (y[n] - mean) * z_[i][n] / kCount;
      own += z_[i][n] * z_[i][n] / kCount;
    }
    out[i] = covariance * covariance / (variance * own);
  }
  return out;
}

double sigma_of(const Doubtful& x) {
  double sum = 0;
  for (const double c : x.per_doubt)
    if (std::isfinite(c)) sum += c * c;
  return std::sqrt(sum);
}

}  // namespace leverwright::judgement
