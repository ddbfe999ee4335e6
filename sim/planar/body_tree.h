// Rigid bodies of the action plane, joined as a tree.
//
// Frames: W is the ground frame (x from the player towards the strings, y up, angles anticlockwise).
// Body i carries a frame with its origin at its joint. One coordinate per body:
//   revolute: q_i = theta_Wi, the absolute angle of the body frame against W [rad]
//   slide   : q_i = displacement [m] of the body origin along `slide_direction`, fixed in the parent's
//             frame; the body keeps its parent's orientation.
// Position of a point r (body frame):          p_W = o_i + R(theta_i) r
// Origin of body i on its parent a:            o_i = o_a + R(theta_a) (p_joint + q_i d)   (slide)
//                                              o_i = o_a + R(theta_a) p_joint             (revolute)
// With absolute angles the velocity of a point is a sum over the chain to the ground,
//   v = sum_k omega_k perp(arm_k) + sum_slides qdot_s d_s,
// where arm_k runs from the origin of k to the point where the chain leaves k. Mass matrix and bias follow
// from M = sum_i (m_i J_i^T J_i + I_i e e^T), bias = sum_i m_i J_i^T a_bias_i, a_bias = -omega^2 arm +
// Coriolis of slides. Source of the method: any textbook of multibody dynamics
// (e.g. [@kane1985]).
#pragma once
#include <string>
#include <vector>

#include "sim/base/vec2.h"

namespace leverwright::planar {

using base::cross;
using base::perp;
using base::Vec2;

inline constexpr int kMaxBodies = 14;  // bounds the fixed storage of a step; checked when a tree is built
inline constexpr int kGround = -1;

using VecQ = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, kMaxBodies, 1>;
using MatQ = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, kMaxBodies, kMaxBodies>;

enum class Joint { kRevolute, kSlide };

struct Body {
  std::string name;
  Joint joint = Joint::kRevolute;
  int parent = kGround;               // index of a body listed before this one, or kGround; see reparent
  Vec2 p_joint = Vec2::Zero();        // joint in the parent's frame [m]
  Vec2 slide_direction = Vec2(0, 1);  // unit, parent's frame; slides only
  double mass = 0;                    // [kg]
  Vec2 p_cm = Vec2::Zero();           // centre of mass, body frame [m]
  double inertia_cm = 0;              // about the centre of mass [kg m2]
};

// Where a body is and how it moves.
struct Pose {
  Vec2 o = Vec2::Zero();       // origin in W [m]
  double c = 1, s = 0;         // cosine and sine of the absolute angle
  double angle = 0;            // [rad]
  double omega = 0;            // [rad/s]
  Vec2 v_o = Vec2::Zero();     // velocity of the origin [m/s]
  Vec2 a_bias = Vec2::Zero();  // acceleration of the origin when all qddot are zero [m/s2]
  Vec2 dir = Vec2::Zero();     // slide direction in W

  Vec2 turn(const Vec2& r) const { return Vec2(c * r.x() - s * r.y(), s * r.x() + c * r.y()); }
  Vec2 inverse_rotate(const Vec2& r) const { return Vec2(c * r.x() + s * r.y(), -s * r.x() + c * r.y()); }
  Vec2 to_W(const Vec2& r) const { return o + turn(r); }
  Vec2 from_W(const Vec2& p) const { return inverse_rotate(p - o); }
};

class BodyTree {
 public:
  // Returns the index of the new body.
  int add(const Body& body);
  // Hangs a body on another parent, which may be listed after it (no body may hang on itself).
  void reparent(int body, int parent, const Vec2& p_joint);
  // Parents before children.
  const std::vector<int>& order() const { return order_; }
  int size() const { return static_cast<int>(bodies_.size()); }
  const Body& body(int i) const { return bodies_[i]; }
  Body& body(int i) { return bodies_[i]; }
  int find(const std::string& name) const;  // -1 when absent
  const std::string& name(int i) const;     // "ground" for kGround

  // Poses from coordinates and speeds. `poses` must have size() + 1 entries; the last one is the ground.
  void calc_poses(const VecQ& q, const VecQ& v, std::vector<Pose>& poses) const;
  static const Pose& pose(const std::vector<Pose>& poses, int body) {
    return body == kGround ? poses.back() : poses[body];
  }

  // row += scale * d/dqdot (direction . velocity of the point p_W fixed on `body`).
  void add_velocity_row(const std::vector<Pose>& poses, int body, const Vec2& p_W, const Vec2& direction,
                        double scale, VecQ& row) const;
  // Coordinate that is the absolute angle of `body`; -1 when it cannot turn.
  int angle_coordinate(int body) const { return body == kGround ? -1 : angle_owner_[body]; }

  // Velocity of a point fixed on a body [m/s].
  Vec2 point_velocity(const std::vector<Pose>& poses, int body, const Vec2& p_W) const;

  // Mass matrix and the generalised force of gravity minus the velocity-dependent inertia terms, so that
  //   M qddot = gravity_minus_bias + applied.
  void calc_inertia(const std::vector<Pose>& poses, const Vec2& gravity, MatQ& mass,
                    VecQ& gravity_minus_bias) const;
  // Mass matrix alone, lower triangle.
  void calc_mass(const std::vector<Pose>& poses, MatQ& mass) const;
  // Acceleration of the centre of mass of body i.
  Vec2 cm_acceleration(const std::vector<Pose>& poses, int i, const VecQ& qddot) const;

  double kinetic_energy(const std::vector<Pose>& poses) const;
  double gravity_energy(const std::vector<Pose>& poses, const Vec2& gravity) const;

 private:
  std::vector<Body> bodies_;
  std::vector<int> angle_owner_, order_;
  void arrange();
};

}  // namespace leverwright::planar
