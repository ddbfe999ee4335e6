// The toy: a whole action as one mass on a slow force curve with one friction.
//   m y'' = F - S(y) - f sign(y')      moving;     at rest it sticks while |F - S(y)| <= f
// y: travel of the playing point, downwards; S: mean of the slow forces down and up; f: half their
// difference, one number. Fitted to nothing that moves: m is the reflected mass at half stroke.
#pragma once
#include <cmath>
#include <functional>
#include <vector>

#include "sim/analysis/curves.h"

namespace leverwright::test_support {

struct OneMass {
  double mass = 0;          // [kg]
  analysis::Curve balance;  // S over y [m, N]
  double friction = 0;      // [N]

  double force(double y, double speed, double acceleration) const {
    const double sign = speed > 0 ? 1.0 : speed < 0 ? -1.0 : 0.0;
    return mass * acceleration + analysis::interpolate(balance, y) + friction * sign;
  }

  // Travel at the times asked for (rising), from rest at y = start, under F(t); small steps of the classical
  // fourth-order kind, the sign of the friction held within a step, stopped where the speed changes sign.
  std::vector<double> travel(const std::vector<double>& times, const std::function<double(double)>& push,
                             double start = 0, double step = 2e-5) const {
    std::vector<double> out;
    double y = start, v = 0, t = times.empty() ? 0 : times.front();
    for (const double until : times) {
      while (t < until - 1e-12) {
        const double h = std::min(step, until - t);
        double sign = v > 0 ? 1.0 : v < 0 ? -1.0 : 0.0;
        if (v == 0) {
          const double net = push(t + 0.5 * h) - analysis::interpolate(balance, y);
          if (std::abs(net) <= friction) {
            t += h;
            continue;
          }
          sign = net > 0 ? 1.0 : -1.0;
        }
        const auto a = [&](double at, double where) {
          return (push(at) - analysis::interpolate(balance, where) - friction * sign) / mass;
        };
        const double a1 = a(t, y), a2 = a(t + h / 2, y + h / 2 * v),
                     a3 = a(t + h / 2, y + h / 2 * (v + h / 2 * a1)), a4 = a(t + h, y + h * (v + h / 2 * a2));
        y += h * v + h * h / 6 * (a1 + a2 + a3);
        v += h / 6 * (a1 + 2 * a2 + 2 * a3 + a4);
        if (v * sign < 0) v = 0;
        t += h;
      }
      out.push_back(y);
    }
    return out;
  }
};

}  // namespace leverwright::test_support
