#include "sim/store/known_units.h"

#include <array>

#include "sim/base/units.h"

namespace leverwright::store {
namespace {

using base::kDegree;
using base::kGramForce;

const std::array kUnits{
    KnownUnit{"1", "1", 1},
    KnownUnit{"%", "1", 1e-2},
    KnownUnit{"turn", "turn", 1},
    KnownUnit{"m", "m", 1},
    KnownUnit{"mm", "m", 1e-3},
    KnownUnit{"um", "m", 1e-6},
    KnownUnit{"1/m", "1/m", 1},
    KnownUnit{"1/mm", "1/m", 1e3},
    KnownUnit{"m2", "m2", 1},
    KnownUnit{"mm2", "m2", 1e-6},
    KnownUnit{"rad", "rad", 1},
    KnownUnit{"deg", "rad", kDegree},
    KnownUnit{"rad/m", "rad/m", 1},
    KnownUnit{"deg/mm", "rad/m", kDegree * 1e3},
    KnownUnit{"m/rad", "m/rad", 1},
    KnownUnit{"mm/deg", "m/rad", 1e-3 / kDegree},
    KnownUnit{"s", "s", 1},
    KnownUnit{"ms", "s", 1e-3},
    KnownUnit{"us", "s", 1e-6},
    KnownUnit{"1/s", "1/s", 1},
    KnownUnit{"Hz", "1/s", 1},
    KnownUnit{"m/s", "m/s", 1},
    KnownUnit{"mm/s", "m/s", 1e-3},
    KnownUnit{"m/s2", "m/s2", 1},
    KnownUnit{"rad/s", "rad/s", 1},
    KnownUnit{"deg/s", "rad/s", kDegree},
    KnownUnit{"rad/s2", "rad/s2", 1},
    KnownUnit{"kg", "kg", 1},
    KnownUnit{"g", "kg", 1e-3},
    KnownUnit{"kg m", "kg m", 1},
    KnownUnit{"g mm", "kg m", 1e-6},
    KnownUnit{"kg m2", "kg m2", 1},
    KnownUnit{"g mm2", "kg m2", 1e-9},
    KnownUnit{"g cm2", "kg m2", 1e-7},
    KnownUnit{"kg/m3", "kg/m3", 1},
    KnownUnit{"g/cm3", "kg/m3", 1e3},
    KnownUnit{"N", "N", 1},
    KnownUnit{"mN", "N", 1e-3},
    KnownUnit{"gf", "N", kGramForce},
    KnownUnit{"kgf", "N", kGramForce * 1e3},
    KnownUnit{"N/s", "N/s", 1},
    KnownUnit{"gf/s", "N/s", kGramForce},
    KnownUnit{"N m", "N m", 1},
    KnownUnit{"mN m", "N m", 1e-3},
    KnownUnit{"N mm", "N m", 1e-3},
    KnownUnit{"gf mm", "N m", kGramForce * 1e-3},
    KnownUnit{"N/m", "N/m", 1},
    KnownUnit{"N/mm", "N/m", 1e3},
    KnownUnit{"gf/mm", "N/m", kGramForce * 1e3},
    KnownUnit{"N/m2", "N/m2", 1},
    KnownUnit{"Pa", "N/m2", 1},
    KnownUnit{"kPa", "N/m2", 1e3},
    KnownUnit{"N/mm2", "N/m2", 1e6},
    KnownUnit{"N m/rad", "N m/rad", 1},
    KnownUnit{"N mm/rad", "N m/rad", 1e-3},
    KnownUnit{"N mm/deg", "N m/rad", 1e-3 / kDegree},
    KnownUnit{"gf mm/deg", "N m/rad", kGramForce * 1e-3 / kDegree},
    KnownUnit{"N s/m", "N s/m", 1},
    KnownUnit{"N m s/rad", "N m s/rad", 1},
    KnownUnit{"N mm s/rad", "N m s/rad", 1e-3},
    KnownUnit{"s/m", "s/m", 1},
    KnownUnit{"J", "J", 1},
    KnownUnit{"mJ", "J", 1e-3},
    KnownUnit{"uJ", "J", 1e-6},
    KnownUnit{"W", "W", 1},
    KnownUnit{"mW", "W", 1e-3},
    KnownUnit{"text", "text", 1},
    KnownUnit{"per row", "per row", 1},
    KnownUnit{"per column", "per column", 1},
};

}  // namespace

const KnownUnit* find_unit(const std::string& name) {
  for (const KnownUnit& u : kUnits)
    if (u.name == name) return &u;
  return nullptr;
}

bool is_stored_unit(const std::string& name) {
  const KnownUnit* u = find_unit(name);
  return u != nullptr && u->name == u->si;
}

double display_factor(const std::string& unit, const std::string& display_unit) {
  const KnownUnit* stored = find_unit(unit);
  const KnownUnit* shown = find_unit(display_unit);
  if (stored == nullptr || shown == nullptr || stored->si != shown->si) return 0;
  return stored->size / shown->size;
}

std::string known_display_units(const std::string& unit) {
  std::string out;
  const KnownUnit* stored = find_unit(unit);
  if (stored == nullptr) return out;
  for (const KnownUnit& u : kUnits) {
    if (u.si != stored->si) continue;
    if (!out.empty()) out += ", ";
    out += u.name;
  }
  return out;
}

}  // namespace leverwright::store
