// balance punching shimmed: card or paper under the balance punching, or under half of it.
#include <fmt/format.h>

#include "models/remedies/all.h"
#include "models/remedies/balance_point.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"

namespace leverwright::remedies {

using action::ActionDesign;

namespace {

constexpr const char *kWhole = "the whole punching", *kPlayers = "the player's half",
                     *kStrings = "the strings' half";

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"balance punching shimmed",
          130,
          "card or paper under the balance punching, or under half of it",
          "the height the key turns at and, under a half only, the point it turns about",
          {"key height, dip and the capstan's height", "front weight as weighed about the new point"},
          "yes",
          kUndoneWithWork,
          {"note", 2, 6},
          "key height and dip change with it; half a shim may creep",
          {},
          {amount("thickness", length, "0.02 mm", "0.02 to 3 mm", "thickness of the shim"),
           word("under", {kWhole, kPlayers, kStrings}, "where it lies", kWhole),
           amount("shift", length, "", "0 to 12 mm", "how far half a shim moves the balance point",
                  by_default, "2.5 mm (0.5 to 5 mm)")}};
}

class BalancePunchingShimmed final : public Remedy {
 public:
  BalancePunchingShimmed() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change& c) const override {
    std::vector<Claim> out;
    if (!c.says("under", kWhole)) out.push_back({"balance point", "the balance point"});
    out.push_back({"balance height", "the height of the balance"});
    return out;
  }

  // The key as a whole stands higher where it turns; half a shim carries it on that half.
  void alter(const Change& c, ActionDesign& a) const override {
    a.p_balance.y() += c.amount("thickness");
    if (c.says("under", kPlayers)) move_balance_point(a, -c.amount_or("shift", 0));
    if (c.says("under", kStrings)) move_balance_point(a, c.amount_or("shift", 0));
  }

  std::string hand(const Hand& h) const override {
    return h.mm_words("thickness", 2) + " under " + h.word("under");
  }

  void fill(Work& m) const override {
    m.mm("shim", m.value("thickness"), "under " + m.word("under"), "thickness", 2);
    if (m.has("shift") && !m.c.says("under", kWhole))
      m.mm("balance point moves by about", m.value("shift"), "toward the shimmed half");
    m.mm("key height at rest, change", m.found.key_height_change, "at the playing point, plus: higher", "",
         2);
    m.step(fmt::format("Take the key off, lay the shim under {}, put the key back.", m.word("under")));
    m.step("Check key height and level, then regulate.");
    m.tool("paper or card of known thickness, thickness gauge, tweezers");
  }
};

}  // namespace

const Remedy& balance_punching_shimmed() {
  static const BalancePunchingShimmed the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
