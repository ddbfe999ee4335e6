// spread shim: card or shim behind the flanges of one rail.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;
using base::Vec2;

namespace {

double spread(const ActionDesign& d) { return (d.p_P - d.p_H).norm(); }

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"spread shim",
          110,
          "card or shim behind the flanges of one rail",
          "the distance between wippen and hammer centres",
          {"on the hammer rail the strike point and the drop screw go with the hammer centre",
           "on the wippen rail the heel moves over the capstan"},
          "yes",
          kUndoneWithWork,
          {"set", 1, 4},
          "the stack must stay square, and the strike line moves with a shimmed hammer rail",
          {},
          {amount("thickness", length, "0.05 mm", "0.05 to 4 mm", "how far the centres move"),
           word("rail", {"hammer rail", "wippen rail"}, "which centres move"),
           word("direction", {"wider", "closer"}, "spread afterwards")}};
}

class SpreadShim final : public Remedy {
 public:
  SpreadShim() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change& c) const override {
    return {{"shim " + c.word("rail"), "the shim of the " + c.word("rail")}};
  }

  // Centres moved along the line that joins them, so the spread changes by the shim. The drop screw sits in the
  // hammer's flange; rails and let-off button stay.
  void alter(const Change& c, ActionDesign& a) const override {
    const double wider = (c.says("direction", "wider") ? 1.0 : -1.0) * c.amount("thickness");
    const Vec2 away = (a.p_H - a.p_P).normalized();  // from the wippen centre to the hammer centre
    if (c.says("rail", "hammer rail")) {
      a.p_H += wider * away;
      a.drop_screw += wider * away;
    } else {
      a.p_P -= wider * away;
    }
  }

  std::string hand(const Hand& h) const override {
    return fmt::format("{} at the {}, spread {}: then {:.1f} mm", h.mm_words("thickness", 2), h.word("rail"),
                       h.way("thickness"), spread(h.changed) * 1e3);
  }

  void fill(Work& m) const override {
    m.mm("shim", m.value("thickness"), "behind the flanges of the " + m.word("rail"), "thickness", 2);
    m.mm("spread then", spread(m.changed), "pin to pin", "thickness");
    m.mm("spread before", spread(m.base), "pin to pin");
    m.step(fmt::format("Loosen the {} and lay the shim over its whole length, so that the spread becomes {}.",
                       m.word("rail"), m.way("thickness")));
    m.step(
        "Tighten in turns from the middle; measure the spread at both ends and in the middle: the stack must "
        "stay square.");
    m.step("Look at the strike line and the drop screws before anything is regulated.");
    m.tool("card of even thickness, thickness gauge, screwdriver");
  }
};

}  // namespace

const Remedy& spread_shim() {
  static const SpreadShim the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
