// heel re-covered: old heel cloth taken off and new cloth laid.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/heel_surface.h"
#include "models/remedies/masses.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;
using case_file::CaseDescription;
using case_file::ChangeReader;

namespace {

constexpr const char* kPlace = "capstan_heel";

// Upper hull of the heel's heights (as a thread stretched over the cushion): hollows worn into old cloth.
std::vector<double> without_hollows(const std::vector<double>& h) {
  std::vector<std::size_t> hull;
  const auto falls_short = [&](std::size_t i, std::size_t j, std::size_t k) {  // j below the line i..k
    const double share = static_cast<double>(j - i) / static_cast<double>(k - i);
    return h[j] <= h[i] + share * (h[k] - h[i]);
  };
  for (std::size_t k = 0; k < h.size(); ++k) {
    while (hull.size() > 1 && falls_short(hull[hull.size() - 2], hull.back(), k)) hull.pop_back();
    hull.push_back(k);
  }
  std::vector<double> out = h;
  for (std::size_t n = 1; n < hull.size(); ++n)
    for (std::size_t k = hull[n - 1]; k < hull[n]; ++k) {
      const double share = static_cast<double>(k - hull[n - 1]) / static_cast<double>(hull[n] - hull[n - 1]);
      out[k] = h[hull[n - 1]] + share * (h[hull[n]] - h[hull[n - 1]]);
    }
  return out;
}

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"heel re-covered",
          40,
          "old heel cloth taken off and new cloth laid",
          "the cushion's law and friction, and the heel's height by the difference of the cloths",
          {"worn hollows in the old cloth are gone", "blow and dip shift until it has settled",
           "the wippen is heavier or lighter by the difference of the cloths"},
          "yes",
          kUndoneWithWork,
          {"note", 6, 14},
          "cloth settles: blow and dip shift in the first months; all 88 alike in thickness",
          {"heat and steam", "saw and knife", "thin glue", "dust"},
          {word_from("id", WordsFrom::kMaterialId, "file name of the new cloth"),
           amount("thickness", length, "0.1 mm", "0.5 to 6 mm", "thickness of the new cloth"),
           word("groove", {"in the old cloth", "in the wood"},
                "where hollows of the traced heel are: in the cloth they go with it", "in the old cloth"),
           cloth_density(), heel_width()}};
}

class HeelReCovered final : public Remedy {
 public:
  HeelReCovered() : Remedy(its_row()) {}

  void read_rest(const ChangeReader& reader, const case_file::Node& node, Change& c) const override {
    read_library_values(reader, node, false, kPlace, c);
  }

  std::vector<Claim> claims(const Change&) const override {
    return {{std::string("cloth at ") + kPlace, std::string("what covers ") + kPlace}};
  }

  void replace_values(CaseDescription& d, const Change& c) const override { replace_material(d, c, kPlace); }

  // New cloth on the old heel; its law and friction came with its file. A worn hollow goes with the old cloth.
  void alter(const Change& c, ActionDesign& a) const override {
    const double thicker = c.amount("thickness") - a.heel_cloth_thickness;
    if (c.says("groove", "in the old cloth")) a.heel_h = without_hollows(a.heel_h);
    for (double& h : a.heel_h) h += thicker;
    a.heel_cloth_thickness += thicker;
    a.heel_cloth_is_new = true;
    const double mass = c.amount_or("density", 0) * c.amount_or("width", 0) * heel_length(a) * thicker;
    add_to_wippen(a, mass, heel_point(a, heel_middle(a)));
  }

  std::string hand(const Hand& h) const override {
    return fmt::format("lay \"{}\", {} thick (was {:.1f} mm)", h.word("id"), h.mm_words("thickness"),
                       h.base.heel_cloth_thickness * 1e3);
  }

  void fill(Work& m) const override {
    m.mm("new cloth, thickness", m.value("thickness"), "not pressed", "thickness", 2);
    m.mm("old cloth, thickness", m.base.heel_cloth_thickness, "not pressed", "", 2);
    if (m.has("width")) m.mm("new cloth, width", m.value("width"), "across the heel", "width");
    m.mm("new cloth, length", m.changed.heel_x.back() - m.changed.heel_x.front(), "along the heel, at least");
    m.mm("heel's surface then", face_depth(m.changed), "below the wippen centre, middle of the face",
         "thickness");
    m.step(
        fmt::format("Take the old cloth off dry or with little steam; keep one heel untouched as a pattern. "
                    "Hollows are taken to be {}.",
                    m.word("groove")));
    m.step(fmt::format("Lay \"{}\" without stretching it, glued at its ends.", m.word("id")));
    m.step("Press it by playing some hundred times before it is regulated.");
    m.tool("cloth from one piece for all notes, thickness gauge, glue");
  }
};

}  // namespace

const Remedy& heel_re_covered() {
  static const HeelReCovered the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
