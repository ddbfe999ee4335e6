#include "sim/run/history.h"

#include <algorithm>
#include <boost/math/interpolators/cardinal_cubic_b_spline.hpp>
#include <cassert>
#include <cmath>

#include "sim/base/units.h"

namespace leverwright::run {

namespace {

[[maybe_unused]] bool rises(const std::vector<double>& t) {
  return std::adjacent_find(t.begin(), t.end(), [](double a, double b) { return !(a < b); }) == t.end();
}

// Index of the interval that holds t; the first or last one when t lies outside.
std::size_t interval(const std::vector<double>& t, double at) {
  const auto it = std::upper_bound(t.begin(), t.end(), at);
  const auto k = static_cast<std::size_t>(it - t.begin());
  return std::clamp<std::size_t>(k, 1, t.size() - 1) - 1;
}

}  // namespace

LinearHistory::LinearHistory(std::vector<double> times, std::vector<double> values)
    : t_(std::move(times)), y_(std::move(values)) {
  assert(!t_.empty() && t_.size() == y_.size() && rises(t_));
}

Instant LinearHistory::at(double t) const {
  if (t < t_.front() || t_.size() == 1) return {y_.front(), 0, 0};
  if (t >= t_.back()) return {y_.back(), 0, 0};
  const std::size_t k = interval(t_, t);
  const double slope = (y_[k + 1] - y_[k]) / (t_[k + 1] - t_[k]);
  return {y_[k] + slope * (t - t_[k]), slope, 0};
}

void LinearHistory::add_breakpoints(std::vector<double>& times) const {
  times.insert(times.end(), t_.begin(), t_.end());
}

RampHistory::RampHistory(RampShape shape, std::vector<double> times, std::vector<double> values)
    : shape_(shape), t_(std::move(times)), y_(std::move(values)) {
  assert(!t_.empty() && t_.size() == y_.size() && rises(t_));
}

Instant RampHistory::at(double t) const {
  if (t < t_.front() || t_.size() == 1) return {y_.front(), 0, 0};
  if (t >= t_.back()) return {y_.back(), 0, 0};
  const std::size_t k = interval(t_, t);
  const double width = t_[k + 1] - t_[k], height = y_[k + 1] - y_[k], x = (t - t_[k]) / width;
  double s, ds, dds;
  if (shape_ == RampShape::kHalfCosine) {
    s = 0.5 * (1 - std::cos(base::kPi * x));
    ds = 0.5 * base::kPi * std::sin(base::kPi * x);
    dds = 0.5 * base::kPi * base::kPi * std::cos(base::kPi * x);
  } else {
    s = x * x * x * (10 + x * (-15 + 6 * x));
    ds = 30 * x * x * (1 - x) * (1 - x);
    dds = 60 * x * (1 - x) * (1 - 2 * x);
  }
  return {y_[k] + height * s, height * ds / width, height * dds / (width * width)};
}

void RampHistory::add_breakpoints(std::vector<double>& times) const {
  times.insert(times.end(), t_.begin(), t_.end());
}

struct SplineHistory::Curve {
  boost::math::interpolators::cardinal_cubic_b_spline<double> spline;
};

SplineHistory::SplineHistory(double start, double spacing, const std::vector<double>& samples)
    : curve_(std::make_unique<Curve>(Curve{boost::math::interpolators::cardinal_cubic_b_spline<double>(
          samples.data(), samples.size(), start, spacing, 0.0, 0.0)})),
      start_(start),
      end_(start + spacing * static_cast<double>(samples.size() - 1)),
      first_(samples.front()),
      last_(samples.back()) {}

SplineHistory::~SplineHistory() = default;

Instant SplineHistory::at(double t) const {
  if (t < start_) return {first_, 0, 0};
  if (t >= end_) return {last_, 0, 0};
  return {curve_->spline(t), curve_->spline.prime(t), curve_->spline.double_prime(t)};
}

void SplineHistory::add_breakpoints(std::vector<double>& times) const {
  times.push_back(start_);
  times.push_back(end_);
}

}  // namespace leverwright::run
