// capstan lean: capstan leaning by another angle about its head.
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

constexpr const char *kApex = "middle of its cap (apex kept)", *kDome = "centre of its dome";

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"capstan lean",
          150,
          "capstan leans by another angle about its head",
          "where cap and cloth meet",
          {"a bent or re-drilled shank of the capstan: its height is set again"},
          "no",
          kNotReversible,
          {"note", 6, 20},
          "the cap may meet the cloth with its edge",
          {"drilling", "thin glue", "dust"},
          {amount("angle", angle, "0.5 deg", "-25 to 25 deg",
                  "new lean, positive when the top tips towards the strings"),
           word("about", {kApex, kDome}, "the point that stays in place", kApex)}};
}

class CapstanLean final : public Remedy {
 public:
  CapstanLean() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change&) const override { return {{"capstan.lean", "the capstan's lean"}}; }

  std::string excludes(const Change& c, const Change& other) const override {
    if (!c.says("about", kDome) || other.remedy != &cap() || !other.says("shape", "flat")) return "";
    return "a flat cap has no dome to lean about";
  }

  void alter(const Change& c, ActionDesign& a) const override {
    const double angle = c.amount("angle");
    if (c.says("about", kDome)) {
      const auto axis = [](double lean) { return Vec2(std::sin(lean), std::cos(lean)); };
      const Vec2 centre = a.cap_apex - a.cap_dome_radius * axis(a.cap_lean);
      a.cap_apex = centre + a.cap_dome_radius * axis(angle);
    }
    a.cap_lean = angle;
  }

  std::string hand(const Hand& h) const override {
    const double degrees = h.changed.cap_lean / base::kDegree;
    const double from = h.base.cap_lean / base::kDegree;
    // A square's tongue held along the capstan shows the offset over a length that can be read.
    const double over = kSquareLeg * std::abs(std::tan(h.changed.cap_lean));
    return fmt::format(
        "lean the capstan from {:.1f} to {:.1f} deg: top {:.1f} mm toward the {} over 25 mm, {}", from,
        degrees, over * 1e3, degrees >= 0 ? "strings" : "player",
        h.c.says("about", kDome) ? "centre of its dome kept in place" : "middle of its cap kept in place");
  }

  void fill(Work& m) const override {
    mark_lean(m, "angle");
    m.mark("lean before", m.base.cap_lean, "deg", 1, "the same way");
    mark_drill(m);
    m.mm("hole where it enters the key's top", hole_place(m.changed), kBehindHole, "");
    m.mm("the same before", hole_place(m.base), kBehindHole);
    m.mm("middle of the cap", m.changed.p_balance.x() + m.changed.cap_apex.x(), kBehindHole);
    m.cut(
        "Screw the capstan out, plug the hole and re-drill it at the new lean through the mark given; the "
        "capstan is not bent in its hole.");
    m.step(fmt::format("Keep {}: check with a pointer on the key, before and after.",
                       m.c.says("about", kDome) ? "the centre of the dome where it was"
                                                : "the middle of the cap where it was"));
    m.step("Check the lean with bevel or square both ways.");
    m.tool("bevel set to the lean, square");
    m.tool("drill guide set to the lean, stop, clamp");
  }
};

}  // namespace

const Remedy& capstan_lean() {
  static const CapstanLean the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
