// The modes of a string against closed forms: frequencies, what it gives under a steady force, how it dies
// away.
#include "sim/planar/modal_string.h"

#include <gtest/gtest.h>

#include <cmath>

namespace leverwright::planar {
namespace {

constexpr double kPi = 3.14159265358979323846;

StringData some_string() {
  StringData d;
  d.length = 0.617;
  d.mass = 0.01173;
  d.tension = 2031;
  d.stiffness = 3.9e-5;
  d.striking_share = 0.117;
  d.loss_constant = 0.7;
  d.loss_rising = 5e-9;
  return d;
}

TEST(ModalString, FrequenciesOfAStiffString) {
  const StringData d = some_string();
  const ModalString s(d);
  EXPECT_NEAR(s.wave_speed(), std::sqrt(2031 * 0.617 / 0.01173), 1e-9);
  EXPECT_NEAR(s.wave_resistance() * s.wave_speed(), d.tension, 1e-9);
  const double f0 = s.wave_speed() / (2 * d.length);
  ASSERT_EQ(s.count(), d.modes + 1);
  for (int n = 1; n <= d.modes; ++n) {
    // Inharmonicity B = pi^2 EI/(T L^2): f_n = n f0 sqrt(1 + B n^2).
    const double wanted = n * f0 * std::sqrt(1 + kPi * kPi * d.stiffness * n * n);
    const auto& mode = s.modes()[static_cast<std::size_t>(n - 1)];
    EXPECT_NEAR(mode.frequency / (2 * kPi), wanted, 1e-9 * wanted);
    EXPECT_NEAR(mode.damping, 0.7 + 5e-9 * std::pow(2 * kPi * wanted, 2), 1e-9);
  }
}

// Without stiffness a steady force at x0 bends the string to a triangle: y = F x0 (L - x0)/(T L). The rest
// mode makes it so whatever the number of modes.
TEST(ModalString, GivesUnderASteadyForceAsATriangle) {
  StringData d = some_string();
  d.stiffness = 0;
  const double x0 = d.striking_share * d.length;
  const double wanted = x0 * (d.length - x0) / (d.tension * d.length);
  for (const int modes : {3, 8, 16, 40}) {
    d.modes = modes;
    const ModalString s(d);
    double give = 0;
    for (const auto& m : s.modes()) give += m.shape * m.shape / (m.mass * m.frequency * m.frequency);
    EXPECT_NEAR(give, wanted, 1e-3 * wanted) << modes;  // 4000 modes are summed: 1e-4 is left
  }
}

// The turning frame: rates of a pushed string are those of the plain equation of each mode.
TEST(ModalString, PushedModesObeyTheirEquation) {
  const ModalString s(some_string());
  std::vector<double> x(static_cast<std::size_t>(s.state_size())), rates(x.size());
  x[0] = 0.0137;
  for (std::size_t i = 1; i < x.size(); ++i) x[i] = 1e-4 * std::sin(1.3 * static_cast<double>(i));
  const double force = 23.7;
  auto t = s.work_space();
  s.look(x.data(), t);
  const double loss = s.push(x.data(), force, t, rates.data());
  EXPECT_EQ(rates[0], 1);
  EXPECT_EQ(rates[1], t.ydot);
  double y = 0, ydot = 0, lost = 0, energy = 0, power = 0;
  for (std::size_t n = 0; n < s.modes().size(); ++n) {
    const auto& m = s.modes()[n];
    const double w = m.frequency, c = std::cos(w * x[0]), si = std::sin(w * x[0]);
    const double p = x[2 + 2 * n], r = x[3 + 2 * n], dp = rates[2 + 2 * n], dr = rates[3 + 2 * n];
    const double a = p * c - r * si, b = p * si + r * c;
    const double adot = dp * c - dr * si - w * b, bdot = dp * si + dr * c + w * a;
    EXPECT_NEAR(adot, -w * b, 1e-12 * w) << "displacement has no force of its own";
    const double addot = -w * bdot;
    EXPECT_NEAR(addot + 2 * m.damping * adot + w * w * a, m.shape * force / m.mass,
                1e-9 * (w * w * 1e-4 + force / m.mass));
    y += m.shape * a;
    ydot += m.shape * adot;
    lost += 2 * m.damping * m.mass * adot * adot;
    energy += 0.5 * m.mass * (adot * adot + w * w * a * a);
    power += m.mass * (adot * addot + w * w * a * adot);
  }
  EXPECT_NEAR(t.y, y, 1e-12);
  EXPECT_NEAR(t.ydot, ydot, 1e-9 * std::abs(ydot) + 1e-9);
  EXPECT_NEAR(loss, lost, 1e-9 * lost);
  EXPECT_NEAR(s.energy(x.data()), energy, 1e-9 * energy);
  EXPECT_NEAR(power, force * ydot - loss, 1e-9 * std::abs(force * ydot)) << "work in = stored + lost";
  EXPECT_GE(s.reach(x.data()), std::abs(y));
}

TEST(ModalString, FreeModesDieAwayAtTheirOwnRate) {
  const ModalString s(some_string());
  std::vector<double> x(static_cast<std::size_t>(s.state_size()), 0.0), rates(x.size());
  x[4] = 2e-4;
  x[5] = -1e-4;
  const double loss = s.swing(x.data(), s.work_space(), rates.data());
  const auto& m = s.modes()[1];
  EXPECT_NEAR(rates[4], -m.damping * 2e-4, 1e-15);
  EXPECT_NEAR(loss, 2 * m.damping * s.energy(x.data()), 1e-12 * loss);
}

// Left alone it does what the rates of a free string say: here in 4000 small steps of the midpoint rule.
TEST(ModalString, SwingsOnAsItsRatesSay) {
  const ModalString s(some_string());
  std::vector<double> x(static_cast<std::size_t>(s.state_size())), rates(x.size()), half(x.size());
  for (std::size_t i = 2; i < x.size(); ++i) x[i] = 1e-4 * std::cos(0.7 * static_cast<double>(i));
  std::vector<double> jumped = x;
  const double before = s.energy(x.data()), time = 0.013;
  auto t = s.work_space();
  const double lost = s.swing_on(jumped.data(), time, t);
  EXPECT_NEAR(lost, before - s.energy(jumped.data()), 1e-15);
  constexpr int kSteps = 4000;
  for (int k = 0; k < kSteps; ++k) {
    s.swing(x.data(), t, rates.data());
    for (std::size_t i = 0; i < x.size(); ++i) half[i] = x[i] + 0.5 * time / kSteps * rates[i];
    s.swing(half.data(), t, rates.data());
    for (std::size_t i = 0; i < x.size(); ++i) x[i] += time / kSteps * rates[i];
  }
  EXPECT_GT(lost, 0.01 * before);
  EXPECT_NEAR(jumped[0], x[0], 1e-12);
  for (std::size_t i = 2; i < x.size(); ++i) EXPECT_NEAR(jumped[i], x[i], 1e-12) << i;
  s.look(x.data(), t);
  EXPECT_NEAR(jumped[1], t.y, 1e-11) << "the displacement is that of the modes";
}

}  // namespace
}  // namespace leverwright::planar
