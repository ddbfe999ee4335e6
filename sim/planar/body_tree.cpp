#include "sim/planar/body_tree.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace leverwright::planar {

int BodyTree::add(const Body& body) {
  assert(size() < kMaxBodies);
  assert(body.parent < size());
  bodies_.push_back(body);
  arrange();
  return size() - 1;
}

void BodyTree::reparent(int body, int parent, const Vec2& p_joint) {
  bodies_[body].parent = parent;
  bodies_[body].p_joint = p_joint;
  arrange();
}

void BodyTree::arrange() {
  order_.clear();
  angle_owner_.assign(bodies_.size(), -1);
  std::vector<bool> placed(bodies_.size(), false);
  while (order_.size() < bodies_.size()) {
    const std::size_t before = order_.size();
    for (int i = 0; i < size(); ++i) {
      const int parent = bodies_[i].parent;
      if (placed[i] || (parent != kGround && !placed[parent])) continue;
      placed[i] = true;
      order_.push_back(i);
      angle_owner_[i] = bodies_[i].joint == Joint::kRevolute ? i : angle_coordinate(parent);
    }
    assert(order_.size() > before);  // else a body hangs on itself
    if (order_.size() == before) return;
  }
}

int BodyTree::find(const std::string& name) const {
  for (int i = 0; i < size(); ++i)
    if (bodies_[i].name == name) return i;
  return -1;
}

const std::string& BodyTree::name(int i) const {
  static const std::string ground = "ground";
  return i == kGround ? ground : bodies_[i].name;
}

void BodyTree::calc_poses(const VecQ& q, const VecQ& v, std::vector<Pose>& poses) const {
  assert(static_cast<int>(poses.size()) == size() + 1);
  poses.back() = Pose{};
  for (const int i : order_) {
    const Body& b = bodies_[i];
    const Pose& a = pose(poses, b.parent);
    Pose& p = poses[i];
    if (b.joint == Joint::kRevolute) {
      const Vec2 arm = a.turn(b.p_joint);
      p.o = a.o + arm;
      p.v_o = a.v_o + a.omega * perp(arm);
      p.a_bias = a.a_bias - a.omega * a.omega * arm;
      const double angle = q[i];
      p.angle = angle;
      p.omega = v[i];
      p.c = std::cos(angle);
      p.s = std::sin(angle);
    } else {
      p.dir = a.turn(b.slide_direction);
      const Vec2 arm = a.turn(b.p_joint) + q[i] * p.dir;
      p.o = a.o + arm;
      p.v_o = a.v_o + a.omega * perp(arm) + v[i] * p.dir;
      p.a_bias = a.a_bias - a.omega * a.omega * arm + 2.0 * a.omega * v[i] * perp(p.dir);
      p.angle = a.angle;
      p.omega = a.omega;
      p.c = a.c;
      p.s = a.s;
    }
  }
}

void BodyTree::add_velocity_row(const std::vector<Pose>& poses, int body, const Vec2& p_W,
                                const Vec2& direction, double scale, VecQ& row) const {
  Vec2 p = p_W;
  for (int i = body; i != kGround; i = bodies_[i].parent) {
    const Pose& pose_i = poses[i];
    // The body turns with its angle owner about its own origin; the rest of the chain is seen from there.
    const int owner = angle_owner_[i];
    if (owner >= 0) row[owner] += scale * direction.dot(perp(p - pose_i.o));
    if (bodies_[i].joint == Joint::kSlide) row[i] += scale * direction.dot(pose_i.dir);
    p = pose_i.o;
  }
}

Vec2 BodyTree::point_velocity(const std::vector<Pose>& poses, int body, const Vec2& p_W) const {
  const Pose& b = pose(poses, body);
  return b.v_o + b.omega * perp(p_W - b.o);
}

namespace {
// The velocity of a point p fixed on a body is sum column_k qdot_index_k along the chain to the ground.
struct ChainColumns {
  ChainColumns(const BodyTree& tree, const std::vector<Pose>& poses, int body, Vec2 p) {
    for (int k = body; k != kGround; k = tree.body(k).parent) {
      const int owner = tree.angle_coordinate(k);
      if (owner >= 0) {
        index[count] = owner;
        column[count++] = perp(p - poses[k].o);
      }
      if (tree.body(k).joint == Joint::kSlide) {
        index[count] = k;
        column[count++] = poses[k].dir;
      }
      p = poses[k].o;
    }
  }
  int count = 0;
  int index[2 * kMaxBodies];
  Vec2 column[2 * kMaxBodies];
};
}  // namespace

