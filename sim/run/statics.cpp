#include "sim/run/statics.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "sim/planar/point_travel.h"

namespace leverwright::run {

using planar::Contact;
using planar::ContactPoint;
using planar::kGround;
using planar::MatQ;

namespace {

// What is no number is never small: the largest of the others would pass for it.
double largest_of(const VecQ& x) {
  return x.allFinite() ? x.cwiseAbs().maxCoeff() : std::numeric_limits<double>::infinity();
}
constexpr double kDragRate =
    150.0;  // [1/s] of a pseudo step of 1: a freely falling hammer moves some milliradians in it

// Of the slope k; one coordinate may be held.
Eigen::PartialPivLU<MatQ> factor(MatQ k, int held) {
  if (held >= 0) {
    k.row(held).setZero();
    k.col(held).setZero();
    k(held, held) = 1;
  }
  return k.partialPivLu();
}
}  // namespace

StaticSolver::StaticSolver(const Mechanism& model, int driven, TravelPoint travel_point, bool dissipative)
    : model_(model),
      driven_(driven),
      point_(travel_point),
      dissipative_(dissipative),
      s_(model),
      probe_(model) {
  replies_.resize(model.contacts.size());
  for (const auto& c : model.contacts) {
    unsigned moved = 0;
    for (const int end : {c->body_a, c->body_b})
      for (int i = end; i != kGround; i = model.tree.body(i).parent) moved |= 1u << i;
    moved_by_.push_back(moved);
  }
  last_from_ = initial(VecQ::Zero(model.n()));
}

StaticState StaticSolver::initial(const VecQ& q) const {
  StaticState out;
  out.q = q;
  out.d0.assign(model_.contacts.size(), 0.0);
  out.u.assign(model_.contacts.size(), 0.0);
  out.press.assign(model_.contacts.size(), {});
  out.pivot_u.assign(model_.pivots.size(), 0.0);
  out.pivot_reaction.assign(model_.pivots.size(), 0.0);
  return out;
}

double StaticSolver::travel_of(double a) const { return planar::point_travel(point_.r, a); }
double StaticSolver::travel_slope(double a) const { return planar::point_travel_slope(point_.r, a); }
double StaticSolver::driven_for(double travel) const { return planar::angle_for_travel(point_.r, travel); }

double StaticSolver::travel_of(const VecQ& q) const {
  return travel_of(q[driven_]) - (point_.lift >= 0 ? q[point_.lift] : 0.0);
}

void StaticSolver::hold(VecQ& q) const {
  if (point_.lift >= 0) q[driven_] = driven_for(held_travel_ + q[point_.lift]);
}

void StaticSolver::reduce(const VecQ& q, VecQ& r) const {
  if (point_.lift >= 0) r[point_.lift] += r[driven_] / travel_slope(q[driven_]);
  r[driven_] = 0;
}

StaticSolver::Response StaticSolver::reply_of(std::size_t i, const planar::Scratch& s, const VecQ& dq,
                                              const StaticState& from) const {
  const Contact& c = *model_.contacts[i];
  const ContactPoint& t = s.contact_points[i];
  Response out;
  if (t.depth <= 0) return out;
  if (!dissipative_) {
    out.normal = c.cloth.elastic_force(t.depth);
    return out;
  }
  out.d0 = c.cloth.hysteresis() > 0 ? c.cloth.step_memory(t.depth, from.d0[i]) : 0.0;
  out.normal = c.cloth.quasi_static_force(t.depth, out.d0);
  if (model_.at_u(static_cast<int>(i)) < 0) return out;
  out.press = c.press(t, out.normal);
  out.u = c.friction.step_state(from.press[i], out.press, s.J_t[i].dot(dq), from.u[i]);
  out.tangential = c.friction.mu() * out.press.force * out.u;
  return out;
}

void StaticSolver::add_weights(planar::Scratch& s, VecQ& r) const {
  for (int i = 0; i < model_.n(); ++i) {
    const auto& b = model_.tree.body(i);
    s.body_force[i] = b.mass * model_.gravity;
    s.joint_load[i].setZero();
    if (b.mass > 0)
      model_.tree.add_velocity_row(s.poses, i, s.poses[i].to_W(b.p_cm), s.body_force[i], 1.0, r);
  }
}

void StaticSolver::add_contact(std::size_t i, const planar::Scratch& at, const Response& reply,
                               planar::Scratch& to, VecQ& r) const {
  const Contact& c = *model_.contacts[i];
  const ContactPoint& t = at.contact_points[i];
  if (t.depth <= 0) return;
  r.noalias() -= reply.normal * at.J_d[i];
  if (c.is_angular()) return;
  Vec2 force = reply.normal * t.n;
  if (reply.tangential != 0) {
    r.noalias() -= reply.tangential * at.J_t[i];
    force += reply.tangential * planar::perp(t.n);
  }
  if (c.body_b != kGround) to.body_force[c.body_b] += force;
  if (c.body_a != kGround) to.body_force[c.body_a] -= force;
  if (c.replaces_joint_of != kGround)
    to.joint_load[c.replaces_joint_of] += c.replaces_joint_of == c.body_b ? force : -force;
}

void StaticSolver::add_pivots(planar::Scratch& s, const VecQ& dq, const StaticState& from, VecQ& r,
                              StaticState* to) const {
  const auto& m = model_;
  for (int i = 0; i < m.n(); ++i) s.reaction[i] = -s.body_force[i];
  // The finger's own force loads the driven body's joint too; what the pivots' friction adds to it is of second order.
  if (pressed_) s.reaction[driven_].y() += -r[driven_] / travel_slope(s.q[driven_]);
  const std::vector<int>& order = m.tree.order();
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    const int parent = m.tree.body(*it).parent;
    if (parent != kGround) s.reaction[parent] += s.reaction[*it];
  }
  for (std::size_t i = 0; i < m.pivots.size(); ++i) {
    const auto& p = m.pivots[i];
    double u = 0, torque = 0;
    const double reaction = (s.reaction[p.body] + s.joint_load[p.body]).norm();
    if (dissipative_) {
      const int own = m.tree.angle_coordinate(p.body),
                base = m.tree.angle_coordinate(m.tree.body(p.body).parent);
      const double turn = dq[own] - (base >= 0 ? dq[base] : 0.0);
      u = p.friction.step_state(from.pivot_reaction[i], reaction, turn, from.pivot_u[i]);
      torque = p.friction.level(reaction) * u;
      m.add_torque(m.tree.body(p.body).parent, p.body, -torque, r);
    }
    s.pivot_torque[i] = torque;
    s.pivot_reaction[i] = reaction;
    if (to) {
      to->pivot_u[i] = u;
      to->pivot_reaction[i] = reaction;
    }
  }
}

