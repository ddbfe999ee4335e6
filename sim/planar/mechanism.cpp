#include "sim/planar/mechanism.h"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cassert>
#include <cmath>

namespace leverwright::planar {

Scratch::Scratch(const Mechanism& m) {
  const int n = m.n();
  const std::size_t nc = m.contacts.size(), np = m.pivots.size();
  q.setZero(n);
  v.setZero(n);
  qddot.setZero(n);
  rhs.setZero(n);
  mass.setZero(n, n);
  poses.resize(n + 1);
  touches.resize(nc);
  J_d.assign(nc, VecQ::Zero(n));
  J_t.assign(nc, VecQ::Zero(n));
  for (auto* list : {&depth_rate, &slip, &normal, &reversible, &tangential, &loss_normal, &loss_friction})
    list->assign(nc, 0.0);
  for (auto* list : {&pivot_torque, &pivot_reaction, &pivot_loss_dry, &pivot_loss_viscous})
    list->assign(np, 0.0);
  body_force.assign(n, Vec2::Zero());
  reaction.assign(n, Vec2::Zero());
}

void Mechanism::finish() {
  const int nc = static_cast<int>(contacts.size()), np = static_cast<int>(pivots.size());
  at_d0_ = 2 * n();
  int next = at_d0_ + nc;
  at_u_.assign(nc, -1);
  for (int i = 0; i < nc; ++i)
    if (contacts[i]->friction.acts() && !contacts[i]->is_angular()) at_u_[i] = next++;
  at_pivot_ = next;
  next += 2 * np;
  at_audit_ = next;
  groups_.clear();
  group_of_.assign(nc, -1);
  for (int i = 0; i < nc; ++i) {
    const auto it = std::find(groups_.begin(), groups_.end(), contacts[i]->group);
    group_of_[i] = static_cast<int>(it - groups_.begin());
    if (it == groups_.end()) groups_.push_back(contacts[i]->group);
  }
  audit_names_.clear();
  for (const auto& g : groups_) audit_names_.push_back(g + ": cloth");
  for (const auto& g : groups_) audit_names_.push_back(g + ": friction");
  for (const auto& p : pivots) audit_names_.push_back(p.name + ": friction");
  for (const auto& p : pivots) audit_names_.push_back(p.name + ": viscous");
  size_ = at_audit_ + 1 + static_cast<int>(audit_names_.size());
}

int Mechanism::find_contact(const std::string& name) const {
  for (std::size_t i = 0; i < contacts.size(); ++i)
    if (contacts[i]->name == name) return static_cast<int>(i);
  return -1;
}

int Mechanism::find_pivot(const std::string& name) const {
  for (std::size_t i = 0; i < pivots.size(); ++i)
    if (pivots[i].name == name) return static_cast<int>(i);
  return -1;
}

void Mechanism::add_torque(int body_a, int body_b, double torque_on_b, VecQ& generalised) const {
  const int a = tree.angle_owner(body_a), b = tree.angle_owner(body_b);
  if (b >= 0) generalised[b] += torque_on_b;
  if (a >= 0) generalised[a] -= torque_on_b;
}

void Mechanism::calc_geometry(Scratch& s) const {
  tree.calc_poses(s.q, s.v, s.poses);
  for (std::size_t i = 0; i < contacts.size(); ++i) {
    const Contact& c = *contacts[i];
    Touch& t = s.touches[i];
    t = c.locate(s.poses);
    if (t.depth <= 0) continue;
    VecQ& jd = s.J_d[i];
    VecQ& jt = s.J_t[i];
    jd.setZero();
    jt.setZero();
    if (c.is_angular()) {
      add_torque(c.body_a, c.body_b, c.stop_radius() * c.stop_sign(), jd);
    } else {
      const Vec2 tangent = -perp(t.n);
      tree.add_velocity_row(s.poses, c.body_b, t.p, t.n, -1.0, jd);
      tree.add_velocity_row(s.poses, c.body_a, t.p, t.n, 1.0, jd);
      tree.add_velocity_row(s.poses, c.body_b, t.p, tangent, 1.0, jt);
      tree.add_velocity_row(s.poses, c.body_a, t.p, tangent, -1.0, jt);
    }
  }
}

void Mechanism::add_spring_forces(const VecQ& q, VecQ& generalised) const {
  for (const TorsionSpring& k : springs) {
    const int a = tree.angle_owner(k.body_a), b = tree.angle_owner(k.body_b);
    const double relative = (b >= 0 ? q[b] : 0.0) - (a >= 0 ? q[a] : 0.0);
    add_torque(k.body_a, k.body_b, k.preload - k.stiffness * relative, generalised);
  }
}

double Mechanism::spring_energy(const VecQ& q) const {
  double e = 0;
  for (const TorsionSpring& k : springs) {
    const int a = tree.angle_owner(k.body_a), b = tree.angle_owner(k.body_b);
    const double r = (b >= 0 ? q[b] : 0.0) - (a >= 0 ? q[a] : 0.0);
    e += -k.preload * r + 0.5 * k.stiffness * r * r;
  }
  return e;
}

void Mechanism::calc_rates(const double* x, double* dxdt, const Applied& applied, Scratch& s) const {
  const int nq = n();
  const int nc = static_cast<int>(contacts.size());
  for (int i = 0; i < nq; ++i) {
    s.q[i] = x[at_q(i)];
    s.v[i] = x[at_v(i)];
  }
  if (applied.prescribed >= 0) {
    s.q[applied.prescribed] = applied.q;
    s.v[applied.prescribed] = applied.v;
  }
  calc_geometry(s);
  tree.calc_inertia(s.poses, gravity, s.mass, s.rhs);
  for (int i = 0; i < nq; ++i) s.body_force[i] = tree.body(i).mass * gravity;

  double* audit = dxdt + at_audit_;
  const int ng = static_cast<int>(groups_.size()), np = static_cast<int>(pivots.size());
  std::fill(audit, audit + 1 + audit_names_.size(), 0.0);

  for (int i = 0; i < nc; ++i) {
    const Contact& c = *contacts[i];
    const Touch& t = s.touches[i];
    double ddot = 0;
    if (t.depth > 0) ddot = s.J_d[i].dot(s.v);
    const Cloth::Reply reply = c.cloth.calc(t.depth, ddot, x[at_d0(i)]);
    dxdt[at_d0(i)] = reply.rate_d0;
    s.depth_rate[i] = ddot;
    s.normal[i] = reply.normal;
    s.reversible[i] = reply.reversible;
    s.loss_normal[i] = reply.loss;
    s.loss_friction[i] = 0;
    s.tangential[i] = 0;
    s.slip[i] = 0;
    audit[1 + group_of_[i]] += reply.loss;
    if (t.depth > 0) s.rhs.noalias() -= reply.normal * s.J_d[i];
    Vec2 force = reply.normal * t.n;
    if (at_u_[i] >= 0) {
      const double slip = t.depth > 0 ? s.J_t[i].dot(s.v) : 0.0;
      // mu enters only as mu N: a factor that changes along the surface is a normal force that changes.
      const double factor = c.mu_factor(t.s_b), bearing = std::max(0.0, reply.reversible);
      const double rate_bearing = factor * reply.rate_reversible + c.mu_slope(t.s_b) * t.rate_s_b * bearing;
      const DryFriction::Reply f = c.friction.calc(factor * bearing, rate_bearing, slip, x[at_u_[i]], 1.0);
      dxdt[at_u_[i]] = f.rate_u;
      s.slip[i] = slip;
      if (t.depth > 0) {
        s.tangential[i] = f.force;
        s.loss_friction[i] = f.loss;
        audit[1 + ng + group_of_[i]] += f.loss;
        s.rhs.noalias() -= f.force * s.J_t[i];
        force += f.force * perp(t.n);  // -T t, t = -perp(n)
      }
    }
    if (t.depth > 0 && !c.is_angular()) {
      if (c.body_b != kGround) s.body_force[c.body_b] += force;
      if (c.body_a != kGround) s.body_force[c.body_a] -= force;
    }
  }
  add_spring_forces(s.q, s.rhs);
  for (int i = 0; i < np; ++i) {
    const Pivot& p = pivots[i];
    const int own = tree.angle_owner(p.body), base = tree.angle_owner(tree.body(p.body).parent);
    const double omega = s.v[own] - (base >= 0 ? s.v[base] : 0.0);
    const double lagged = x[at_pivot_reaction(i)];
    const PivotFriction::Reply f = p.friction.calc(lagged, lagged, omega, x[at_pivot_u(i)]);
    s.pivot_torque[i] = f.torque;
    add_torque(tree.body(p.body).parent, p.body, -f.torque, s.rhs);
  }
  s.input_power = 0;
  const PointLoad& load = applied.load;
  if (load.body != kGround) {
    const Vec2 p = s.poses[load.body].to_W(load.r);
    tree.add_velocity_row(s.poses, load.body, p, load.force, 1.0, s.rhs);
    s.body_force[load.body] += load.force;
    s.input_power = load.force.dot(tree.point_velocity(s.poses, load.body, p));
  }
  Eigen::LLT<MatQ> llt(s.mass);
  s.qddot = llt.solve(s.rhs);
  if (applied.prescribed >= 0) {
    // M qddot = rhs + e lambda with qddot_k given.
    VecQ e = VecQ::Zero(nq);
    e[applied.prescribed] = 1.0;
    const VecQ column = llt.solve(e);
    s.prescribed_force = (applied.a - s.qddot[applied.prescribed]) / column[applied.prescribed];
    s.qddot += s.prescribed_force * column;
    s.input_power += s.prescribed_force * applied.v;
  }
  for (int i = 0; i < nq; ++i) {
    dxdt[at_q(i)] = s.v[i];
    dxdt[at_v(i)] = s.qddot[i];
  }
  // Joint reactions from the leaves inwards, then the pivots' lag and losses.
  for (int i = nq - 1; i >= 0; --i)
    s.reaction[i] = tree.body(i).mass * tree.cm_acceleration(s.poses, i, s.qddot) - s.body_force[i];
  for (int i = nq - 1; i >= 0; --i)
    if (tree.body(i).parent != kGround) s.reaction[tree.body(i).parent] += s.reaction[i];
  for (int i = 0; i < np; ++i) {
    const Pivot& p = pivots[i];
    const int own = tree.angle_owner(p.body), base = tree.angle_owner(tree.body(p.body).parent);
    const double omega = s.v[own] - (base >= 0 ? s.v[base] : 0.0);
    const double r = s.reaction[p.body].norm();
    const PivotFriction::Reply f = p.friction.calc(r, x[at_pivot_reaction(i)], omega, x[at_pivot_u(i)]);
    s.pivot_reaction[i] = r;
    s.pivot_loss_dry[i] = f.loss_dry;
    s.pivot_loss_viscous[i] = f.loss_viscous;
    dxdt[at_pivot_u(i)] = f.rate_u;
    dxdt[at_pivot_reaction(i)] = f.rate_reaction;
    audit[1 + 2 * ng + i] += f.loss_dry;
    audit[1 + 2 * ng + np + i] += f.loss_viscous;
  }
  audit[0] = s.input_power;
}

double Mechanism::kinetic_energy(const double* x, Scratch& s) const {
  for (int i = 0; i < n(); ++i) {
    s.q[i] = x[at_q(i)];
    s.v[i] = x[at_v(i)];
  }
  tree.calc_poses(s.q, s.v, s.poses);
  return tree.kinetic_energy(s.poses);
}

double Mechanism::stored_energy(const double* x, Scratch& s) const {
  for (int i = 0; i < n(); ++i) {
    s.q[i] = x[at_q(i)];
    s.v[i] = x[at_v(i)];
  }
  calc_geometry(s);
  double e = tree.kinetic_energy(s.poses) + tree.gravity_energy(s.poses, gravity) + spring_energy(s.q);
  for (std::size_t i = 0; i < contacts.size(); ++i) {
    const Contact& c = *contacts[i];
    const double d = s.touches[i].depth, d0 = x[at_d0(static_cast<int>(i))];
    e += c.cloth.stored(d, d0);
    if (d > 0 && at_u_[i] >= 0)
      e += c.friction.stored(c.cloth.quasi_static_force(d, d0), x[at_u_[i]], c.mu_factor(s.touches[i].s_b));
  }
  for (std::size_t i = 0; i < pivots.size(); ++i)
    e += pivots[i].friction.stored(x[at_pivot_reaction(static_cast<int>(i))],
                                   x[at_pivot_u(static_cast<int>(i))]);
  return e;
}

}  // namespace leverwright::planar
