#include "sim/planar/mechanism.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <algorithm>
#include <cassert>
#include <cmath>

#include "sim/planar/point_travel.h"

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
  contact_points.resize(nc);
  J_d.assign(nc, VecQ::Zero(n));
  J_t.assign(nc, VecQ::Zero(n));
  for (auto* list : {&depth_rate, &slip, &normal, &reversible, &tangential, &loss_normal, &loss_friction})
    list->assign(nc, 0.0);
  for (auto* list : {&pivot_torque, &pivot_reaction, &pivot_loss_dry, &pivot_loss_viscous})
    list->assign(np, 0.0);
  pivot_reply.resize(np);
  body_force.assign(n, Vec2::Zero());
  body_moment.assign(n, 0.0);
  reaction.assign(n, Vec2::Zero());
  joint_load.assign(n, Vec2::Zero());
  for (const StringBehind& b : m.strings) strings.push_back(b.string.work_space());
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
  for (const auto& s : strings) audit_names_.push_back(s.name + ": damping");
  size_ = end_of_audit();
  at_string_.clear();
  string_of_.assign(nc, -1);
  for (std::size_t k = 0; k < strings.size(); ++k) {
    assert(contacts[strings[k].contact]->body_a == kGround && !contacts[strings[k].contact]->is_angular());
    string_of_[strings[k].contact] = static_cast<int>(k);
    at_string_.push_back(size_);
    size_ += strings[k].string.state_size();
  }
  blocks_.clear();
  std::vector<int> block_of(n(), -1);
  for (const int i : tree.order()) {
    const int parent = tree.body(i).parent;
    block_of[i] = parent == kGround ? static_cast<int>(blocks_.size()) : block_of[parent];
    if (parent == kGround) blocks_.emplace_back();
    blocks_[block_of[i]].push_back(i);
  }
  for (auto& block : blocks_) std::sort(block.begin(), block.end());
}

namespace {
template <int kSize>
void solve_block(const MatQ& mass, const VecQ& rhs, const std::vector<int>& at, VecQ& out) {
  Eigen::Matrix<double, kSize, kSize> m;
  Eigen::Matrix<double, kSize, 1> r;
  for (int i = 0; i < kSize; ++i) {
    r[i] = rhs[at[i]];
    for (int k = 0; k <= i; ++k) m(i, k) = m(k, i) = mass(at[i], at[k]);
  }
  // Closed form: well conditioned, and several times faster than a factorisation at these sizes.
  const Eigen::Matrix<double, kSize, 1> x = m.inverse() * r;
  for (int i = 0; i < kSize; ++i) out[at[i]] = x[i];
}
}  // namespace

void Mechanism::solve_mass(const MatQ& mass, const VecQ& rhs, VecQ& out) const {
  for (const auto& at : blocks_) {
    switch (at.size()) {
      case 1:
        out[at[0]] = rhs[at[0]] / mass(at[0], at[0]);
        break;
      case 2:
        solve_block<2>(mass, rhs, at, out);
        break;
      case 3:
        solve_block<3>(mass, rhs, at, out);
        break;
      case 4:
        solve_block<4>(mass, rhs, at, out);
        break;
      default: {
        const int size = static_cast<int>(at.size());
        MatQ m(size, size);
        VecQ x(size);
        for (int i = 0; i < size; ++i) {
          x[i] = rhs[at[i]];
          for (int k = 0; k <= i; ++k) m(i, k) = m(k, i) = mass(at[i], at[k]);
        }
        x = Eigen::LLT<MatQ>(m).solve(x).eval();
        for (int i = 0; i < size; ++i) out[at[i]] = x[i];
      }
    }
  }
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
  const int a = tree.angle_coordinate(body_a), b = tree.angle_coordinate(body_b);
  if (b >= 0) generalised[b] += torque_on_b;
  if (a >= 0) generalised[a] -= torque_on_b;
}

void Mechanism::calc_contact_points(Scratch& s) const {
  tree.calc_poses(s.q, s.v, s.poses);
  for (std::size_t i = 0; i < contacts.size(); ++i) s.contact_points[i] = contacts[i]->find(s.poses);
  if (!strings.empty() && s.string_state) yield(s);
}