void StaticSolver::residual(const VecQ& q, const StaticState& from, VecQ& r, StaticState* to) {
  ++evaluations_;
  s_.q = q;
  model_.calc_geometry(s_);
  r.setZero(model_.n());
  add_weights(s_, r);
  model_.add_spring_forces(q, r);
  const VecQ dq = q - from.q;
  for (std::size_t i = 0; i < replies_.size(); ++i) {
    const Response& reply = replies_[i] = reply_of(i, s_, dq, from);
    add_contact(i, s_, reply, s_, r);
    s_.normal[i] = reply.normal;
    s_.tangential[i] = reply.tangential;
    if (to) {
      to->d0[i] = reply.d0;
      to->u[i] = reply.u;
      to->press[i] = reply.press;
    }
  }
  add_pivots(s_, dq, from, r, to);
  if (to) to->q = q;
}

void StaticSolver::jacobian(const VecQ& q, const StaticState& from, const VecQ& r0, bool free_driven,
                            MatQ& k) {
  constexpr double kWide = 1e-7;  // [m]; no point of a body moves that far in a difference
  const int n = model_.n();
  k.resize(n, n);
  VecQ r(n), here = r0;
  if (s_.q != q) residual(q, from, here, nullptr);
  probe_.q = q;
  const int lift = free_driven ? -1 : point_.lift;
  const double slope = travel_slope(q[driven_]);
  for (int j = 0; j < n; ++j) {
    ++evaluations_;
    const double h = model_.tree.body(j).joint == planar::Joint::kRevolute ? 1e-9 : 1e-10;
    probe_.q[j] = q[j] + h;
    unsigned moves = 1u << j;
    if (j == lift) {
      probe_.q[driven_] = q[driven_] + h / slope;
      moves |= 1u << driven_;
    }
    model_.tree.calc_poses(probe_.q, probe_.v, probe_.poses);
    const VecQ dq = probe_.q - from.q;
    r.setZero(n);
    add_weights(probe_, r);
    model_.add_spring_forces(probe_.q, r);
    for (std::size_t i = 0; i < replies_.size(); ++i) {
      if (s_.contact_points[i].depth < -kWide) continue;
      if (!(moved_by_[i] & moves)) {
        add_contact(i, s_, replies_[i], probe_, r);
        continue;
      }
      probe_.contact_points[i] = model_.contacts[i]->locate(probe_.poses);
      if (probe_.contact_points[i].depth <= 0) continue;
      model_.calc_rows(static_cast<int>(i), probe_);
      add_contact(i, probe_, reply_of(i, probe_, dq, from), probe_, r);
    }
    add_pivots(probe_, dq, from, r, nullptr);
    k.col(j) = -(r - here) / h;
    probe_.q[j] = q[j];
    probe_.q[driven_] = q[driven_];
  }
  if (lift >= 0) k.row(lift) += k.row(driven_) / slope;
}