void BodyTree::calc_inertia(const std::vector<Pose>& poses, const Vec2& gravity, MatQ& mass,
                            VecQ& gravity_minus_bias) const {
  const int n = size();
  mass.setZero(n, n);
  gravity_minus_bias.setZero(n);
  for (int i = 0; i < n; ++i) {
    const Body& b = bodies_[i];
    const int own = angle_owner_[i];
    if (own >= 0) mass(own, own) += b.inertia_cm;
    if (b.mass == 0) continue;
    const Pose& pose_i = poses[i];
    const Vec2 cm = pose_i.to_W(b.p_cm);
    const Vec2 a_bias = pose_i.a_bias - pose_i.omega * pose_i.omega * (cm - pose_i.o);
    const Vec2 force = b.mass * (gravity - a_bias);
    const ChainColumns chain(*this, poses, i, cm);
    for (int a = 0; a < chain.count; ++a) {
      gravity_minus_bias[chain.index[a]] += chain.column[a].dot(force);
      for (int c = 0; c < chain.count; ++c)
        mass(chain.index[a], chain.index[c]) += b.mass * chain.column[a].dot(chain.column[c]);
    }
  }
}

// What a body that turns brings to its own entry is constant; what it brings to those it hangs on goes along
// the chain.
void BodyTree::calc_mass(const std::vector<Pose>& poses, MatQ& mass) const {
  const int n = size();
  mass.setZero(n, n);
  for (int i = 0; i < n; ++i) {
    const Body& b = bodies_[i];
    const int own = angle_owner_[i];
    if (own >= 0) mass(own, own) += b.inertia_cm;
    if (b.mass == 0) continue;
    const auto add = [&](const ChainColumns& chain) {
      for (int a = 0; a < chain.count; ++a)
        for (int c = 0; c < chain.count; ++c)
          if (chain.index[a] >= chain.index[c])
            mass(chain.index[a], chain.index[c]) += b.mass * chain.column[a].dot(chain.column[c]);
    };
    if (own != i) {  // a slide
      add(ChainColumns(*this, poses, i, poses[i].to_W(b.p_cm)));
      continue;
    }
    mass(i, i) += b.mass * b.p_cm.squaredNorm();
    if (b.parent == kGround) continue;
    const Vec2 across = perp(poses[i].turn(b.p_cm));
    const ChainColumns chain(*this, poses, b.parent, poses[i].o);
    for (int a = 0; a < chain.count; ++a) {
      const int k = chain.index[a];
      mass(std::max(i, k), std::min(i, k)) += b.mass * across.dot(chain.column[a]);
    }
    add(chain);
  }
}

Vec2 BodyTree::cm_acceleration(const std::vector<Pose>& poses, int i, const VecQ& qddot) const {
  const Pose& pose_i = poses[i];
  const Vec2 cm = pose_i.to_W(bodies_[i].p_cm);
  Vec2 a = pose_i.a_bias - pose_i.omega * pose_i.omega * (cm - pose_i.o);
  Vec2 p = cm;
  for (int k = i; k != kGround; k = bodies_[k].parent) {
    const int owner = angle_owner_[k];
    if (owner >= 0) a += qddot[owner] * perp(p - poses[k].o);
    if (bodies_[k].joint == Joint::kSlide) a += qddot[k] * poses[k].dir;
    p = poses[k].o;
  }
  return a;
}

double BodyTree::kinetic_energy(const std::vector<Pose>& poses) const {
  double e = 0;
  for (int i = 0; i < size(); ++i) {
    const Body& b = bodies_[i];
    const Vec2 v = point_velocity(poses, i, poses[i].to_W(b.p_cm));
    e += 0.5 * (b.mass * v.squaredNorm() + b.inertia_cm * poses[i].omega * poses[i].omega);
  }
  return e;
}

double BodyTree::gravity_energy(const std::vector<Pose>& poses, const Vec2& gravity) const {
  double e = 0;
  for (int i = 0; i < size(); ++i) e -= bodies_[i].mass * gravity.dot(poses[i].to_W(bodies_[i].p_cm));
  return e;
}

}  // namespace leverwright::planar
