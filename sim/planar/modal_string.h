// A string that yields where it is struck: N modes of a stiff string between two supports, damped.
//
// Transverse displacement under a force F(t) at x0 = alpha L, uphold by tension T, mass per length mu,
// bending stiffness EI ([@fletcher1964]; [@chaigne1994],
// eq. 1 and their stiffness parameter epsilon = EI/(T L^2)):
//   mu y_tt = T y_xx - EI y_xxxx - losses + F delta(x - x0),   hinged ends: y = sum a_n sin(n pi x/L).
// Each mode by itself, with shape phi_n = sin(n pi alpha) at x0 and m = mu L/2:
//   a'' + 2 g_n a' + w_n^2 a = phi_n F/m,   w_n = (n pi/L) sqrt(T/mu) sqrt(1 + epsilon (n pi)^2),
//   g_n = b1 + b3 w_n^2                                                (their b1 [1/s], b3 [s])
// Seen from the hammer the string first has the resistance of two half-infinite strings, F = 2 Z ydot with
// Z = sqrt(T mu), until the wave from the nearer end is back after 2 x0/c, c = sqrt(T/mu).
//
// What the modes above N would give under a force that changes slowly against them is their static
// compliance, sum_{n>N} phi_n^2/(m w_n^2); one more mode, the rest, with shape 1 and frequency kRest w_{N+1},
// has just that compliance. Without it contact times are 1 to 3 % short at N = 20, with it 0.2 % from N = 12
// on (tests/models/action_play/string_test.cpp).
//
// State. After the blow the string swings on at up to some 10 kHz, which would bind the step for the rest of
// the stroke. So a mode is kept as it looks from a frame that turns with it: with w + i s the point
//   a' = -w_n s,   s' = w_n a - phi_n F/(m w_n) - 2 g_n s     (the equation above, damping on the velocity)
// and a + i s = (p + i r) e^{i w_n tau}, tau a clock, the state holds tau, y, and p, r of each mode,
//   p' = G sin(w_n tau),   r' = G cos(w_n tau),   G = -phi_n F/(m w_n) - 2 g_n s,
// which rest when nothing touches. y = sum phi_n a_n is carried beside them, ydot = sum phi_n a'_n, and put
// right after every step: the depth of a contact is then straight in the state, as a Runge-Kutta step wants
// it; bent by the clock it fell out of step with the felt's memory, and audits were ten times worse. While
// the string is free the damping is taken in the mean over a cycle,
//   p' = -g_n p,  r' = -g_n r.
// Energy of a mode: m w_n^2 (a^2 + s^2)/2 = m w_n^2 (p^2 + r^2)/2. Loss: 2 g_n m a'^2 touched, 2 g_n E free;
// never negative. F ydot is the work it takes in, so an audit closes. Holds for small slopes, one plane,
// rigid supports (the bridge gives way a thousandth as easily), a force at one point.
#pragma once
#include <vector>

namespace leverwright::planar {

// All strings of a note together: their masses and tensions added up.
struct StringData {
  double length = 0;          // L, speaking length [m]
  double mass = 0;            // mu L [kg]
  double tension = 0;         // T [N]
  double stiffness = 0;       // epsilon = EI/(T L^2), 1
  double striking_share = 0;  // alpha = x0/L, 1
  double loss_constant = 0;   // b1 [1/s]
  double loss_rising = 0;     // b3 [s]
  int modes = 8;              // N
};

class ModalString {
 public:
  explicit ModalString(const StringData& data);

  struct Mode {
    double frequency, damping, shape, mass;  // w_n [rad/s], g_n [1/s], phi_n, m [kg]
  };
  const std::vector<Mode>& modes() const { return modes_; }
  int count() const { return static_cast<int>(modes_.size()); }
  int state_size() const { return 2 + 2 * count(); }  // tau, y, then p, r of each mode

  // No |y| can be larger, whatever the clock [m].
  double reach(const double* state) const;
  // Work space of one string: cosines and sines of w_n tau.
  struct RotatingAmplitudes {
    std::vector<double> c, s;
    double y = 0, ydot = 0;  // at the struck point, from the modes [m, m/s]
  };
  RotatingAmplitudes work_space() const;
  // Displacement and speed at the struck point.
  void look(const double* state, RotatingAmplitudes& t) const;
  // Rates of the state under a force, with the sines `t` of the same state; returns the loss [W].
  double push(const double* state, double force, const RotatingAmplitudes& t, double* rates) const;
  // The same for a string that nothing touches.
  double swing(const double* state, const RotatingAmplitudes& t, double* rates) const;
  // Lets a string that nothing touches swing on for `time` [s], exactly: p, r times exp(-g_n time). Returns
  // the loss [J].
  double swing_on(double* state, double time, RotatingAmplitudes& t) const;
  double energy(const double* state) const;  // [J]

  double wave_resistance() const { return wave_resistance_; }  // Z [N s/m]
  double wave_speed() const { return wave_speed_; }            // c [m/s]

  static constexpr double kRest = 1.3;

 private:
  std::vector<Mode> modes_;
  double wave_resistance_, wave_speed_;
};

}  // namespace leverwright::planar