void Mechanism::yield(Scratch& s) const {
  for (std::size_t k = 0; k < strings.size(); ++k) {
    const ModalString& string = strings[k].string;
    const double* state = s.string_state + (at_string_[k] - at_string_[0]);
    double& depth = s.contact_points[strings[k].contact].depth;
    ModalString::RotatingAmplitudes& t = s.strings[k];
    t.y = t.ydot = 0;
    const double reach = string.reach(state);
    if (reach == 0 || depth + reach < -kNearString) continue;  // wherever the string is just now
    string.look(state, t);
    depth -= state[1];
  }
}

void Mechanism::settle_strings(double* x, Scratch& s) const {
  for (std::size_t k = 0; k < strings.size(); ++k) {
    double* state = x + at_string_[k];
    const double reach = strings[k].string.reach(state);
    if (reach == 0 || s.contact_points[strings[k].contact].depth + 2 * reach < -2 * kNearString) continue;
    strings[k].string.look(state, s.strings[k]);
    state[1] = s.strings[k].y;
  }
}

double Mechanism::reach_of_strings(const double* x) const {
  double most = 0;
  for (std::size_t k = 0; k < strings.size(); ++k)
    most = std::max(most, strings[k].string.reach(x + at_string_[k]));
  return most;
}

void Mechanism::swing_on(double* x, double time, Scratch& s) const {
  for (std::size_t k = 0; k < strings.size(); ++k)
    x[at_audit_ + 1 + static_cast<int>(audit_names_.size() - strings.size() + k)] +=
        strings[k].string.swing_on(x + at_string_[k], time, s.strings[k]);
}

void Mechanism::calc_contact_points(const double* x, Scratch& s) const {
  for (int i = 0; i < n(); ++i) {
    s.q[i] = x[at_q(i)];
    s.v[i] = x[at_v(i)];
  }
  s.string_state = strings.empty() || s.strings_alone ? nullptr : x + at_string_[0];
  calc_contact_points(s);
  s.string_state = nullptr;
}

void Mechanism::calc_geometry(Scratch& s) const {
  calc_contact_points(s);
  for (std::size_t i = 0; i < contacts.size(); ++i) {
    if (s.contact_points[i].depth <= 0) continue;
    contacts[i]->complete(s.poses, s.contact_points[i]);
    calc_rows(static_cast<int>(i), s);
  }
}

void Mechanism::calc_rows(int i, Scratch& s) const {
  const Contact& c = *contacts[i];
  const ContactPoint& t = s.contact_points[i];
  VecQ& jd = s.J_d[i];
  VecQ& jt = s.J_t[i];
  jd.setZero();
  jt.setZero();
  if (c.is_angular()) {
    add_torque(c.body_a, c.body_b, c.stop_radius() * c.stop_sign(), jd);
    return;
  }
  const Vec2 tangent = -perp(t.n);
  tree.add_velocity_row(s.poses, c.body_b, t.p, t.n, -1.0, jd);
  tree.add_velocity_row(s.poses, c.body_a, t.p, t.n, 1.0, jd);
  tree.add_velocity_row(s.poses, c.body_b, t.p, tangent, 1.0, jt);
  tree.add_velocity_row(s.poses, c.body_a, t.p, tangent, -1.0, jt);
}

void Mechanism::add_spring_forces(const VecQ& q, VecQ& generalised) const {
  for (const TorsionSpring& k : springs) {
    const int a = tree.angle_coordinate(k.body_a), b = tree.angle_coordinate(k.body_b);
    const double relative = (b >= 0 ? q[b] : 0.0) - (a >= 0 ? q[a] : 0.0);
    add_torque(k.body_a, k.body_b, k.preload - k.stiffness * relative, generalised);
  }
}

double Mechanism::spring_energy(const VecQ& q) const {
  double e = 0;
  for (const TorsionSpring& k : springs) {
    const int a = tree.angle_coordinate(k.body_a), b = tree.angle_coordinate(k.body_b);
    const double r = (b >= 0 ? q[b] : 0.0) - (a >= 0 ? q[a] : 0.0);
    e += -k.preload * r + 0.5 * k.stiffness * r * r;
  }
  return e;
}

