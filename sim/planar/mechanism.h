// A planar mechanism: tree + contacts + pivots + springs, and its equations of motion in state-space form.
//
// State vector x (all SI):
//   q[n], v[n] | d0 per contact | u per rubbing contact | u, R_f per pivot | audit integrals |
//   strings (modal_string.h)
// Equations:  M(q) vdot = gravity - bias + sum_c (-N_c J_d,c - T_c J_t,c) + pivots + springs + applied loads
// where J_d, J_t give depth rate and slip velocity: ddot = J_d v, slip = J_t v. calc_rates never forms the
// rows: with n out of a into b and t = -perp(n) the surfaces' velocities at the contact point give
//   ddot = n.(v_a - v_b),   slip = t.(v_b - v_a),
// b bears the force N n - T t and a its opposite, and the forces and moments of all bodies are handed inwards
// along the tree once. M is block-diagonal by trees and solved block by block. Contacts that stand in for a
// joint (a key that rests on its punching and not on the pin) count with that joint's force when a pivot's
// load-dependent friction is found.
// Audit integrals [J]: work put in by loads; then one loss per row of `audit_names()`, each integrated from
// its own force times its own speed. Nothing is a remainder.
#pragma once
#include <memory>
#include <string>
#include <vector>

#include "sim/planar/contact.h"
#include "sim/planar/modal_string.h"

namespace leverwright::planar {

struct Pivot {
  std::string name;
  int body = 0;  // the joint of this body to its parent
  PivotFriction friction;
};

// A string behind the face of a contact whose face is on the ground: the face gives way against its normal by
// the string's displacement y, so depth = (depth of the rigid face) - y and the normal force pushes the
// string. In statics the string is at rest and rigid.
struct StringBehind {
  std::string name;
  int contact = 0;
  ModalString string;
};

// A force on a point fixed on a body, W components.
struct PointLoad {
  int body = kGround;
  Vec2 r = Vec2::Zero();      // body frame [m]
  Vec2 force = Vec2::Zero();  // [N]
};

// What drives the mechanism at one instant.
struct Applied {
  PointLoad load;              // body kGround: none
  int prescribed = -1;         // coordinate whose motion is given, or -1
  double q = 0, v = 0, a = 0;  // its value, speed, acceleration
  // Where the joint of the prescribed body can itself move up along a slide (coordinate `lift`, upwards along
  // W's y), a point of the body is led instead: q, v, a are then the downward travel of the point r (body
  // frame), travel(angle) - lift (point_travel.h), its rate and its second derivative, and prescribed_force
  // is the force at the point, downwards [N].
  int lift = -1;
  Vec2 r = Vec2::Zero();
};

class Mechanism;

// Work space and results of one evaluation; sized once.
struct Scratch {
  explicit Scratch(const Mechanism& model);
  VecQ q, v, qddot, rhs;
  MatQ mass;
  std::vector<Pose> poses;
  std::vector<ContactPoint> contact_points;
  std::vector<VecQ> J_d, J_t;                          // by calc_geometry, where contact_points[i].depth > 0
  std::vector<double> depth_rate, slip;                // [m/s]
  std::vector<double> normal, reversible, tangential;  // [N]
  std::vector<double> loss_normal, loss_friction;      // [W]
  std::vector<double> pivot_torque, pivot_reaction, pivot_loss_dry, pivot_loss_viscous;
  std::vector<PivotFriction::Response> pivot_reply;
  std::vector<Vec2> body_force;     // contact and load forces plus gravity, per body [N]
  std::vector<double> body_moment;  // their moment about the body's origin [N m]
  std::vector<Vec2> reaction;       // joint force on the body from its parent [N]
  std::vector<Vec2>
      joint_load;  // force on it of contacts that stand in for its joint (Contact::replaces_joint_of)
  std::vector<ModalString::RotatingAmplitudes> strings;
  const double* string_state = nullptr;  // while a state is looked at; null: strings rest
  bool strings_alone = false;            // nothing is near: calc_rates leaves their part of the state out
  double input_power = 0;                // of load or prescribed motion [W]
  double prescribed_force = 0;           // generalised force that enforces the prescribed coordinate
};

class Mechanism {
 public:
  BodyTree tree;
  std::vector<std::unique_ptr<Contact>> contacts;
  std::vector<Pivot> pivots;
  std::vector<TorsionSpring> springs;
  std::vector<StringBehind> strings;
  Vec2 gravity = Vec2(0, -9.80665);

