// heel bolstered: a strip of felt worked in under the whole cushion.
#include "models/remedies/all.h"
#include "models/remedies/heel_surface.h"
#include "models/remedies/masses.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;

namespace {

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"heel bolstered",
          170,
          "a strip of felt worked in under the whole cushion",
          "the heel's height all along and the cushion's softness",
          {"cloth and bolster give one after the other, so the cushion is softer",
           "the wippen is heavier by the strip", "blow and dip shift until it has settled"},
          "yes",
          kUndoneWithWork,
          {"note", 4, 10},
          "felt settles: blow and dip shift in the first months",
          {"saw and knife", "thin glue"},
          {amount("thickness", length, "0.1 mm", "0.2 to 6 mm", "thickness of the bolster, uncompressed"),
           amount("give", number, "", "0 to 4",
                  "how much softer than the heel cloth it is, for its thickness (1: alike, 0: hard)",
                  by_default, "1 (0.5 to 2)"),
           cloth_density(), heel_width()}};
}

class HeelBolstered final : public Remedy {
 public:
  HeelBolstered() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change&) const override { return {{"bolster", "the bolster"}}; }

  // A felt under the whole cushion. Two felts of one exponent p and reference force F_r, one upon the other:
  // d = (d_1 + d_2) (F/F_r)^(1/p), so their reference compressions add.
  void alter(const Change& c, ActionDesign& a) const override {
    const double thickness = c.amount("thickness");
    for (double& h : a.heel_h) h += thickness;
    scale_cushion(a, 1.0 + c.amount_or("give", 1.0) * thickness / a.heel_cloth_thickness);
    const double mass = c.amount_or("density", 0) * c.amount_or("width", 0) * heel_length(a) * thickness;
    add_to_wippen(a, mass, heel_point(a, heel_middle(a)));
  }

  std::string hand(const Hand& h) const override {
    return "bolster of " + h.mm_words("thickness") + " under the whole cushion";
  }

  void fill(Work& m) const override {
    m.mm("bolster, thickness", m.value("thickness"), "not pressed", "thickness", 2);
    if (m.has("width")) m.mm("bolster, width", m.value("width"), "across the heel", "width");
    m.mm("bolster, length", m.changed.heel_x.back() - m.changed.heel_x.front(), "under the whole cushion");
    m.mm("heel's surface then", face_depth(m.changed), "below the wippen centre, middle of the face",
         "thickness");
    m.mm("heel's surface before", face_depth(m.base), "below the wippen centre, middle of the face");
    m.step(
        "Loosen the cushion at one end and work the felt in under its whole length; no glue on its working "
        "part.");
    m.step("Glue the end again. Press the cushion by playing it some hundred times before it is regulated.");
    m.tool("felt of even thickness, thin blade, glue");
  }
};

}  // namespace

const Remedy& heel_bolstered() {
  static const HeelBolstered the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
