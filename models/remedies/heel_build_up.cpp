// heel build-up: a strip worked in between heel cloth and under-cloth at a chosen place.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/heel_surface.h"
#include "models/remedies/masses.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"
#include "sim/base/units.h"

namespace leverwright::remedies {

using action::ActionDesign;

namespace {

constexpr const char *kStretched = "stretched over it", *kAfresh = "laid afresh";

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"heel build-up",
          180,
          "a strip worked in between heel cloth and under-cloth at a chosen place",
          "the heel's profile and height where the capstan strikes; its place is measured after every other "
          "work on the heel",
          {"the old cloth is stretched over it: thinner and stiffer, unless it is laid afresh",
           "the wippen is heavier by the strip"},
          "partly",
          kUndoneInMinutes,
          {"note", 4, 10},
          "whether the strip stays put, and is alike on all 88 notes",
          {"saw and knife", "thin glue"},
          {amount("height", length, "0.1 mm", "0.05 to 8 mm", "thickness of the strip"),
           amount("length", length, "0.3 mm", "0.5 to 40 mm", "length of the strip along the heel"),
           amount("centre", length, "0.5 mm", "20 to 110 mm", "middle of the strip from the wippen centre"),
           word("cloth", {kStretched, kAfresh}, "what becomes of the heel cloth", kStretched),
           cloth_density(), heel_width()}};
}

class HeelBuildUp final : public Remedy {
 public:
  HeelBuildUp() : Remedy(its_row()) {}

  std::string excludes(const Change& c, const Change& other) const override {
    if (!c.says("cloth", kStretched) || other.remedy != &heel_re_covered()) return "";
    return "new cloth is laid over the strip, not stretched over it: write cloth = \"laid afresh\"";
  }

  // A strip between heel cloth and under-cloth: full height over its length; the cloth drapes over its two
  // ends, so the surface rises and falls over about two cloth thicknesses (raised cosine, ends of the strip at
  // half height). Old cloth, held at both ends, is stretched by lambda = path after / path before; wool keeps
  // its volume and width, so its thickness t becomes t/lambda: the surface lies lower by t (1 - 1/lambda), and
  // the same share of compression is reached after a way 1/lambda as long.
  void alter(const Change& c, ActionDesign& a) const override {
    const double height = c.amount("height"), centre = -c.amount("centre");
    const double length = c.amount("length");
    const double drape = std::max(2.0 * a.heel_cloth_thickness, 1e-3);
    const double before = cloth_path(a);
    for (std::size_t k = 0; k < a.heel_x.size(); ++k) {
      const double from_end = 0.5 * length - std::abs(a.heel_x[k] - centre);  // > 0 inside the strip
      const double s = std::clamp(from_end / drape + 0.5, 0.0, 1.0);
      a.heel_h[k] += height * 0.5 * (1.0 - std::cos(base::kPi * s));
    }
    if (c.says("cloth", kStretched) && !a.heel_cloth_is_new) {
      const double lambda = std::max(1.0, cloth_path(a) / before);
      const double thinner = a.heel_cloth_thickness * (1.0 - 1.0 / lambda);
      for (double& h : a.heel_h) h -= thinner;
      a.heel_cloth_thickness -= thinner;
      scale_cushion(a, 1.0 / lambda);
    }
    const double mass = c.amount_or("density", 0) * c.amount_or("width", 0) * length * height;
    add_to_wippen(a, mass, heel_point(a, centre));
  }

  std::string hand(const Hand& h) const override {
    const double half = 0.5 * h.value("length"), centre = h.value("centre");
    return fmt::format(
        "strip {} thick, {:.1f} mm long, from {:.1f} to {:.1f} mm from the wippen centre, cloth {}",
        h.mm_words("height", 2), h.value("length") * 1e3, (centre - half) * 1e3, (centre + half) * 1e3,
        h.word("cloth").empty() ? kStretched : h.word("cloth"));
  }

  void fill(Work& m) const override {
    const double half = 0.5 * m.value("length"), centre = m.value("centre");
    m.mm("strip, length", m.value("length"), "along the heel", "length");
    m.mm("strip, thickness", m.value("height"), "not pressed", "height", 2);
    if (m.has("width")) m.mm("strip, width", m.value("width"), "across the heel", "width");
    m.mm("strip, middle", centre, kFromCentre, "centre");
    m.mm("strip, near end", centre - half, kFromCentre, "centre");
    m.mm("strip, far end", centre + half, kFromCentre, "centre");
    m.mm("strip's middle from the face's near end", centre + m.changed.lifting_face_to, "toward the player");
    m.step("Mark the strip's middle on the side of the heel, from the wippen centre.");
    m.step(
        "Loosen the heel cloth at its string-side end only, work the strip in between cloth and under-cloth, "
        "its middle on the mark.");
    m.step(m.c.says("cloth", kAfresh) ? "Lay the heel cloth over it without pulling it thin, glue its end."
                                      : "Draw the old cloth over it and glue its end again.");
    m.tool("strip of woven cloth or felt, cut in one length for all notes");
    m.tool("thin blade, glue");
  }
};

}  // namespace

const Remedy& heel_build_up() {
  static const HeelBuildUp the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
