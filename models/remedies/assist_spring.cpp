// assist spring: a spring that helps the key down.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;

namespace {

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"assist spring",
          100,
          "a spring that helps the key down",
          "a torque on the key",
          {"down and up weight fall alike, inertia stays", "its help fades as the key goes down"},
          "yes",
          kUndoneWithWork,
          {"note", 6, 16},
          "a key on springs can feel bouncy",
          {"springs"},
          {amount("strength", weight, "1 gf", "-40 to 40 gf", "help at the playing point, key at rest"),
           amount("fade", number, "", "0 to 1", "share of it that is gone at full dip", by_default,
                  "0 (0 to 0.3)")}};
}

class AssistSpring final : public Remedy {
 public:
  AssistSpring() : Remedy(its_row()) {}

  void alter(const Change& c, ActionDesign& a) const override {
    const double torque = c.amount("strength") * a.key_front_arm;
    const double usual_dip = a.dip > 0 ? a.dip : 10e-3;  // where a policy leaves the dip open
    a.assist_torque += torque;
    a.assist_rate += torque * c.amount_or("fade", 0) * a.key_front_arm / usual_dip;
  }

  std::string hand(const Hand& h) const override {
    return fmt::format("fit the spring and set it until down weight, key at rest, is {} {} than without it",
                       h.gf_words("strength"), h.value("strength") >= 0 ? "less" : "more");
  }

  void fill(Work& m) const override {
    m.mark("help of the spring", m.value("strength"), "gf", 1, "at the playing point, key at rest",
           "strength");
    m.mark_balance_weight();
    m.step("Fit the spring without its help and weigh off.");
    m.step(
        "Set its strength until the balance weight has fallen to the one given; down and up weight fall "
        "alike.");
    m.tool("spring pliers, weights");
  }
};

}  // namespace

const Remedy& assist_spring() {
  static const AssistSpring the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
