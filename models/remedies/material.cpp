// material: another cloth, felt or leather at one contact.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/part.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using case_file::CaseDescription;
using case_file::ChangeReader;

namespace {

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"material",
          20,
          "another cloth, felt or leather at one contact",
          "the law and the friction of the surface",
          {"what was worn into the old surface is gone"},
          "yes",
          kUndoneWithWork,
          {"note", 3, 10},
          "cloth settles: blow and dip shift in the first months",
          {"solvents", "thin glue", "saw and knife", "dust"},
          {word_from("place", WordsFrom::kContactPlace, "contact covered"),
           word_from("id", WordsFrom::kMaterialId, "file name of the new material")}};
}

class Material final : public Remedy {
 public:
  Material() : Remedy(its_row()) {}

  void read_rest(const ChangeReader& reader, const case_file::Node& node, Change& c) const override {
    read_library_values(reader, node, false, c.word("place"), c);
  }

  std::vector<Claim> claims(const Change& c) const override {
    return {{"cloth at " + c.word("place"), "what covers " + c.word("place")}};
  }

  void replace_values(CaseDescription& d, const Change& c) const override {
    replace_material(d, c, c.choices.at("place"));
  }

  bool is_set_by_hand(const case_file::Quantity& q) const override {
    return Remedy::is_set_by_hand(q) && is_measured_on_a_part(q.dimension);
  }

  std::string hand(const Hand& h) const override {
    return "cover " + h.plain("place") + " with \"" + h.word("id") + "\"";
  }

  void fill(Work& m) const override {
    m.step(fmt::format("Cover {} with \"{}\", laid without stretching, from one piece for all notes.",
                       m.plain("place"), m.word("id")));
    m.step("Press it by playing some hundred times before it is regulated.");
    m.mark_bought_amounts();
    m.mark_friction_to_aim_for();
    m.tool("cloth, felt or leather of even thickness, glue");
  }
};

}  // namespace

const Remedy& material() {
  static const Material the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
