// Boost.Odeint's controlled step, of order four, with an error measure that knows the layout of a mechanism's
// state. Included by stroke.cpp alone.
#pragma once
#include <algorithm>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_controlled_runge_kutta.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "sim/run/rk43.h"
#include "sim/run/stroke.h"

namespace leverwright::run {

using StrokeState = std::vector<double>;

// Weighs the error of one step. Coordinates and speeds have the scales of ErrorScales. The memories of cloth
// and friction count by the force they would misstate, with the stiffness and load at whichever end of the
// step is the harder:
//   cloth     kappa p (N / d) |error of d0|,   friction  mu N |error of u|,   pivot  S |error of u|
// so a memory that bears next to nothing has little say, and the jump of slope as a contact closes costs few
// steps.
class ErrorNorm {
 public:
  ErrorNorm(const planar::Mechanism& model, const ErrorScales& scales, double tolerance);

  // Loads at the start of the step, from a right-hand side evaluated there.
  void note_start(const planar::Scratch& s);
  // The largest error against its scale; `end` was evaluated at the end of the step. NaN counts as hopeless.
  double measure(const StrokeState& error, const planar::Scratch& end);
  double largest() const { return largest_; }  // of the last step
  int worst() const { return worst_; }         // component of the state that decided
  bool not_a_number() const { return not_a_number_; }

  static constexpr double kHopeless = 1e12;
  // However little it bears: errors of a cloth's memory [m] and of a bristle that would leave its range.
  static constexpr double kLeastMemory = 1e-5, kLeastBristle = 0.5;

 private:
  struct Load {
    double cloth = 0, friction = 0;  // per error of d0 [N/m], of u [N]
  };
  static Load load_of(const planar::Contact& c, const planar::Scratch& s, std::size_t i);
  void weigh(int component, double weighed);

  const planar::Mechanism& model_;
  std::vector<double> coordinate_;  // 1 / scale of q, then v
  std::vector<double> string_;      // of each string's state; a mode counts by its energy
  std::vector<Load> start_;
  double per_force_, per_torque_, per_reaction_;
  double largest_ = 0;
  int worst_ = 0;
  bool not_a_number_ = false;
};

// The body, contact or pivot that a component of the state belongs to.
std::string name_component(const planar::Mechanism& model, int component);

class MechanismErrorChecker {
 public:
  using value_type = double;
  using algebra_type = boost::numeric::odeint::range_algebra;
  using operations_type = boost::numeric::odeint::default_operations;

  explicit MechanismErrorChecker(ErrorNorm* ruler = nullptr, const planar::Scratch* end = nullptr)
      : ruler_(ruler), end_(end) {}

  template <class State, class Deriv, class Err, class Time>
  double error(algebra_type&, const State&, const Deriv&, Err& x_err, Time) const {
    return ruler_->measure(x_err, *end_);
  }

 private:
  ErrorNorm* ruler_;
  const planar::Scratch* end_;
};

// Shrinks a step that failed; how far the next may go after one that succeeded is Stroke's business.
class StepShrinkage {
 public:
  using time_type = double;
  using value_type = double;
  double decrease_step(double h, double error, int error_order) const {
    return h * std::max(0.9 * std::pow(error, -1.0 / (error_order - 1)), 0.2);
  }
  double increase_step(double h, double /*error*/, int /*order*/) const { return h; }
  bool check_step_size_limit(double /*h*/) const { return true; }
  double get_max_dt() const { return 0; }
};

using ControlledStep =
    boost::numeric::odeint::controlled_runge_kutta<Rk43, MechanismErrorChecker, StepShrinkage>;

}  // namespace leverwright::run