bool StaticSolver::solve(const VecQ& start, StaticState& state, bool free_driven) {
  pressed_ = !free_driven;
  VecQ q = start, r(model_.n());
  last_from_ = state;
  const double goal = start[driven_];
  if (!free_driven) {
    held_travel_ = travel_of(goal);
    hold(q);
  }
  if (!newton(q, state, free_driven)) {
    bool fell = false;
    if (dissipative_ && !free_driven) {
      // The snap is followed just short of the goal, so that the last step still has the path's direction.
      constexpr double kShort = 1e-3;
      const double before = point_.lift >= 0 ? driven_for(travel_of(state.q)) : state.q[driven_];
      const bool settled = fall(goal - kShort * (goal - before), last_from_);
      held_travel_ = travel_of(goal);
      if (settled) {
        q = last_from_.q;
        q[driven_] = goal;
        hold(q);
        fell = newton(q, last_from_, false);
      }
    }
    if (!fell) {
      q = start;
      if (!free_driven) hold(q);
      last_from_ = state;
      if (!follow_damped_motion(q, state, free_driven) || !newton(q, state, free_driven)) return false;
    }
  }
  residual(q, last_from_, r, &state);
  return true;
}

bool StaticSolver::newton(VecQ& q, const StaticState& from, bool free_driven, int most_slopes) {
  const int n = model_.n();
  VecQ r(n), r_full(n), trial(n), trial_r(n), step_r(n), step(n);
  MatQ k(n, n);
  const auto norm_of = [&](const VecQ& at, VecQ& x) {
    if (!free_driven) reduce(at, x);
    return largest_of(x);
  };
  // A slope that brought the residual down so far is good for another step, which gains as much again.
  constexpr double kGoodSlope = 0.03;
  constexpr double kMaxStep = 5e-3, kTight = 2e-13, kLoose = 1e-9;
  constexpr int kMostStalls = 2;
  residual(q, from, r, nullptr);
  r_full = r;
  double norm = norm_of(q, r);
  int polishing = 0, slopes = 0, stalls = 0;
  Eigen::PartialPivLU<MatQ> slope;
  bool keep = false;  // the slope found last
  while (slopes < most_slopes || norm < kLoose) {
    if (norm < kTight || (norm < kLoose && ++polishing > 8)) break;
    const bool fresh = !keep;
    if (fresh) {
      jacobian(q, from, r_full, free_driven, k);
      slope = factor(k, free_driven ? -1 : driven_);
      ++slopes;
    }
    step = slope.solve(r);
    if (!step.allFinite()) break;
    const double largest = step.cwiseAbs().maxCoeff();
    if (largest > kMaxStep) step *= kMaxStep / largest;
    double share = 1, new_norm = 0;
    for (int halving = 0; halving < (fresh ? 7 : 1); ++halving, share *= 0.5) {
      trial = q + share * step;
      if (!free_driven) hold(trial);
      residual(trial, from, trial_r, nullptr);
      new_norm = norm_of(trial, step_r = trial_r);
      if (new_norm < norm) break;
    }
    keep = new_norm < kGoodSlope * norm;
    if (!fresh && !(new_norm < norm)) continue;
    if (!(new_norm < norm) && (norm < kLoose || ++stalls == kMostStalls)) break;  // rounding, or no way on
    q = trial;
    r_full = trial_r;
    r = trial_r;
    norm = norm_of(q, r);
  }
  last_residual_ = norm;
  return norm < kLoose;
}

