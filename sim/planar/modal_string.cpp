#include "sim/planar/modal_string.h"

#include <cassert>
#include <cmath>

namespace leverwright::planar {

namespace {
constexpr double kPi = 3.14159265358979323846;
constexpr int kSummed = 4000;  // modes above N that the rest sums up; their shares fall as 1/n^2 and faster
}  // namespace

ModalString::ModalString(const StringData& d)
    : wave_resistance_(std::sqrt(d.tension * d.mass / d.length)),
      wave_speed_(std::sqrt(d.tension * d.length / d.mass)) {
  assert(d.length > 0 && d.mass > 0 && d.tension > 0 && d.stiffness >= 0 && d.modes > 0);
  assert(d.striking_share > 0 && d.striking_share < 1);
  const double m = 0.5 * d.mass;
  const auto frequency = [&](int n) {
    return n * kPi / d.length * wave_speed_ * std::sqrt(1 + d.stiffness * n * n * kPi * kPi);
  };
  const auto shape = [&](int n) { return std::sin(n * kPi * d.striking_share); };
  const auto add = [&](double w, double phi, double mass) {
    modes_.push_back({w, d.loss_constant + d.loss_rising * w * w, phi, mass});
  };
  for (int n = 1; n <= d.modes; ++n) add(frequency(n), shape(n), m);
  double compliance = 0;
  for (int n = d.modes + 1; n <= d.modes + kSummed; ++n)
    compliance += std::pow(shape(n) / frequency(n), 2) / m;
  const double w = kRest * frequency(d.modes + 1);
  add(w, 1.0, 1.0 / (compliance * w * w));
}

double ModalString::reach(const double* state) const {
  double most = 0;
  const double* x = state + 2;
  for (const Mode& mode : modes_) {
    most += std::abs(mode.shape) * (std::abs(x[0]) + std::abs(x[1]));
    x += 2;
  }
  return most;
}

ModalString::RotatingAmplitudes ModalString::work_space() const {
  RotatingAmplitudes t;
  t.c.assign(modes_.size(), 1.0);
  t.s.assign(modes_.size(), 0.0);
  return t;
}

void ModalString::look(const double* state, RotatingAmplitudes& t) const {
  t.y = t.ydot = 0;
  const double tau = state[0];
  const double* x = state + 2;
  for (std::size_t n = 0; n < modes_.size(); ++n, x += 2) {
    const Mode& mode = modes_[n];
    const double turn = mode.frequency * tau, c = std::cos(turn), s = std::sin(turn);
    t.y += mode.shape * (x[0] * c - x[1] * s);
    t.ydot -= mode.shape * mode.frequency * (x[0] * s + x[1] * c);
    t.c[n] = c;
    t.s[n] = s;
  }
}

double ModalString::push(const double* state, double force, const RotatingAmplitudes& t,
                         double* rates) const {
  double loss = 0;
  rates[0] = 1;
  rates[1] = t.ydot;
  const double* x = state + 2;
  double* dx = rates + 2;
  for (std::size_t n = 0; n < modes_.size(); ++n, x += 2, dx += 2) {
    const Mode& mode = modes_[n];
    const double s = x[0] * t.s[n] + x[1] * t.c[n];
    const double g = -mode.shape * force / (mode.mass * mode.frequency) - 2 * mode.damping * s;
    dx[0] = g * t.s[n];
    dx[1] = g * t.c[n];
    const double speed = mode.frequency * s;
    loss += 2 * mode.damping * mode.mass * speed * speed;
  }
  return loss;
}

double ModalString::swing(const double* state, const RotatingAmplitudes& t, double* rates) const {
  double loss = 0;
  rates[0] = 1;
  rates[1] = t.ydot;
  const double* x = state + 2;
  double* dx = rates + 2;
  for (const Mode& mode : modes_) {
    dx[0] = -mode.damping * x[0];
    dx[1] = -mode.damping * x[1];
    loss += mode.damping * mode.mass * mode.frequency * mode.frequency * (x[0] * x[0] + x[1] * x[1]);
    x += 2;
    dx += 2;
  }
  return loss;
}

double ModalString::swing_on(double* state, double time, RotatingAmplitudes& t) const {
  const double before = energy(state);
  state[0] += time;
  double* x = state + 2;
  for (const Mode& mode : modes_) {
    const double left = std::exp(-mode.damping * time);
    x[0] *= left;
    x[1] *= left;
    x += 2;
  }
  look(state, t);
  state[1] = t.y;
  return before - energy(state);
}

double ModalString::energy(const double* state) const {
  double sum = 0;
  const double* x = state + 2;
  for (const Mode& mode : modes_) {
    sum += 0.5 * mode.mass * mode.frequency * mode.frequency * (x[0] * x[0] + x[1] * x[1]);
    x += 2;
  }
  return sum;
}

}  // namespace leverwright::planar
