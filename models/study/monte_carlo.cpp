#include "models/study/monte_carlo.h"

#include <tbb/blocked_range.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <exception>
#include <limits>
#include <mutex>
#include <numeric>
#include <optional>

#include "models/study/counter_random.h"

namespace leverwright::study {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

// FNV-1a, 64 bits: the stream of an input follows from what it is, not from where it stands in a list.
std::uint64_t stream_of(const std::string& text) {
  std::uint64_t h = 0xcbf29ce484222325;
  for (const char c : text) {
    h ^= static_cast<unsigned char>(c);
    h *= 0x100000001b3;
  }
  return h;
}

double percentile(const std::vector<double>& sorted, double share) {
  const double at = share * static_cast<double>(sorted.size() - 1);
  const auto k = static_cast<std::size_t>(at);
  if (k + 1 >= sorted.size()) return sorted.back();
  return sorted[k] + (at - static_cast<double>(k)) * (sorted[k + 1] - sorted[k]);
}

}  // namespace

double counter_normal(std::uint64_t seed, std::uint64_t stream, std::uint64_t index) {
  return -std::sqrt(2.0) * boost::math::erfc_inv(2.0 * counter_uniform(seed, stream, index));
}

double draw(const Input& in, const std::string& set_up_name, std::uint64_t seed, std::uint64_t sample) {
  const std::uint64_t stream =
      stream_of(std::to_string(static_cast<int>(in.kind)) + "|" + in.key + "|" + std::to_string(in.lead) +
                "|" + set_up_name + "|" + std::to_string(in.change));
  return in.uniform ? in.from + (in.to - in.from) * counter_uniform(seed, stream, sample)
                    : counter_normal(seed, stream, sample);
}

std::vector<SampleOutput> run_samples(int n, const std::function<SampleOutput(int)>& f,
                                      const std::function<bool(double)>& progress) {
  std::vector<std::optional<SampleOutput>> out(static_cast<std::size_t>(std::max(n, 0)));
  std::atomic<int> next{0};
  std::atomic<bool> stop{false};
  std::exception_ptr problem;
  std::mutex talk;
  int done = 0;
  tbb::parallel_for(
      tbb::blocked_range<int>(0, n, 1),
      [&](const tbb::blocked_range<int>& some) {
        for (int k = some.begin(); k != some.end(); ++k) {
          if (stop) return;
          const int sample = next++;  // in order, so that a stop keeps the first ones
          try {
            out[sample] = f(sample);
            const std::lock_guard<std::mutex> lock(talk);
            ++done;
            if (progress && !progress(static_cast<double>(done) / n)) stop = true;
          } catch (...) {
            const std::lock_guard<std::mutex> lock(talk);
            if (!problem) problem = std::current_exception();
            stop = true;
          }
        }
      },
      tbb::simple_partitioner());
  if (problem) std::rethrow_exception(problem);
  std::vector<SampleOutput> kept;
  for (auto& o : out) {
    if (!o) break;
    kept.push_back(std::move(*o));
  }
  return kept;
}

double first_order_share(const std::vector<double>& x, const std::vector<double>& y) {
  const std::size_t n = y.size();
  const std::size_t bins = std::clamp<std::size_t>(n / 12, 4, 64);
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return x[a] < x[b]; });
  const double mean = std::accumulate(y.begin(), y.end(), 0.0) / static_cast<double>(n);
  double total = 0, between = 0;
  for (const double v : y) total += (v - mean) * (v - mean);
  for (std::size_t b = 0; b < bins; ++b) {
    const std::size_t from = b * n / bins, to = (b + 1) * n / bins;
    double sum = 0;
    for (std::size_t k = from; k < to; ++k) sum += y[order[k]] - mean;
    between += sum * sum / static_cast<double>(to - from);
  }
  if (!(total > 0)) return 0;
  const double chance = static_cast<double>(bins - 1) * (total - between) / static_cast<double>(n - bins);
  return std::max(0.0, (between - chance) / total);
}

Spread describe_spread(const std::vector<double>& y_all, const std::vector<std::vector<double>>& x_all,
                       const std::vector<std::string>& names) {
  std::vector<double> y;
  std::vector<std::size_t> which;
  for (std::size_t k = 0; k < y_all.size(); ++k)
    if (std::isfinite(y_all[k])) {
      y.push_back(y_all[k]);
      which.push_back(k);
    }
  Spread s;
  s.count = static_cast<int>(y.size());
  s.mean = s.sd = s.low = s.high = s.sd_error = s.dominant_share = kNone;
  if (y.size() < 2) return s;
  const double n = static_cast<double>(y.size());
  s.mean = std::accumulate(y.begin(), y.end(), 0.0) / n;
  double m2 = 0, m4 = 0;
  for (const double v : y) {
    const double d2 = (v - s.mean) * (v - s.mean);
    m2 += d2;
    m4 += d2 * d2;
  }
  s.sd = std::sqrt(m2 / (n - 1));
  const double kurtosis = m2 > 0 ? n * m4 / (m2 * m2) : 1;
  s.sd_error = 0.5 * s.sd * std::sqrt(std::max(0.0, kurtosis - 1) / n);
  std::vector<double> sorted = y;
  std::sort(sorted.begin(), sorted.end());
  s.low = percentile(sorted, 0.025);
  s.high = percentile(sorted, 0.975);
  if (s.count < kLeastForShares || !(s.sd > 1e-12 * (1 + std::abs(s.mean)))) return s;
  s.dominant_share = 0;
  std::vector<double> x(y.size());
  for (std::size_t i = 0; i < x_all.size(); ++i) {
    for (std::size_t k = 0; k < y.size(); ++k) x[k] = x_all[i][which[k]];
    const double share = first_order_share(x, y);
    if (share > s.dominant_share) {
      s.dominant_share = share;
      s.dominant = names[i];
    }
  }
  return s;
}

bool agrees_with_linear(const Spread& s, double value, double sigma) {
  if (s.count < 2 || !std::isfinite(value)) return true;  // nothing to compare
  const double n = s.count;
  // What is kept by regulation shows nothing but its solver's last digits.
  const double floor = 1e-9 + 1e-7 * std::abs(value);
  return std::abs(s.sd - sigma) <= 2.58 * s.sd_error + 0.1 * sigma + floor &&
         std::abs(s.mean - value) <= 2.58 * s.sd / std::sqrt(n) + 0.2 * s.sd + floor;
}

}  // namespace leverwright::study