bool StaticSolver::follow_damped_motion(VecQ& q, const StaticState& from, bool free_driven) {
  const int n = model_.n();
  VecQ r(n), step(n), drag(n);
  MatQ k(n, n), mass(n, n);
  s_.q = q;
  model_.tree.calc_poses(s_.q, s_.v, s_.poses);
  model_.tree.calc_inertia(s_.poses, model_.gravity, mass, r);
  drag = mass.diagonal() * kDragRate * kDragRate;
  constexpr double kMaxStep = 5e-3, kGood = 1e-7, kReference = 0.05;  // [rad], [N m], [N m]
  residual(q, from, r, nullptr);
  for (int it = 0; it < 600; ++it) {
    VecQ held = r;
    if (!free_driven) reduce(q, held);
    const double norm = largest_of(held);
    last_residual_ = norm;
    if (norm < kGood) return true;
    jacobian(q, from, r, free_driven, k);
    k = 0.5 * (k + k.transpose()).eval();
    if (!free_driven) {
      k.row(driven_).setZero();
      k.col(driven_).setZero();
      k(driven_, driven_) = 1;
    }
    // Damped motion runs downhill: the shifted stiffness must be positive definite, and the force along the
    // step must not have turned against it by the step's end. Otherwise a shorter pseudo time.
    double inverse_dtau = std::clamp(norm / kReference, 1e-6, 1.0);
    VecQ next_r, next_q;
    bool stepped = false;
    constexpr int kMostShifts = 12, kMostToStep = 20;  // beyond the second a step goes nowhere
    for (int attempt = 0; attempt < (stepped ? kMostShifts : kMostToStep); ++attempt) {
      MatQ a = k;
      for (int i = 0; i < n; ++i) a(i, i) += inverse_dtau * drag[i];
      const Eigen::LLT<MatQ> llt(a);
      if (llt.info() == Eigen::Success) {
        step = llt.solve(held);
        const double largest = step.cwiseAbs().maxCoeff();
        if (largest > kMaxStep) step *= kMaxStep / largest;
        next_q = q + step;
        if (!free_driven) hold(next_q);
        residual(next_q, from, next_r, nullptr);
        stepped = step.allFinite();
        VecQ next_held = next_r;
        if (!free_driven) reduce(next_q, next_held);
        if (next_held.dot(step) > -0.3 * held.dot(step)) break;
      }
      inverse_dtau = std::max(4.0 * inverse_dtau, 1e-3);
    }
    if (!stepped) return false;
    q = next_q;
    r = next_r;
  }
  return false;
}

