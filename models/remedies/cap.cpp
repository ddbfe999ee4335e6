// cap: another capstan cap.
#include <fmt/format.h>

#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/capstan_hole.h"
#include "models/remedies/masses.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;
using case_file::CaseDescription;

namespace {

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"cap",
          60,
          "another capstan cap",
          "the shape of the capstan's top, its height and mass",
          {"the thread stands deeper or higher by the difference of heights",
           "key inertia and front weight follow its mass"},
          "yes",
          kUndoneWithWork,
          {"note", 2, 8},
          "whether such caps can be had for all notes",
          {"dust"},
          {word("shape", {"flat", "domed"}, "top of the cap"),
           amount("dome_radius", length, "1 mm", "3 to 200 mm", "radius of the dome", optional),
           amount("diameter", length, "0.2 mm", "5 to 20 mm", "diameter of the cap", optional),
           amount("edge_fillet", length, "0.1 mm", "0.05 to 4 mm", "radius of its edge", optional),
           amount("height", length, "0.1 mm", "-8 to 8 mm", "taller than the old cap (negative: lower)",
                  optional),
           amount("mass", mass, "0.1 g", "0.5 to 25 g", "mass of the whole capstan afterwards", optional)}};
}

class Cap final : public Remedy {
 public:
  Cap() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change& c) const override {
    std::vector<Claim> out{{"capstan.cap", "the cap"}};
    claim_if_given(out, c, "dome_radius", "capstan.dome_radius");
    claim_if_given(out, c, "diameter", "capstan.cap_diameter");
    claim_if_given(out, c, "edge_fillet", "capstan.edge_fillet");
    claim_if_given(out, c, "mass", "measured.capstan_mass");
    return out;
  }

  void replace_values(CaseDescription& d, const Change& c) const override {
    d.choices["capstan.cap"] = c.choices.at("shape");
    replace_one(d, c, "dome_radius", "capstan.dome_radius");
    replace_one(d, c, "diameter", "capstan.cap_diameter");
    replace_one(d, c, "edge_fillet", "capstan.edge_fillet");
  }

  // The cap's shape came by its values; a taller cap stands higher along the capstan, another mass sits in the
  // key where the capstan is.
  void alter(const Change& c, ActionDesign& a) const override {
    const Vec2 at = a.cap_apex;
    a.cap_apex += c.amount_or("height", 0) * Vec2(std::sin(a.cap_lean), std::cos(a.cap_lean));
    if (!c.has("mass")) return;
    add_mass(a.masses[0], c.amount("mass") - a.capstan_mass, at);
    a.capstan_mass = c.amount("mass");
    weigh_front(a);
  }

  std::string hand(const Hand& h) const override {
    std::string out = h.word("shape") + " cap";
    if (h.has("diameter")) out += ", diameter " + h.mm_words("diameter");
    if (h.has("dome_radius") && h.word("shape") == "domed")
      out += ", dome radius " + h.mm_words("dome_radius", 0);
    if (h.has("edge_fillet")) out += ", edge rounded to " + h.mm_words("edge_fillet");
    if (h.has("height"))
      out += fmt::format(", {} {} than the old one", h.mm_words("height"),
                         h.value("height") >= 0 ? "taller" : "lower");
    if (h.has("mass")) out += fmt::format(", capstan then {:.1f} g", h.value("mass") * 1e3);
    return out;
  }

  void fill(Work& m) const override {
    if (m.has("diameter")) m.mm("cap, diameter", m.value("diameter"), "across", "diameter");
    if (m.has("dome_radius")) m.mm("cap, dome radius", m.value("dome_radius"), "radius gauge", "dome_radius");
    if (m.has("edge_fillet"))
      m.mm("cap, edge rounded to", m.value("edge_fillet"), "radius gauge", "edge_fillet");
    if (m.has("height")) m.mm("cap taller than the old one by", m.value("height"), "minus: lower", "height");
    if (m.has("mass")) m.mark("whole capstan", m.value("mass"), "g", 1, "on the scale", "mass");
    mark_cap_height(m);
    m.step(fmt::format("Fit the {} caps; polish what touches the cloth.", m.word("shape")));
    m.step("Set the height given, then regulate.");
    m.tool("caps, capstan key, radius gauge");
  }
};

}  // namespace

const Remedy& cap() {
  static const Cap the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
