#include "sim/run/energy.h"

#include <algorithm>

namespace leverwright::run {

StoredEnergy calc_stored(const planar::Mechanism& m, const double* x, const planar::Scratch& s) {
  StoredEnergy e;
  e.kinetic = m.tree.kinetic_energy(s.poses);
  e.gravity = m.tree.gravity_energy(s.poses, m.gravity);
  e.springs = m.spring_energy(s.q);
  for (std::size_t i = 0; i < m.contacts.size(); ++i) {
    const int k = static_cast<int>(i);
    const planar::Contact& c = *m.contacts[i];
    e.cloth += c.cloth.stored(s.contact_points[i].depth, x[m.at_d0(k)]);
    if (s.contact_points[i].depth > 0 && m.at_u(k) >= 0)
      e.bristles += c.friction.stored(c.press(s.contact_points[i], s.reversible[i]), x[m.at_u(k)]);
  }
  for (std::size_t i = 0; i < m.pivots.size(); ++i) {
    const int k = static_cast<int>(i);
    e.pivots += m.pivots[i].friction.stored(x[m.at_pivot_reaction(k)], x[m.at_pivot_u(k)]);
  }
  for (std::size_t k = 0; k < m.strings.size(); ++k)
    e.strings += m.strings[k].string.energy(x + m.at_string(static_cast<int>(k)));
  return e;
}

}  // namespace leverwright::run