bool StaticSolver::fall(double driven_value, StaticState& state) {
  const int n = model_.n();
  VecQ r(n), g(n), trial_g(n), step(n), drag(n), q(n), trial(n);
  MatQ k(n, n), mass(n, n);
  s_.q = state.q;
  model_.tree.calc_poses(s_.q, s_.v, s_.poses);
  model_.tree.calc_inertia(s_.poses, model_.gravity, mass, r);
  drag = mass.diagonal() * kDragRate * kDragRate;
  constexpr double kLongest = 5e-3, kSolved = 1e-10, kGood = 1e-7;  // [rad], [N m], [N m]
  constexpr double kLeast = 1e-9, kMost = 1e6;                      // pseudo time
  constexpr int kMostSteps = 2000, kMostIterations = 12;
  double dtau = 0.05;
  held_travel_ = travel_of(driven_value);
  const auto misfit = [&](const VecQ& at, VecQ& out) {
    residual(at, state, r, nullptr);
    out = r - drag.cwiseProduct(at - state.q) / dtau;
    out[driven_] = r[driven_];
    reduce(at, out);
    return largest_of(out);
  };
  for (int count = 0; count < kMostSteps; ++count) {
    q = state.q;
    q[driven_] = driven_value;
    hold(q);
    double norm = misfit(q, g);
    int iteration = 0;
    for (; norm > kSolved && iteration < kMostIterations; ++iteration) {
      const VecQ r_here = r;
      jacobian(q, state, r_here, false, k);
      for (int i = 0; i < n; ++i) k(i, i) += drag[i] / dtau;
      step = factor(k, driven_).solve(g);
      if (!step.allFinite()) break;
      double share = 1, new_norm = norm;
      for (int halving = 0; halving < 6; ++halving, share *= 0.5) {
        trial = q + share * step;
        hold(trial);
        new_norm = misfit(trial, trial_g);
        if (new_norm < norm) break;
      }
      if (!(new_norm < norm)) break;
      q = trial;
      g = trial_g;
      norm = new_norm;
    }
    VecQ moved = q - state.q;
    moved[driven_] = 0;
    if (!(norm <= kSolved) || moved.cwiseAbs().maxCoeff() > kLongest) {
      dtau *= 0.25;
      if (dtau < kLeast) return false;
      continue;
    }
    const StaticState from = state;
    residual(q, from, r, &state);
    reduce(q, r);
    last_residual_ = largest_of(r);
    if (last_residual_ < kGood) return true;
    dtau = std::min(kMost, (iteration <= 4 ? 2.0 : 1.3) * dtau);
  }
  return false;
}

bool StaticSolver::settle(double driven_value, StaticState& state) {
  VecQ start = state.q;
  start[driven_] = driven_value;
  return solve(start, state, false);
}

bool StaticSolver::settle_from(const VecQ& guess, double driven_value, StaticState& state) {
  VecQ start = guess;
  start[driven_] = driven_value;
  return solve(start, state, false);
}

bool StaticSolver::follow(const VecQ& guess, double driven_value, StaticState& state) {
  pressed_ = true;
  VecQ q = guess, r(model_.n());
  q[driven_] = driven_value;
  last_from_ = state;
  held_travel_ = travel_of(driven_value);
  hold(q);
  constexpr int kFewSlopes = 6;  // a neighbour on the branch takes one or two
  if (!newton(q, state, false, kFewSlopes)) return false;
  residual(q, last_from_, r, &state);
  return true;
}

bool StaticSolver::is_equilibrium(const StaticState& state, bool free_driven) {
  VecQ r(model_.n());
  residual(state.q, state, r, nullptr);
  if (!free_driven) reduce(state.q, r);
  return largest_of(r) < 1e-9;
}

bool StaticSolver::solve_equilibrium(StaticState& state) { return solve(state.q, state, true); }