namespace {
constexpr double kFadesPerSecond = -1 / Cloth::kRecovery, kSmoothsPerSecond = -1 / DryFriction::kRecovery;
}

// Forces of all contacts onto the bodies, rates of their memories, losses into the audit.
void Mechanism::calc_contact_forces(const double* x, double* dxdt, Scratch& s) const {
  const int nc = static_cast<int>(contacts.size()), ng = static_cast<int>(groups_.size());
  double* audit = dxdt + at_audit_;
  for (int i = 0; i < nc; ++i) {
    const Contact& c = *contacts[i];
    const ContactPoint& t = s.contact_points[i];
    const int k_u = at_u_[i];
    if (t.depth <= 0) {
      dxdt[at_d0(i)] = x[at_d0(i)] * kFadesPerSecond;
      if (k_u >= 0) dxdt[k_u] = x[k_u] * kSmoothsPerSecond;
      if (s.normal[i] != 0 || s.reversible[i] != 0) {  // it bore a moment ago
        s.depth_rate[i] = s.slip[i] = s.normal[i] = s.reversible[i] = s.tangential[i] = 0;
        s.loss_normal[i] = s.loss_friction[i] = 0;
      }
      if (const int behind = string_of_[i]; behind >= 0 && !s.strings_alone) {
        const int at = at_string_[behind];
        audit[audit_names_.size() - strings.size() + behind + 1] =
            strings[behind].string.swing(x + at, s.strings[behind], dxdt + at);
      }
      continue;
    }
    const Pose &a = BodyTree::pose(s.poses, c.body_a), &b = BodyTree::pose(s.poses, c.body_b);
    const bool angular = c.is_angular();
    Vec2 apart = Vec2::Zero();  // velocity of b's surface against a's
    double ddot;
    if (angular) {
      ddot = c.stop_radius() * c.stop_sign() * (b.omega - a.omega);
    } else {
      apart = b.v_o + b.omega * perp(t.p - b.o) - a.v_o - a.omega * perp(t.p - a.o);
      ddot = -t.n.dot(apart);
    }
    const int behind = string_of_[i];
    if (behind >= 0) ddot -= s.strings[behind].ydot;
    const Cloth::Response reply = c.cloth.calc(t.depth, ddot, x[at_d0(i)]);
    dxdt[at_d0(i)] = reply.rate_d0;
    s.depth_rate[i] = ddot;
    s.normal[i] = reply.normal;
    s.reversible[i] = reply.reversible;
    s.loss_normal[i] = reply.loss;
    audit[1 + group_of_[i]] += reply.loss;
    if (behind >= 0) {
      const int at = at_string_[behind];
      audit[audit_names_.size() - strings.size() + behind + 1] =
          strings[behind].string.push(x + at, reply.normal, s.strings[behind], dxdt + at);
    }
    if (angular) {
      s.slip[i] = s.tangential[i] = s.loss_friction[i] = 0;
      add_torque(c.body_a, c.body_b, -reply.normal * c.stop_radius() * c.stop_sign(), s.rhs);
      continue;
    }
    const Vec2 tangent = -perp(t.n);
    Vec2 force = reply.normal * t.n;
    s.slip[i] = s.tangential[i] = s.loss_friction[i] = 0;
    if (k_u >= 0) {
      const double slip = tangent.dot(apart);
      NormalLoad press{std::max(0.0, reply.reversible), t.depth}, rate{reply.rate_reversible, ddot};
      if (c.mu_varies()) {
        // mu enters only as mu N: a factor that changes along the surface is a press that changes.
        const double factor = c.mu_factor(t.s_b), rate_factor = c.mu_slope(t.s_b) * t.rate_s_b;
        rate = {factor * rate.force + rate_factor * press.force,
                factor * rate.depth + rate_factor * press.depth};
        press = {factor * press.force, factor * press.depth};
      }
      const double borne =
          reply.reversible > reply.normal && reply.reversible > 0 ? reply.normal / reply.reversible : 1.0;
      const DryFriction::Response f = c.friction.calc(press, rate, slip, x[k_u], borne);
      dxdt[k_u] = f.rate_u;
      s.slip[i] = slip;
      s.tangential[i] = f.force;
      s.loss_friction[i] = f.loss;
      audit[1 + ng + group_of_[i]] += f.loss;
      force -= f.force * tangent;
    }
    if (c.replaces_joint_of != kGround)
      s.joint_load[c.replaces_joint_of] += c.replaces_joint_of == c.body_b ? force : -force;
    if (c.body_b != kGround) {
      s.body_force[c.body_b] += force;
      s.body_moment[c.body_b] += base::cross(t.p - b.o, force);
    }
    if (c.body_a != kGround) {
      s.body_force[c.body_a] -= force;
      s.body_moment[c.body_a] -= base::cross(t.p - a.o, force);
    }
  }
}

