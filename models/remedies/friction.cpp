// friction: easing, lubricating or burnishing one place.
#include <fmt/format.h>

#include "models/case_file/trade_names.h"
#include "models/remedies/all.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"
#include "sim/base/units.h"

namespace leverwright::remedies {

using case_file::CaseDescription;

namespace {

std::string law_path(const Change& c) {
  const std::string place = c.word("place");
  return place.empty() ? "" : "contact." + place + ".friction";
}

std::string friction_path(const std::string& of) { return of.empty() ? "" : "friction." + of; }
std::string pivot_path(const Change& c) { return friction_path(c.word("pivot")); }
std::string bushing_path(const Change& c) { return friction_path(c.word("bushing")); }

RemedyRow its_row() {
  using namespace case_file::rows;
  return {
      "friction",
      70,
      "easing, lubricating or burnishing one place",
      "the friction there and nothing else",
      {},
      "partly",
      kUndoneWithWork,
      {"note", 2, 16},
      "it cures friction only, not the geometry; easing too far makes parts wander and jacks slip out early",
      {"solvents", "thin glue"},
      {word_from("place", WordsFrom::kContactPlace, "contact treated", 'a'),
       amount("coefficient", number, "20 %", "0 to 1.5", "sliding friction coefficient after it", required,
              "", 'a'),
       word("pivot", {"hammer_centre", "wippen_centre", "jack_centre", "lever_centre"}, "centre treated", "",
            'b'),
       amount("torque", torque, "0.5 gf at 23 mm", "0 to 30 gf at 23 mm", "friction of the centre after it",
              required, "", 'b'),
       word("bushing", {"key_balance", "key_front"}, "key bushing treated", "", 'c'),
       amount("weight", weight, "0.5 gf", "0 to 20 gf", "friction at the playing point after it", required,
              "", 'c')},
      true};
}

class Friction final : public Remedy {
 public:
  Friction() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change& c) const override {
    std::vector<Claim> out;
    for (const std::string& path : {law_path(c), pivot_path(c), bushing_path(c)})
      if (!path.empty()) out.push_back({path, path});
    return out;
  }

  void replace_values(CaseDescription& d, const Change& c) const override {
    if (!law_path(c).empty()) replace_one(d, c, "coefficient", law_path(c));
    if (!pivot_path(c).empty()) replace_one(d, c, "torque", pivot_path(c));
    if (!bushing_path(c).empty()) replace_one(d, c, "weight", bushing_path(c));
  }

  std::string name_of(const Change& c, const std::string&) const override {
    for (const std::string& path : {pivot_path(c), bushing_path(c), law_path(c)})
      if (!path.empty()) return case_file::trade_name(path) + " once treated";
    return row.kind;
  }

  std::string hand(const Hand& h) const override {
    if (!h.word("place").empty())
      return fmt::format("bring the {} to {:.2f}: pressed together by 100 g, {:.0f} g draw it along",
                         case_file::trade_name("contact." + h.word("place") + ".friction"),
                         h.value("coefficient"), 100 * h.value("coefficient"));
    if (!h.word("pivot").empty())
      return fmt::format("ease or re-pin the {} to {:.1f} gf at 23 mm, moving", h.plain("pivot"),
                         h.value("torque") / 23e-3 / base::kGramForce);
    return fmt::format("bring the {} to {} at the playing point",
                       case_file::trade_name("friction." + h.word("bushing")), h.gf_words("weight"));
  }

  void fill(Work& m) const override {
    if (m.has("torque")) {
      m.mark(m.plain("pivot") + ", gauge", m.value("torque"), "gf at 23 mm", 1, "moving, flange held",
             "torque");
      m.step(
          "Gauge the centre. Ease it or fit the pin that gives the reading; gauge again after ten swings.");
      m.tool("friction gauge, reamers, centre pins");
    } else if (m.has("weight")) {
      m.mark("bushing " + m.plain("bushing"), m.value("weight"), "gf", 1, "at the playing point, stack off",
             "weight");
      m.step(
          "Ease the bushing with pliers made for it, a little at a time, and weigh it again: a key that "
          "rattles has been eased too far.");
      m.tool("easing pliers, small weights");
    } else {
      m.mark(m.plain("place") + ", friction coefficient", m.value("coefficient"), "", 2,
             "no gauge reads it: the friction weighed below shows it", "coefficient");
      m.step(
          "Clean the two surfaces, then burnish or treat the one of cloth, felt or leather; a treatment that "
          "wets the leather hardens it.");
      m.tool("soft brush, treatment tried on a scrap first");
    }
    m.mark_friction_to_aim_for();
    m.step("Weigh off: stop when the friction weighed is inside its band below, not when it is least.");
  }
};

}  // namespace

const Remedy& friction() {
  static const Friction the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
