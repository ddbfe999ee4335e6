#include "models/action/shank.h"

#include <cmath>

#include "sim/base/error.h"

namespace leverwright::action {

Hinges find_hinges(double a, double b, double bending) {
  std::array<double, 4> mu;
  for (int k = 0; k < 4; ++k)
    mu[static_cast<std::size_t>(k)] = (std::pow(a, k + 1) / (k + 1) + b / 3 * std::pow(a, k)) / bending;
  const double det = mu[1] * mu[1] - mu[0] * mu[2];
  const double sum = (mu[1] * mu[2] - mu[0] * mu[3]) / det, product = (mu[2] * mu[2] - mu[1] * mu[3]) / det;
  const double root = std::sqrt(sum * sum - 4 * product);
  Hinges h;
  h.from_head = {0.5 * (sum + root), 0.5 * (sum - root)};
  const double apart = h.from_head[0] - h.from_head[1];
  h.flexibility = {(mu[1] - mu[0] * h.from_head[1]) / apart, (mu[0] * h.from_head[0] - mu[1]) / apart};
  return h;
}

HammerPieces cut_hammer(const ActionDesign& d) {
  const ShankData& shank = d.options.shank;
  const double end = d.hammer_length - shank.head_half_width;  // where the shank enters the head
  const Hinges h = find_hinges(end - d.hanging_distance, d.hanging_distance, shank.bending);
  HammerPieces out;
  const double x1 = end - h.from_head[0], x2 = end - h.from_head[1];
  out.origin = {Vec2(0, 0), Vec2(x1, 0), Vec2(x2, 0)};
  const auto rod = [&](double from, double to) {
    const double mass = shank.mass * (to - from) / end, length = to - from;
    return BodyMass{mass, Vec2(0.5 * (from + to), 0), mass * length * length / 12};
  };
  out.mass[0] = rod(0, x1);
  out.mass[1] = rod(x1, x2);
  // The rest is the head, with the last piece of the rod in it.
  const BodyMass& whole = d.masses[4];
  BodyMass& head = out.mass[2];
  head.mass = whole.mass - out.mass[0].mass - out.mass[1].mass;
  const Vec2 moment =
      whole.mass * whole.p_cm - out.mass[0].mass * out.mass[0].p_cm - out.mass[1].mass * out.mass[1].p_cm;
  head.p_cm = moment / head.mass;
  head.inertia_cm = whole.inertia_cm + whole.mass * whole.p_cm.squaredNorm();
  for (int i = 0; i < 2; ++i) {
    const BodyMass& m = out.mass[static_cast<std::size_t>(i)];
    head.inertia_cm -= m.inertia_cm + m.mass * m.p_cm.squaredNorm();
  }
  head.inertia_cm -= head.mass * head.p_cm.squaredNorm();
  if (!(head.mass > 0) || !(head.inertia_cm > 0))
    throw base::UserError("the shank is too heavy for this hammer: nothing is left for the head",
                          "a smaller [shank] mass, or shank_bending = \"off\" under [options]");
  for (std::size_t i = 0; i < 3; ++i) out.mass[i].p_cm -= out.origin[i];
  for (std::size_t i = 0; i < 2; ++i) {
    out.stiffness[i] = 1 / h.flexibility[i];
    out.viscous[i] = shank.loss_time * out.stiffness[i];
  }
  return out;
}

}  // namespace leverwright::action