  // Call once when everything has been added.
  void finish();

  int n() const { return tree.size(); }
  int state_size() const { return size_; }
  int at_q(int i) const { return i; }
  int at_v(int i) const { return n() + i; }
  int at_d0(int contact) const { return at_d0_ + contact; }
  int at_u(int contact) const { return at_u_[contact]; }  // -1 when the contact does not rub
  int at_pivot_u(int pivot) const { return at_pivot_ + 2 * pivot; }
  int at_pivot_reaction(int pivot) const { return at_pivot_ + 2 * pivot + 1; }
  int at_string(int string) const { return at_string_[static_cast<std::size_t>(string)]; }
  int at_audit() const { return at_audit_; }  // work in; then losses in the order of audit_names()
  int end_of_audit() const { return at_audit_ + 1 + static_cast<int>(audit_names_.size()); }
  const std::vector<std::string>& audit_names() const { return audit_names_; }
  const std::vector<std::string>& groups() const { return groups_; }
  int group_of(int contact) const { return group_of_[contact]; }
  int find_contact(const std::string& name) const;  // -1 when absent
  int find_pivot(const std::string& name) const;

  // Poses and touches (Contact::find) from q, v already in `s`.
  void calc_contact_points(Scratch& s) const;
  // The same with q, v and strings of a state x.
  void calc_contact_points(const double* x, Scratch& s) const;
  // The same and the rows J_d, J_t of the closed contacts.
  void calc_geometry(Scratch& s) const;
  // Rows J_d, J_t of one closed contact, from poses and touches already in `s`.
  void calc_rows(int contact, Scratch& s) const;
  // dx/dt. x and dxdt have state_size() entries.
  void calc_rates(const double* x, double* dxdt, const Applied& applied, Scratch& s) const;
  // Value and speed of the prescribed coordinate into q and v (n entries each); nothing when none is.
  void put_prescribed(const Applied& applied, double* q, double* v) const;

  // Puts the displacement of strings that are near a body in line with their modes.
  void settle_strings(double* x, Scratch& s) const;
  static constexpr double kNearString = 3e-3;      // [m] beyond its reach: nothing gets there within a step
  double reach_of_strings(const double* x) const;  // of the one that swings furthest [m]
  // Strings that are left alone swing on for `time`; their losses go into the audit of x.
  void swing_on(double* x, double time, Scratch& s) const;

  // kinetic + gravity + springs + cloth + bristles + strings
  double stored_energy(const double* x, Scratch& s) const;
  double kinetic_energy(const double* x, Scratch& s) const;
  double spring_energy(const VecQ& q) const;
  void add_spring_forces(const VecQ& q, VecQ& generalised) const;
  void add_torque(int body_a, int body_b, double torque_on_b, VecQ& generalised) const;

 private:
  int size_ = 0, at_d0_ = 0, at_pivot_ = 0, at_audit_ = 0;
  std::vector<std::vector<int>> blocks_;  // bodies of each tree
  void yield(Scratch& s) const;           // depths of the contacts with a string behind them
  void calc_contact_forces(const double* x, double* dxdt, Scratch& s) const;
  void solve_mass(const MatQ& mass, const VecQ& rhs, VecQ& out) const;
  std::vector<int> at_u_, group_of_, at_string_, string_of_;
  std::vector<std::string> audit_names_, groups_;
};

}  // namespace leverwright::planar
