// A train of three levers with curved, cloth-covered contacts off the lines of centres: a key, a lever it
// lifts by a cap under a profile, and a loaded arm lifted by a cap under a circle. Invented numbers, near
// those of an action.
#pragma once
#include <cmath>
#include <memory>
#include <vector>

#include "sim/run/statics.h"

namespace leverwright::analysis {

using planar::Body;
using planar::Cap;
using planar::Cloth;
using planar::DryFriction;
using planar::kGround;
using planar::PivotFriction;

struct TrainOptions {
  double stiffness = 1;    // factor on every cloth; its root on bristles and bushings
  double friction = 0.25;  // mu of both contacts
  double hysteresis = 0.15;
  double pivot = 3e-4;  // Coulomb torque of each pivot [N m]
  bool rough = false;   // friction varies along the profile
};

struct Train {
  planar::Mechanism mechanism;
  run::TravelPoint point{0, base::Vec2(-0.246, 0.024)};
};

inline void add_lever(planar::Mechanism& m, const char* name, const base::Vec2& at, double mass,
                      const base::Vec2& cm) {
  Body b;
  b.name = name;
  b.p_joint = at;
  b.mass = mass;
  b.p_cm = cm;
  b.inertia_cm = 1e-5;
  m.tree.add(b);
}

inline Train make_train(const TrainOptions& o) {
  Train t;
  planar::Mechanism& m = t.mechanism;
  add_lever(m, "key", base::Vec2(0, 0), 0.11, base::Vec2(-0.018, 0.012));
  add_lever(m, "lever", base::Vec2(0.187, 0.071), 0.018, base::Vec2(-0.05, -0.005));
  add_lever(m, "arm", base::Vec2(0.075, 0.126), 0.011, base::Vec2(0.105, 0.012));

  std::vector<double> heights;
  for (int k = 0; k <= 60; ++k) {
    const double x = -0.0665 + 0.25e-3 * (k - 30);
    heights.push_back(0.026 - 12.0 * (x + 0.0655) * (x + 0.0655) + 0.03e-3 * std::sin(900 * x));
  }
  const planar::Profile profile(base::Vec2(0, 0), base::Vec2(1, 0), false, -0.0665 - 7.5e-3, 0.25e-3,
                                heights);
  planar::MuTable rough;
  if (o.rough) rough = {{-0.069, -0.0663, -0.0655, -0.063}, {1.0, 2.2, 0.8, 1.0}};
  const Cap cap(base::Vec2(0.1215, 0.0455), base::Vec2(0.03, 1), 0.02, 5e-3, 0.8e-3);
  m.contacts.push_back(std::make_unique<planar::CapOnProfile>("cap under lever", 0, cap, 1, profile, rough));
  const Cap top(base::Vec2(-0.0925, 0.0445), base::Vec2(-0.04, 1), 0.12, 3.5e-3, 0.8e-3);
  m.contacts.push_back(
      std::make_unique<planar::CircleOnCap>("top under circle", 1, top, 2, base::Vec2(0.017, -0.0075), 5e-3));
  const double d_ref[2] = {0.4e-3, 0.3e-3}, f_ref[2] = {5, 10};
  for (std::size_t i = 0; i < 2; ++i) {
    m.contacts[i]->cloth = Cloth(f_ref[i] * o.stiffness, d_ref[i], 2.5, o.hysteresis, 0.2);
    m.contacts[i]->friction = DryFriction(o.friction, 0.5, 2.5, 5e-6 / std::sqrt(o.stiffness), 2e-4);
  }
  const char* names[3] = {"key pin", "lever pin", "arm pin"};
  for (int i = 0; i < 3; ++i)
    m.pivots.push_back({names[i], i,
                        PivotFriction(o.pivot * (1 + 0.3 * i), o.pivot > 0 ? 2e-4 : 0.0, 1e-5,
                                      2e-3 / std::sqrt(o.stiffness))});
  m.springs.push_back({"spring", 1, 2, 0.004, 0.011});
  m.finish();
  return t;
}

struct Strokes {
  bool ok = false;
  std::vector<run::StaticSample> down, up;  // at the same travels, rising
};

// Down and up once to settle the memories, then once more with samples every `step`.
inline Strokes lead_train(const Train& t, bool dissipative, double from, double to, double step) {
  Strokes out;
  run::StaticSolver solver(t.mechanism, 0, t.point, dissipative);
  planar::VecQ q = planar::VecQ::Zero(3);
  q[1] = -0.02;
  q[2] = 0.06;
  run::StaticState state = solver.initial(q);
  const int count = static_cast<int>(std::round((to - from) / step));
  const auto go = [&](double travel, std::vector<run::StaticSample>* list) {
    if (!solver.settle(solver.driven_for(travel), state)) return false;
    if (list) list->push_back(solver.sample(solver.last_from(), state));
    return true;
  };
  for (int round = 0; round < 2; ++round) {
    std::vector<run::StaticSample>*down = round ? &out.down : nullptr, *up = round ? &out.up : nullptr;
    if (!go(from - step, nullptr)) return out;
    for (int k = 0; k <= count; ++k)
      if (!go(from + k * step, down)) return out;
    if (!go(to + step, nullptr)) return out;
    for (int k = count; k >= 0; --k)
      if (!go(from + k * step, up)) return out;
  }
  std::vector<run::StaticSample> turned(out.up.rbegin(), out.up.rend());
  out.up = std::move(turned);
  out.ok = true;
  return out;
}

}  // namespace leverwright::analysis