void Mechanism::put_prescribed(const Applied& applied, double* q, double* v) const {
  const int k = applied.prescribed;
  if (k < 0) return;
  if (applied.lift < 0) {
    q[k] = applied.q;
    v[k] = applied.v;
    return;
  }
  q[k] = angle_for_travel(applied.r, applied.q + q[applied.lift]);
  v[k] = (applied.v + v[applied.lift]) / point_travel_slope(applied.r, q[k]);
}

void Mechanism::calc_rates(const double* x, double* dxdt, const Applied& applied, Scratch& s) const {
  const int nq = n();
  for (int i = 0; i < nq; ++i) {
    s.q[i] = x[at_q(i)];
    s.v[i] = x[at_v(i)];
  }
  put_prescribed(applied, s.q.data(), s.v.data());
  s.string_state = strings.empty() || s.strings_alone ? nullptr : x + at_string_[0];
  calc_contact_points(s);
  s.string_state = nullptr;
  Vec2 cm_arm[kMaxBodies];
  for (int i = 0; i < nq; ++i) {
    const Body& b = tree.body(i);
    cm_arm[i] = s.poses[i].turn(b.p_cm);
    s.body_force[i] = b.mass * gravity;
    s.body_moment[i] = base::cross(cm_arm[i], s.body_force[i]);
    s.rhs[i] = 0;
    s.joint_load[i].setZero();
  }
  double* audit = dxdt + at_audit_;
  const int ng = static_cast<int>(groups_.size()), np = static_cast<int>(pivots.size());
  std::fill(audit, audit + 1 + audit_names_.size(), 0.0);

  calc_contact_forces(x, dxdt, s);
  add_spring_forces(s.q, s.rhs);
  for (int i = 0; i < np; ++i) {
    const Pivot& p = pivots[i];
    const int own = tree.angle_coordinate(p.body), base = tree.angle_coordinate(tree.body(p.body).parent);
    const double omega = s.v[own] - (base >= 0 ? s.v[base] : 0.0);
    p.friction.begin(x[at_pivot_reaction(i)], omega, x[at_pivot_u(i)], s.pivot_reply[i]);
    s.pivot_torque[i] = s.pivot_reply[i].torque;
    add_torque(tree.body(p.body).parent, p.body, -s.pivot_torque[i], s.rhs);
  }
  s.input_power = 0;
  const PointLoad& load = applied.load;
  if (load.body != kGround) {
    const Vec2 arm = s.poses[load.body].turn(load.r);
    s.body_force[load.body] += load.force;
    s.body_moment[load.body] += base::cross(arm, load.force);
    s.input_power = load.force.dot(s.poses[load.body].v_o + s.poses[load.body].omega * perp(arm));
  }

  // Forces less what the motion itself takes, handed inwards.
  Vec2 force[kMaxBodies];
  double moment[kMaxBodies];
  for (int i = 0; i < nq; ++i) {
    const Pose& p = s.poses[i];
    const Vec2 inertial = tree.body(i).mass * (p.a_bias - p.omega * p.omega * cm_arm[i]);
    force[i] = s.body_force[i] - inertial;
    moment[i] = s.body_moment[i] - base::cross(cm_arm[i], inertial);
  }
  const std::vector<int>& order = tree.order();
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    const int i = *it;
    const Body& b = tree.body(i);
    const int owner = tree.angle_coordinate(i);
    if (owner >= 0) s.rhs[owner] += moment[i];
    if (b.joint == Joint::kSlide) s.rhs[i] += s.poses[i].dir.dot(force[i]);
    if (b.parent == kGround) continue;
    force[b.parent] += force[i];
    moment[b.parent] += base::cross(s.poses[i].o - s.poses[b.parent].o, force[i]);
  }
  tree.calc_mass(s.poses, s.mass);
  solve_mass(s.mass, s.rhs, s.qddot);
  if (applied.prescribed >= 0) {
    // M qddot = rhs + e lambda with qddot_k given.
    VecQ e = VecQ::Zero(nq), column = e;
    double wanted = applied.a;
    e[applied.prescribed] = 1.0;
    if (applied.lift >= 0) {  // the point's travel: slope (angle)'' + curvature (angle')^2 - (lift)''
      const double angle = s.q[applied.prescribed], omega = s.v[applied.prescribed];
      e[applied.prescribed] = point_travel_slope(applied.r, angle);
      e[applied.lift] = -1.0;
      wanted -= point_travel_curvature(applied.r, angle) * omega * omega;
    }
    solve_mass(s.mass, e, column);
    s.prescribed_force = (wanted - e.dot(s.qddot)) / e.dot(column);
    s.qddot += s.prescribed_force * column;
    s.input_power += s.prescribed_force * applied.v;
  }
  for (int i = 0; i < nq; ++i) {
    dxdt[at_q(i)] = s.v[i];
    dxdt[at_v(i)] = s.qddot[i];
  }
  // Joint reactions from the leaves inwards, then the pivots' lag and losses.
  Vec2 from_motion[kMaxBodies];  // acceleration of the origin beyond a_bias
  for (const int i : order) {
    const Body& b = tree.body(i);
    from_motion[i] = Vec2::Zero();
    if (b.parent != kGround) {
      const int base = tree.angle_coordinate(b.parent);
      from_motion[i] = from_motion[b.parent];
      if (base >= 0) from_motion[i] += s.qddot[base] * perp(s.poses[i].o - s.poses[b.parent].o);
    }
    if (b.joint == Joint::kSlide) from_motion[i] += s.qddot[i] * s.poses[i].dir;
    const int owner = tree.angle_coordinate(i);
    const double turn = owner >= 0 ? s.qddot[owner] : 0.0;
    s.reaction[i] = b.mass * (from_motion[i] + turn * perp(cm_arm[i])) - force[i];
  }
  // `force` has what hangs on the body in it already, so its own share of mass times acceleration is still to
  // be handed inwards.
  for (auto it = order.rbegin(); it != order.rend(); ++it) {
    const int parent = tree.body(*it).parent;
    if (parent != kGround) s.reaction[parent] += s.reaction[*it] + force[*it];
  }
  for (int i = 0; i < np; ++i) {
    const Pivot& p = pivots[i];
    const double r = (s.reaction[p.body] + s.joint_load[p.body]).norm();
    PivotFriction::Response& f = s.pivot_reply[i];
    p.friction.finish(r, x[at_pivot_reaction(i)], x[at_pivot_u(i)], f);
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
  s.string_state = strings.empty() ? nullptr : x + at_string_[0];
  calc_geometry(s);
  s.string_state = nullptr;
  double e = tree.kinetic_energy(s.poses) + tree.gravity_energy(s.poses, gravity) + spring_energy(s.q);
  for (std::size_t i = 0; i < contacts.size(); ++i) {
    const Contact& c = *contacts[i];
    const double d = s.contact_points[i].depth, d0 = x[at_d0(static_cast<int>(i))];
    e += c.cloth.stored(d, d0);
    if (d > 0 && at_u_[i] >= 0)
      e += c.friction.stored(c.press(s.contact_points[i], c.cloth.quasi_static_force(d, d0)), x[at_u_[i]]);
  }
  for (std::size_t k = 0; k < strings.size(); ++k) e += strings[k].string.energy(x + at_string_[k]);
  for (std::size_t i = 0; i < pivots.size(); ++i)
    e += pivots[i].friction.stored(x[at_pivot_reaction(static_cast<int>(i))],
                                   x[at_pivot_u(static_cast<int>(i))]);
  return e;
}

}  // namespace leverwright::planar
