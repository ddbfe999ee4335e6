// Mechanisms small enough for a formula: a pendulum, a weight over a floor, a sledge on a floor. Invented
// numbers, none of them round.
#pragma once
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "sim/run/stroke.h"

namespace leverwright::run {

using planar::Body;
using planar::Cloth;
using planar::DryFriction;
using planar::Joint;
using planar::kGround;
using planar::Mechanism;
using planar::PivotFriction;
using planar::Scratch;
using planar::Vec2;

inline const Drive kNoDrive;  // a stroke keeps no copy of its drive

inline std::size_t at(int i) { return static_cast<std::size_t>(i); }

// Hangs from the origin at angle zero.
struct Pendulum {
  double mass = 0.173, length = 0.214, inertia_cm = 7.3e-4, gravity = 9.80665;
  PivotFriction pivot{0, 0, 0, 1e-3};
  double spring = 0;  // [N m/rad] towards angle zero

  double inertia() const { return inertia_cm + mass * length * length; }
  double weight_moment() const { return mass * gravity * length; }  // [N m]
  double natural() const { return std::sqrt((weight_moment() + spring) / inertia()); }

  Mechanism build() const {
    Mechanism m;
    Body b;
    b.name = "bob";
    b.mass = mass;
    b.p_cm = Vec2(0, -length);
    b.inertia_cm = inertia_cm;
    m.tree.add(b);
    m.gravity = Vec2(0, -gravity);
    m.pivots.push_back({"hook", 0, pivot});
    if (spring > 0) m.springs.push_back({"coil", kGround, 0, 0.0, spring});
    m.finish();
    return m;
  }
};

// A weight that slides up and down over a floor of cloth at height zero; its coordinate is its height.
struct Weight {
  double mass = 0.0473, gravity = 9.80665;
  Cloth floor{20, 1.1e-3, 2.5, 0.0, 0.0};

  Mechanism build() const {
    Mechanism m;
    Body b;
    b.name = "weight";
    b.joint = Joint::kSlide;
    b.slide_direction = Vec2(0, 1);
    b.mass = mass;
    m.tree.add(b);
    m.gravity = Vec2(0, -gravity);
    auto c =
        std::make_unique<planar::TipOnLine>("floor", kGround, Vec2(0, 0), Vec2(0, 1), 0, Vec2(0, 4e-3), 4e-3);
    c->cloth = floor;
    m.contacts.push_back(std::move(c));
    m.finish();
    return m;
  }
};

// A sledge: coordinate 0 along the floor, coordinate 1 its height; the mass is in the second.
struct Sledge {
  double mass = 0.211, gravity = 9.80665;
  Cloth floor{20, 1.1e-3, 2.5, 0.0, 0.0};
  DryFriction rub{0.27, 1.9, 2.5, 4e-6, 0.0};

  Mechanism build() const {
    Mechanism m;
    Body along;
    along.name = "runner";
    along.joint = Joint::kSlide;
    along.slide_direction = Vec2(1, 0);
    along.mass = 1e-3;
    m.tree.add(along);
    Body up = along;
    up.name = "load";
    up.parent = 0;
    up.slide_direction = Vec2(0, 1);
    up.mass = mass;
    m.tree.add(up);
    m.gravity = Vec2(0, -gravity);
    auto c =
        std::make_unique<planar::TipOnLine>("floor", kGround, Vec2(0, 0), Vec2(0, 1), 1, Vec2(0, 4e-3), 4e-3);
    c->cloth = floor;
    c->friction = rub;
    m.contacts.push_back(std::move(c));
    m.finish();
    return m;
  }
  double moving_mass() const { return mass + 1e-3; }
  double normal() const { return mass * gravity; }
  double rest_height() const { return -floor.compression(normal()); }
};

inline std::vector<double> still(const Mechanism& m) { return std::vector<double>(at(m.state_size()), 0.0); }

// Steps of one length: no error counts.
inline StrokeOptions fixed_steps(double h) {
  StrokeOptions o;
  o.tolerance = 1e15;
  o.longest_step = h;
  o.output_interval = 0;
  return o;
}

inline StrokeOptions without_samples(double tolerance = 1.0) {
  StrokeOptions o;
  o.tolerance = tolerance;
  o.longest_step = 2e-4;
  o.output_interval = 0;
  return o;
}

// A stroke that is finer than an action asks for: what is left of the difference from a closed form is the
// law's.
struct FineStroke : Stroke {
  FineStroke(const Mechanism& m, const Drive& drive, const StrokeOptions& options)
      : Stroke(m, drive, options, {2.5e-14, 1e-4, 2e-4, 2e-7, 0.01}) {}
};

inline EventFunction crossing(std::string name, Crossing kind, bool once,
                              std::function<double(double, const double*)> value) {
  return {std::move(name),
          [value = std::move(value)](double t, const double* x, const Scratch&) { return value(t, x); }, kind,
          once, false};
}

// Times of the caller's events, in order.
inline std::vector<double> times_of(const MemoryRecorder& r, const std::string& name) {
  std::vector<double> out;
  for (const auto& e : r.events)
    if (e.name == name) out.push_back(e.t);
  return out;
}

}  // namespace leverwright::run
