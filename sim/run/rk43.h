// The classical fourth-order Runge-Kutta step with a third-order companion, as an Odeint error stepper.
//
//   k1 = f(t, x),  k2 = f(t + h/2, x + h k1/2),  k3 = f(t + h/2, x + h k2/2),  k4 = f(t + h, x + h k3)
//   x_new = x + h (k1 + 2 k2 + 2 k3 + k4)/6,     k5 = f(t + h, x_new), which is k1 of the next step
//   error = h (k4 - k5)/6
// With k5 in the place of k4 the weights (1, 2, 2, 0, 1)/6 satisfy the four conditions of order three (sum b
// = 1, sum b c = 1/2, sum b c^2 = 1/3, sum b_i a_ij c_j = 1/6), so the difference of the two is the error of
// a third-order step. Why not a fifth-order pair: an action at rest or held is limited by stability, at
// hardly damped motions of omega near 1e4 / s. With damping ratio 0.1 this method is stable up to omega h
// = 2.96 with four evaluations a step, Dormand and Prince's up to 2.7 with six; and where contacts open and
// close the laws' own smoothness limits the order to about three whatever the method. Between the ends: the
// cubic through both states and rates, fourth order. (Kutta, Z. Math. Phys. 46, 1901; Hairer, Norsett &
// Wanner, Solving ODEs I, 2nd ed., secs. II.1, II.6.)
#pragma once
#include <Eigen/Core>
#include <algorithm>
#include <boost/numeric/odeint/algebra/default_operations.hpp>
#include <boost/numeric/odeint/algebra/range_algebra.hpp>
#include <boost/numeric/odeint/stepper/base/explicit_error_stepper_fsal_base.hpp>
#include <boost/numeric/odeint/util/resizer.hpp>
#include <boost/numeric/odeint/util/unwrap_reference.hpp>
#include <vector>

namespace leverwright::run {

namespace odeint = boost::numeric::odeint;
class Rk43;
using Rk43Base =
    odeint::explicit_error_stepper_fsal_base<Rk43, 4, 4, 3, std::vector<double>, double, std::vector<double>,
                                             double, odeint::range_algebra, odeint::default_operations,
                                             odeint::initially_resizer>;

class Rk43 : public Rk43Base {
 public:
  using State = std::vector<double>;

  template <class System>
  void do_step_impl(System system, const State& in, const State& dxdt_in, double t, State& out,
                    State& dxdt_out, double h) {
    auto& f = static_cast<typename odeint::unwrap_reference<System>::type&>(system);
    resize(in.size());
    const std::size_t n = std::min(in.size(), moving_);
    // Written as whole arrays: the compiler leaves loops over vectors of unknown length one by one.
    const Numbers x(in.data(), size_of(n)), k1(dxdt_in.data(), size_of(n)), k2(k2_.data(), size_of(n)),
        k3(k3_.data(), size_of(n)), k4(k4_.data(), size_of(n));
    // Integrals nobody looks at during a step need no trial value.
    const std::size_t head = std::min(n, integrals_from_), tail = std::min(n, integrals_to_);
    const auto put_trial = [&](double a, const Numbers& k) {
      const auto fore = size_of(head), aft = size_of(n - tail);
      Places(trial_.data(), fore) = x.head(fore) + a * k.head(fore);
      if (aft > 0) Places(trial_.data() + tail, aft) = x.tail(aft) + a * k.tail(aft);
    };
    put_trial(0.5 * h, k1);
    f(trial_, k2_, t + 0.5 * h);
    put_trial(0.5 * h, k2);
    f(trial_, k3_, t + 0.5 * h);
    put_trial(h, k3);
    f(trial_, k4_, t + h);
    const double sixth = h / 6;
    // `out` may be `in`, `dxdt_out` may be `dxdt_in`.
    Places(out.data(), size_of(n)) = x + sixth * (k1 + 2 * (k2 + k3) + k4);
    f(out, dxdt_out, t + h);
  }

  template <class System>
  void do_step_impl(System system, const State& in, const State& dxdt_in, double t, State& out,
                    State& dxdt_out, double h, State& error) {
    do_step_impl(system, in, dxdt_in, t, out, dxdt_out, h);
    const double sixth = h / 6;
    const auto n = size_of(std::min(out.size(), moving_));
    Places(error.data(), n) = sixth * (Numbers(k4_.data(), n) - Numbers(dxdt_out.data(), n));
  }

  void calc_state(double t, State& x, const State& x_old, const State& k_old, double t_old,
                  const State& x_new, const State& k_new, double t_new) const {
    const double h = t_new - t_old, s = (t - t_old) / h, r = 1 - s;
    // Hermite: value weights and rate weights of both ends.
    const double a = r * r * (1 + 2 * s), b = s * s * (1 + 2 * r), c = h * s * r * r, d = -h * s * s * r;
    const std::size_t n = std::min(x.size(), moving_);
    for (std::size_t i = 0; i < n; ++i) x[i] = a * x_old[i] + b * x_new[i] + c * k_old[i] + d * k_new[i];
  }

  // Only the first n entries of the state move; the caller keeps the others alike in every state it hands
  // over.
  void set_moving(std::size_t n) { moving_ = n; }
  // Entries [from, to) are integrals along the way: no rate depends on them.
  void set_integrals(std::size_t from, std::size_t to) {
    integrals_from_ = from;
    integrals_to_ = to;
  }

  template <class StateIn>
  void adjust_size(const StateIn& x) {
    Rk43Base::adjust_size(x);
    resize(x.size());
  }

 private:
  using Numbers = Eigen::Map<const Eigen::ArrayXd>;
  using Places = Eigen::Map<Eigen::ArrayXd>;
  static Eigen::Index size_of(std::size_t n) { return static_cast<Eigen::Index>(n); }
  void resize(std::size_t n) {
    if (trial_.size() == n) return;
    for (State* v : {&trial_, &k2_, &k3_, &k4_}) v->assign(n, 0.0);
  }
  State trial_, k2_, k3_, k4_;
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  std::size_t moving_ = kNone, integrals_from_ = kNone, integrals_to_ = kNone;
};

}  // namespace leverwright::run
