// capstan moved: capstan plugged and re-drilled elsewhere along the key.
#include <fmt/format.h>

#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/capstan_hole.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"
#include "sim/base/units.h"

namespace leverwright::remedies {

using action::ActionDesign;
using base::Vec2;

namespace {

// +1 towards the strings, -1 towards the balance rail (and the player).
double towards_strings(const Change& c) { return c.says("direction", "toward the strings") ? 1.0 : -1.0; }

RemedyRow its_row() {
  using namespace case_file::rows;
  return {
      "capstan moved",
      140,
      "capstan plugged and re-drilled elsewhere along the key",
      "the place where the key lifts the heel: both arms, slide path, ratio, dip, blow",
      {"the capstan's own mass moves along: front weight and key inertia",
       "plug and new hole: wood moves the other way",
       "a drilled hole scatters: place and lean are as uncertain as the drilling"},
      "no",
      kNotReversible,
      {"note", 8, 24},
      "88 holes on one straight line, square and at one depth",
      {"drilling", "thin glue", "dust"},
      {amount("distance", length, "0.2 mm", "0.05 to 20 mm", "how far, with the scatter of the drilling"),
       word("direction", {"toward the balance rail", "toward the strings"}, "which way"),
       amount("lean_drilled", angle, "0.5 deg", "-15 to 15 deg",
              "lean of the new hole against the old one, as drilled", by_default, "0 deg +- 0.5 deg"),
       amount("plug_mass", mass, "", "0 to 1.5 g", "wood of the plug", by_default, "0.2 g (0.1 to 0.4 g)")}};
}

class CapstanMoved final : public Remedy {
 public:
  CapstanMoved() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change&) const override {
    return {{"capstan place", "where the capstan's hole is"}};
  }

  // The capstan's own mass moves with it, the plug's wood the other way: front weight and key inertia follow.
  void alter(const Change& c, ActionDesign& a) const override {
    const double shift = towards_strings(c) * c.amount("distance");
    const double mass = a.capstan_mass - c.amount_or("plug_mass", 0);
    action::BodyMass& key = a.masses[0];
    const Vec2 old_apex = a.cap_apex;
    a.cap_apex.x() += shift;
    a.cap_lean += c.amount_or("lean_drilled", 0);
    const double inertia_origin = key.inertia_cm + key.mass * key.p_cm.squaredNorm() +
                                  mass * (a.cap_apex.squaredNorm() - old_apex.squaredNorm());
    key.p_cm.x() += mass * shift / key.mass;
    key.inertia_cm = inertia_origin - key.mass * key.p_cm.squaredNorm();
    a.front_weight -= mass * base::kGravity * shift / a.key_front_arm;
  }

  std::string hand(const Hand& h) const override {
    return fmt::format("new capstan hole {} {}: middle of the cap {} (was {:.1f} mm)", h.mm_words("distance"),
                       h.way("distance"), on_key(-h.changed.cap_apex.x()),
                       std::abs(h.base.cap_apex.x()) * 1e3);
  }

  void fill(Work& m) const override {
    const double old_hole = hole_place(m.base), hole = hole_place(m.changed);
    m.mm("new hole, middle", hole, kBehindHole, "distance");
    m.mm("old hole, middle", old_hole, kBehindHole);
    m.mm("new hole from old", std::abs(hole - old_hole), m.way("distance"), "distance");
    mark_drill(m);
    mark_lean(m, "lean_drilled");
    mark_cap_height(m);
    m.step(
        "Scribe a line square across the key at the new hole's distance, from a straightedge laid over the "
        "trial notes: never key by key.");
    m.cut(
        "Screw the capstan out. Plug the old hole with a glued hardwood plug, grain along the key's, and pare "
        "it flush; let it dry where the new hole cuts into it.");
    m.cut(fmt::format(
        "Prick the middle of the new hole. Clamp the key. Drill at the lean given, {}, stop set: the "
        "key is {:.1f} mm high and the bit ends short of its bottom.",
        m.hole == nullptr ? "to the old hole's diameter and depth"
                          : fmt::format("{:.1f} mm wide, to the old hole's depth", 1e3 * m.hole->value),
        1e3 * m.changed.key_height));
    m.step("Screw the capstan in to the height given, check its lean with a square both ways.");
    m.tool("straightedge, square, scriber");
    m.tool("drill press or guide with stop, clamp");
    m.tool("hardwood plugs, glue");
  }
};

}  // namespace

const Remedy& capstan_moved() {
  static const CapstanMoved the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
