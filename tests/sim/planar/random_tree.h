// Trees of revolute and slide joints drawn at random, and their positions found a second time with complex
// numbers.
#pragma once
#include <complex>
#include <random>
#include <vector>

#include "sim/planar/body_tree.h"
#include "sim/planar/cloth.h"

namespace leverwright::planar {

class Draw {
 public:
  explicit Draw(unsigned seed) : engine_(seed) {}
  double in(double lo, double hi) { return std::uniform_real_distribution<double>(lo, hi)(engine_); }
  int whole(int lo, int hi) { return std::uniform_int_distribution<int>(lo, hi)(engine_); }
  Vec2 vector(double reach) { return Vec2(in(-reach, reach), in(-reach, reach)); }
  VecQ coordinates(int n, double reach) {
    VecQ out(n);
    for (int i = 0; i < n; ++i) out[i] = in(-reach, reach);
    return out;
  }

 private:
  std::mt19937 engine_;
};

// A memory that the cloth can have at compression d, off the ends of its range.
inline double random_memory(Draw& draw, const Cloth& cloth, double d) {
  const double least = cloth.step_memory(d, 0), most = cloth.step_memory(d, 1e9);
  return least + draw.in(0.15, 0.85) * (most - least);
}

inline BodyTree random_tree(Draw& draw, int bodies) {
  BodyTree tree;
  for (int i = 0; i < bodies; ++i) {
    Body b;
    b.name = "body " + std::to_string(i);
    b.joint = draw.in(0, 1) < 0.35 ? Joint::kSlide : Joint::kRevolute;
    b.parent = draw.whole(-1, i - 1);
    b.p_joint = draw.vector(0.4);
    b.slide_direction = draw.vector(1).normalized();
    b.mass = draw.in(0.1, 2);
    b.p_cm = draw.vector(0.3);
    b.inertia_cm = draw.in(0.001, 0.05);
    tree.add(b);
  }
  return tree;
}

// Origin and direction (e^{i angle}) of every body from the definition, without any code of BodyTree.
struct ComplexPose {
  std::complex<double> origin{0, 0}, turn{1, 0};
  double angle = 0;
};

inline std::complex<double> as_complex(const Vec2& v) { return {v.x(), v.y()}; }

inline std::vector<ComplexPose> complex_poses(const BodyTree& tree, const Eigen::VectorXd& q) {
  std::vector<ComplexPose> out(static_cast<std::size_t>(tree.size()));
  for (int i = 0; i < tree.size(); ++i) {
    const Body& b = tree.body(i);
    const ComplexPose a = b.parent == kGround ? ComplexPose{} : out[static_cast<std::size_t>(b.parent)];
    ComplexPose& p = out[static_cast<std::size_t>(i)];
    p.origin = a.origin + a.turn * as_complex(b.p_joint);
    p.angle = a.angle;
    if (b.joint == Joint::kSlide)
      p.origin += a.turn * q[i] * as_complex(b.slide_direction);
    else
      p.angle = q[i];
    p.turn = std::polar(1.0, p.angle);
  }
  return out;
}

}  // namespace leverwright::planar
