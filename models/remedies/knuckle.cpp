// knuckle: knuckle hung at another distance, or of another diameter.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using case_file::CaseDescription;

namespace {

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"knuckle",
          50,
          "knuckle hung at another distance, or of another diameter",
          "the knuckle's place on the shank and its radius",
          {"jack and repetition lever meet it elsewhere, so both are set again"},
          "no",
          kNotReversible,
          {"note", 8, 20},
          "knuckles re-hung at one distance on every shank, square to it",
          {"saw and knife", "heat and steam", "thin glue"},
          {amount("hanging_distance", length, "0.1 mm", "12 to 25 mm",
                  "hammer centre to knuckle core along the shank", optional),
           amount("diameter", length, "0.2 mm", "6 to 15 mm", "knuckle across its leather", optional)}};
}

class Knuckle final : public Remedy {
 public:
  Knuckle() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change& c) const override {
    std::vector<Claim> out;
    claim_if_given(out, c, "hanging_distance", "measured.hanging_distance");
    claim_if_given(out, c, "diameter", "measured.knuckle_diameter");
    return out;
  }

  void replace_values(CaseDescription& d, const Change& c) const override {
    replace_one(d, c, "hanging_distance", "measured.hanging_distance");
    replace_one(d, c, "diameter", "measured.knuckle_diameter");
    d.quantities.erase("measured.knuckle_arm");  // it was the old knuckle's
  }

  std::string hand(const Hand& h) const override {
    std::string out;
    if (h.has("hanging_distance"))
      out = fmt::format("knuckle core {:.1f} mm from the hammer centre along the shank (was {:.1f} mm)",
                        h.value("hanging_distance") * 1e3, h.base.hanging_distance * 1e3);
    if (h.has("diameter"))
      out += (out.empty() ? "" : ", ") + fmt::format("knuckle {} across its leather (was {:.1f} mm)",
                                                     h.mm_words("diameter"), 2e3 * h.base.knuckle_radius);
    return out;
  }

  void fill(Work& m) const override {
    if (m.has("hanging_distance")) {
      m.mm("knuckle core", m.value("hanging_distance"), "from the hammer centre, along the shank",
           "hanging_distance");
      m.mm("knuckle core before", m.base.hanging_distance, "the same way");
    }
    if (m.has("diameter")) {
      m.mm("knuckle, diameter", m.value("diameter"), "across its leather", "diameter");
      m.mm("knuckle, diameter before", 2 * m.base.knuckle_radius, "across its leather");
    }
    m.cut(
        "Take the knuckle out of its slot; where its place changes, plug the slot with wood and cut the "
        "new one square across the shank at the mark.");
    m.step("Glue the knuckle in square; check that the jack meets the middle of its width.");
    m.tool("jig for the slot, fine saw, wood for plugs, glue");
  }
};

}  // namespace

const Remedy& knuckle() {
  static const Knuckle the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
