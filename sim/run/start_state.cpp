#include "sim/run/start_state.h"

#include <algorithm>

namespace leverwright::run {

std::vector<double> start_state(const planar::Mechanism& m, const StaticState& state) {
  std::vector<double> x(static_cast<std::size_t>(m.state_size()), 0.0);
  const auto at = [&x](int i) -> double& { return x[static_cast<std::size_t>(i)]; };
  for (int i = 0; i < m.n(); ++i) at(m.at_q(i)) = state.q[i];
  for (std::size_t i = 0; i < m.contacts.size(); ++i) {
    const int k = static_cast<int>(i);
    at(m.at_d0(k)) = state.d0[i];
    if (m.at_u(k) >= 0) at(m.at_u(k)) = state.u[i];
  }
  for (std::size_t i = 0; i < m.pivots.size(); ++i) {
    at(m.at_pivot_u(static_cast<int>(i))) = state.pivot_u[i];
    at(m.at_pivot_reaction(static_cast<int>(i))) = state.pivot_reaction[i];
  }
  return x;
}

std::vector<double> neutral_start_state(const planar::Mechanism& m, const planar::VecQ& q) {
  planar::Scratch s(m);
  s.q = q;
  s.v.setZero();
  m.calc_geometry(s);
  std::vector<double> x(static_cast<std::size_t>(m.state_size()), 0.0), rates(x.size());
  const auto at = [&x](int i) -> double& { return x[static_cast<std::size_t>(i)]; };
  for (int i = 0; i < m.n(); ++i) at(m.at_q(i)) = q[i];
  for (std::size_t i = 0; i < m.contacts.size(); ++i)
    if (m.contacts[i]->cloth.hysteresis() > 0)
      at(m.at_d0(static_cast<int>(i))) = std::max(0.0, s.contact_points[i].depth);
  m.calc_rates(x.data(), rates.data(), {}, s);
  for (std::size_t i = 0; i < m.pivots.size(); ++i)
    at(m.at_pivot_reaction(static_cast<int>(i))) = s.pivot_reaction[i];
  return x;
}

}  // namespace leverwright::run