StaticSample StaticSolver::sample(const StaticState& previous, const StaticState& settled) {
  const auto& m = model_;
  const int n = m.n();
  const std::size_t nc = m.contacts.size(), np = m.pivots.size();
  StaticSample out;
  out.state = settled;
  VecQ r(n);
  MatQ k(n, n);
  residual(settled.q, previous, r, nullptr);
  const VecQ r0 = r;
  jacobian(settled.q, previous, r0, false, k);  // s_ keeps the forces at the settled state
  const double slope = travel_slope(settled.q[driven_]);
  // dq/d(driven): K_dd x = -K_dk with the driven column moved over.
  MatQ a = k;
  VecQ b = -k.col(driven_);
  a.row(driven_).setZero();
  a.col(driven_).setZero();
  a(driven_, driven_) = 1;
  b[driven_] = 1;
  out.dq = a.partialPivLu().solve(b) / slope;
  if (point_.lift >= 0) out.dq[driven_] += out.dq[point_.lift] / slope;

  out.force = -r[driven_] / slope;
  reduce(settled.q, r);
  out.residual = largest_of(r);
  out.travel = travel_of(settled.q);
  out.contact_points = s_.contact_points;
  out.normal = s_.normal;
  out.tangential = s_.tangential;
  out.pivot_torque = s_.pivot_torque;
  out.pivot_reaction = s_.pivot_reaction;
  out.slip_rate.assign(nc, 0.0);
  out.depth_rate.assign(nc, 0.0);
  out.ledger.friction.assign(nc, 0.0);
  out.ledger.cloth.assign(nc, 0.0);
  out.ledger.pivot.assign(np, 0.0);

  // Rates along the way the path is going: what slides on, and what only unwinds, depends on it.
  const double moved = point_.lift >= 0 ? travel_of(settled.q) - travel_of(previous.q)
                                        : (settled.q[driven_] - previous.q[driven_]) * slope;
  const double direction = moved < 0 ? -1.0 : 1.0;
  const VecQ along = direction * out.dq;
  std::vector<double> rate_s_b(nc, 0.0);
  s_.v = along;
  m.tree.calc_poses(s_.q, s_.v, s_.poses);
  for (std::size_t i = 0; i < nc; ++i)
    if (s_.contact_points[i].depth > 0 && m.contacts[i]->mu_slope(s_.contact_points[i].s_b) != 0)
      rate_s_b[i] = m.contacts[i]->locate(s_.poses).rate_s_b;
  s_.v.setZero();
  double stored = 0;
  for (int i = 0; i < n; ++i) {
    const auto& body = m.tree.body(i);
    if (body.mass == 0) continue;
    VecQ row = VecQ::Zero(n);
    m.tree.add_velocity_row(s_.poses, i, s_.poses[i].to_W(body.p_cm), -body.mass * m.gravity, 1.0, row);
    stored += row.dot(along);
  }
  VecQ spring = VecQ::Zero(n);
  m.add_spring_forces(settled.q, spring);
  stored -= spring.dot(along);

  for (std::size_t i = 0; i < nc; ++i) {
    const Contact& c = *m.contacts[i];
    const ContactPoint& t = s_.contact_points[i];
    if (t.depth <= 0) continue;
    const double depth_rate = s_.J_d[i].dot(along);
    out.depth_rate[i] = direction * depth_rate;
    double normal_rate = c.cloth.elastic_slope(t.depth) * depth_rate;
    double loss = 0;
    if (dissipative_ && c.cloth.hysteresis() > 0) {
      const auto rates = c.cloth.quasi_static_rates(t.depth, depth_rate, settled.d0[i]);
      normal_rate = rates.rate_normal;
      loss = rates.loss;
    }
    out.ledger.cloth[i] = loss;
    stored += s_.normal[i] * depth_rate - loss;
    const double slip_rate = c.is_angular() ? 0.0 : s_.J_t[i].dot(along);
    out.slip_rate[i] = direction * slip_rate;
    if (dissipative_ && m.at_u(static_cast<int>(i)) >= 0) {
      const double factor = c.mu_factor(t.s_b), factor_rate = c.mu_slope(t.s_b) * rate_s_b[i];
      const planar::NormalLoad rate{factor * normal_rate + factor_rate * s_.normal[i],
                                    factor * depth_rate + factor_rate * t.depth};
      const double stored_rate =
          c.friction.quasi_static_stored_rate(c.press(t, s_.normal[i]), rate, slip_rate, settled.u[i]);
      out.ledger.friction[i] = s_.tangential[i] * slip_rate - stored_rate;
      stored += stored_rate;
    }
  }
  for (std::size_t i = 0; i < np && dissipative_; ++i) {
    const auto& p = m.pivots[i];
    const int own = m.tree.angle_coordinate(p.body),
              base = m.tree.angle_coordinate(m.tree.body(p.body).parent);
    const double turn_rate = along[own] - (base >= 0 ? along[base] : 0.0);
    const double stored_rate =
        p.friction.quasi_static_stored_rate(s_.pivot_reaction[i], turn_rate, settled.pivot_u[i]);
    out.ledger.pivot[i] = s_.pivot_torque[i] * turn_rate - stored_rate;
    stored += stored_rate;
  }
  out.ledger.stored = direction * stored;
  out.direction = direction;
  return out;
}

}  // namespace leverwright::run
