// The full model and the toy (tests/support/one_mass.h) driven by the same key motion, and by the same force.
#pragma once
#include <algorithm>
#include <cmath>
#include <vector>

#include "models/playing/feel.h"
#include "tests/support/one_mass.h"

namespace leverwright::validation {

inline test_support::OneMass fit_toy(const study::SetUpResult& s) {
  test_support::OneMass toy;
  toy.mass = s.measures[study::kReflectedMass];
  double sum = 0, length = 0;
  const auto &down = s.weighing.down, &up = s.weighing.up;
  for (std::size_t k = 0; k < down.size() && k < up.size(); ++k) {
    const double y = down[k].travel;
    toy.balance.x.push_back(y);
    toy.balance.y.push_back(0.5 * (down[k].force + up[k].force));
    if (y < s.weighing.window_from || y > s.weighing.window_to || k == 0) continue;
    sum += (y - down[k - 1].travel) * 0.5 * (down[k].force - up[k].force);
    length += y - down[k - 1].travel;
  }
  toy.friction = sum / length;
  return toy;
}

// Differences of two lists against the first one's own size.
struct Misfit {
  double rms = 0, peak = 0;  // shares of the reference's rms and greatest size
};
inline Misfit compare(const std::vector<double>& reference, const std::vector<double>& other) {
  double square = 0, square_of_reference = 0, most = 0, most_of_reference = 0;
  for (std::size_t k = 0; k < reference.size(); ++k) {
    const double miss = other[k] - reference[k];
    square += miss * miss;
    square_of_reference += reference[k] * reference[k];
    most = std::max(most, std::abs(miss));
    most_of_reference = std::max(most_of_reference, std::abs(reference[k]));
  }
  return {std::sqrt(square / square_of_reference), most / most_of_reference};
}

// Key led down along a quintic ramp; compared until let-off's dip.
struct ToyComparison {
  double down_time = 0, hammer_speed = 0, peak_force = 0;
  std::vector<double> time, dip, force, toy_force, toy_dip;
  Misfit by_motion;  // force of the toy against the model's, motion given
  Misfit by_force;   // motion of the toy against the model's, the model's force given
};
inline ToyComparison compare_with_toy(const study::SetUpResult& s, const test_support::OneMass& toy,
                                      const playing::KeyMotionForce& m) {
  const double down_time = m.down_time;
  ToyComparison out;
  out.down_time = down_time;
  out.hammer_speed = m.hammer_speed;
  out.peak_force = m.peak;
  const double stroke = s.regulated.dip;
  analysis::Curve push;
  for (std::size_t k = 0; k < m.time.size() && m.dip[k] <= s.regulated.dip_let_off; ++k) {
    if (!push.x.empty() && m.time[k] <= push.x.back()) continue;
    const double x = m.time[k] / down_time;
    const double v = stroke / down_time * (30 * x * x - 60 * x * x * x + 30 * x * x * x * x);
    const double a = stroke / (down_time * down_time) * (60 * x - 180 * x * x + 120 * x * x * x);
    out.time.push_back(m.time[k]);
    out.dip.push_back(m.dip[k]);
    out.force.push_back(m.force[k]);
    out.toy_force.push_back(toy.force(m.dip[k], v, a));
    push.x.push_back(m.time[k]);
    push.y.push_back(m.force[k]);
  }
  out.toy_dip = toy.travel(out.time, [&](double t) { return analysis::interpolate(push, t); });
  out.by_motion = compare(out.force, out.toy_force);
  out.by_force = compare(out.dip, out.toy_dip);
  return out;
}

// The same toy with the mass that follows the model best when both are given the model's force: what a fit to
// force-driven runs would choose.
inline test_support::OneMass fit_mass(const study::SetUpResult& s, test_support::OneMass toy,
                                      const playing::KeyMotionForce& m) {
  const double reflected = toy.mass;
  double best = 1e9, found = reflected;
  for (double share = 0.6; share < 4; share *= 1.03) {
    toy.mass = share * reflected;
    const double rms = compare_with_toy(s, toy, m).by_force.rms;
    if (rms < best) {
      best = rms;
      found = toy.mass;
    }
  }
  toy.mass = found;
  return toy;
}

// A touch pressed by a force given to both: motion of the toy against the model's, until let-off.
struct PressedComparison {
  double hammer_speed = 0;
  Misfit misfit;
};
inline PressedComparison compare_pressed(const study::SetUpResult& s, const test_support::OneMass& toy,
                                         double hammer_speed) {
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  const study::PlayedTouch t = study::play_at_speed("", hammer_speed, s.action, rest);
  const auto& series = t.stroke.series;
  std::vector<double> time, dip;
  for (std::size_t k = 0; k < series.time.size() && series.dip[k] <= s.regulated.dip_let_off; ++k) {
    if (!time.empty() && series.time[k] <= time.back()) continue;
    time.push_back(series.time[k]);
    dip.push_back(series.dip[k]);
  }
  const auto& p = t.found.touch;
  const auto push = [&](double at) {
    const double x = std::clamp((at - p.start) / p.rise, 0.0, 1.0);
    return p.plateau * 0.5 * (1 - std::cos(3.14159265358979323846 * x));
  };
  return {t.stroke.measures.hammer_speed, compare(dip, toy.travel(time, push))};
}

}  // namespace leverwright::validation
