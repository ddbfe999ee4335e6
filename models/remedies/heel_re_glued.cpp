// heel re-glued: heel cut off and glued on shifted, with a shim.
#include <fmt/format.h>

#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/heel_surface.h"
#include "models/remedies/masses.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;

namespace {

// +1 towards the strings, -1 towards the balance rail (and the player).
double towards_strings(const Change& c) { return c.says("direction", "toward the strings") ? 1.0 : -1.0; }

// The wood of the heel becomes a piece of its own, cut off along the straight line between the two corners of
// the outline where it leaves the wippen's body: the first and last of the run of corners within the cloth.
// No run like that (an outline drawn without a heel): nothing is cut.
void cut_heel_off(ActionDesign& a, const Vec2& foot) {
  constexpr double kBeside = 0.5e-3;
  const std::vector<Vec2>& old = a.wippen_outline;
  const std::size_t n = old.size();
  if (n < 6 || !a.heel_outline.empty()) return;
  const auto is_of_heel = [&](std::size_t k) {
    const double x = old[k % n].x();
    return x > a.heel_x.front() - kBeside && x < a.heel_x.back() + kBeside;
  };
  std::size_t first = 0;
  for (std::size_t k = 1; k < n; ++k)
    if ((old[k] - foot).norm() < (old[first] - foot).norm()) first = k;
  if (!is_of_heel(first)) return;
  std::size_t last = first += n;
  while (last - first < n && is_of_heel(first - 1)) --first;
  while (last - first < n && is_of_heel(last + 1)) ++last;
  const std::size_t count = last - first + 1;
  if (count < 3 || count + 2 > n) return;
  std::vector<Vec2> body;
  for (std::size_t k = first; k <= last; ++k) a.heel_outline.push_back(old[k % n]);
  for (std::size_t k = last; k <= first + n; ++k) body.push_back(old[k % n]);
  a.wippen_outline = body;
}

RemedyRow its_row() {
  using namespace case_file::rows;
  return {
      "heel re-glued",
      160,
      "heel cut off and glued on shifted, with a shim",
      "the heel's place on the wippen and its height",
      {"the heel's own mass and the shim's move the wippen weight",
       "a joint that is not square tilts the lifting face"},
      "no",
      kNotReversible,
      {"note", 20, 50},
      "strength of the joint, heels square to the wippen, much labour",
      {"saw and knife", "heat and steam", "thin glue", "dust"},
      {amount("shift", length, "0.2 mm", "0 to 15 mm", "how far along the wippen"),
       word("direction", {"toward the balance rail", "toward the strings"}, "which way"),
       amount("shim", length, "0.1 mm", "0 to 8 mm", "height of the shim under the heel", by_default,
              "0 mm +- 0"),
       amount("tilt", angle, "0.5 deg", "-10 to 10 deg",
              "heel out of square, positive when its string side stands lower", by_default,
              "0 deg +- 0.5 deg"),
       amount("heel_mass", mass, "", "0.2 to 6 g", "heel with its cloth", by_default, "1.5 g (0.8 to 2.5 g)"),
       amount("shim_density", density, "", "0.1 to 2 g/cm3", "density of the shim (hard wood)", by_default,
              "0.65 g/cm3 (0.5 to 0.8 g/cm3)"),
       heel_width()}};
}

class HeelReGlued final : public Remedy {
 public:
  HeelReGlued() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change&) const override {
    return {{"heel place", "where the heel is glued"}};
  }

  // The whole heel moves along the wippen and down by the shim; the lifting face goes with it, and so do the
  // heel's mass and the shim's. Its wood is drawn with the shim on top.
  void alter(const Change& c, ActionDesign& a) const override {
    const double shift = towards_strings(c) * c.amount("shift"), shim = c.amount("shim");
    const double middle = heel_middle(a), tilt = c.amount_or("tilt", 0);
    const double mass = c.amount_or("heel_mass", 0);
    const Vec2 p_old = heel_point(a, middle);
    cut_heel_off(a, p_old);
    for (std::size_t k = 0; k < a.heel_outline.size(); ++k) {
      const bool at_cut = k == 0 || k + 1 == a.heel_outline.size();
      Vec2& p = a.heel_outline[k];
      p += Vec2(shift, at_cut ? 0.0 : -shim - std::tan(tilt) * (p.x() - middle));
    }
    for (std::size_t k = 0; k < a.heel_x.size(); ++k)
      a.heel_h[k] += shim + std::tan(tilt) * (a.heel_x[k] - middle);
    for (double& x : a.heel_x) x += shift;
    for (double& s : a.heel_mu.s) s += shift;
    a.lifting_face_from += shift;
    a.lifting_face_to += shift;
    add_to_wippen(a, -mass, p_old);
    add_to_wippen(a, mass, p_old + Vec2(shift, -shim));
    const double area = c.amount_or("width", 0) * heel_length(a);
    add_to_wippen(a, c.amount_or("shim_density", 0) * area * shim, p_old + Vec2(shift, 0));
  }

  std::string hand(const Hand& h) const override {
    return fmt::format(
        "cut the heel off, glue it on {} {}, {}: lifting face then {:.1f} to {:.1f} mm from the wippen centre",
        h.mm_words("shift"), h.way("shift"),
        h.value("shim") > 0 ? "over a shim of " + h.mm_words("shim") : std::string("no shim"),
        -h.changed.lifting_face_to * 1e3, -h.changed.lifting_face_from * 1e3);
  }

  void fill(Work& m) const override {
    m.mm("shift of the heel", m.value("shift"), m.way("shift") + ", from a line scribed along its foot",
         "shift");
    m.mm("shim under the heel", m.value("shim"), "thickness, over the heel's whole foot", "shim", 2);
    m.mark("out of square", m.value("tilt"), "deg", 1, "plus when the string side stands lower", "tilt");
    m.mm("lifting face then, near end", -m.changed.lifting_face_to, kFromCentre, "shift");
    m.mm("lifting face then, far end", -m.changed.lifting_face_from, kFromCentre, "shift");
    m.mm("lifting face before, near end", -m.base.lifting_face_to, kFromCentre);
    m.mm("heel's surface then", face_depth(m.changed), "below the wippen centre, middle of the face", "shim");
    m.mm("heel's surface before", face_depth(m.base), "below the wippen centre, middle of the face");
    m.step("Scribe the heel's foot on the wippen before anything is cut, and a second line at the shift.");
    m.cut("Part the heel from the wippen at its joint with a fine saw or heat; keep the joint flat.");
    m.step("Glue it on at the second line, square across the wippen, over the shim; clamp without rocking.");
    m.step("When dry, measure the ends of the lifting face from the wippen centre.");
    m.tool("fine saw, jig that holds the wippen");
    m.tool("hard wood shim, glue, clamps");
  }
};

}  // namespace

const Remedy& heel_re_glued() {
  static const HeelReGlued the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
