// balance punching halved: half of the balance punching cut away, so the key turns about its edge.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/balance_point.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;

namespace {

// +1 towards the strings, -1 towards the balance rail (and the player).
double towards_strings(const Change& c) { return c.says("direction", "toward the strings") ? 1.0 : -1.0; }

// The half that is cut away, when the key then turns further that way.
std::string half_cut(const Hand& h) {
  return h.way("shift") == "toward the strings" ? "player's" : "strings'";
}

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"balance punching halved",
          120,
          "half of the balance punching cut away, so the key turns about its edge",
          "the point the key turns about, so its ratio",
          {"front weight as weighed about the new point", "key height and dip"},
          "yes",
          kUndoneWithWork,
          {"note", 3, 8},
          "key height and dip change with it; the punching may turn on its pin",
          {"saw and knife"},
          {amount("shift", length, "0.5 mm", "0.2 to 12 mm", "how far the balance point moves"),
           word("direction", {"toward the player", "toward the strings"}, "which way")}};
}

class BalancePunchingHalved final : public Remedy {
 public:
  BalancePunchingHalved() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change&) const override { return {{"balance point", "the balance point"}}; }

  void alter(const Change& c, ActionDesign& a) const override {
    move_balance_point(a, towards_strings(c) * c.amount("shift"));
  }

  std::string hand(const Hand& h) const override {
    return fmt::format("cut the {} half of the balance punching away: the key turns {} {}", half_cut(h),
                       h.mm_words("shift"), h.way("shift"));
  }

  void fill(Work& m) const override {
    m.mm("balance point moves", m.value("shift"), m.way("shift"), "shift");
    m.mark("front weight then", m.changed.front_weight, "gf", 1, "weighed about the new balance point");
    m.step(
        fmt::format("Cut away the {} half of the punching along a line through the pin, square to the key.",
                    half_cut(m)));
    m.step("Lay it back so that it can not turn on its pin. Check key height and level.");
    m.tool("sharp knife, cutting board; the whole punchings kept");
  }
};

}  // namespace

const Remedy& balance_punching_halved() {
  static const BalancePunchingHalved the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
