// hammer weight: hammer made lighter or heavier.
#include <fmt/format.h>

#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/masses.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"
#include "sim/base/units.h"

namespace leverwright::remedies {

using action::ActionDesign;
using case_file::CaseDescription;

namespace {

// Mass of the head alone acts at the strike line; else the whole hammer's weight changes.
bool is_of_head(const Change& c) { return c.says("taken_from", "head"); }

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"hammer weight",
          80,
          "hammer made lighter (negative) or heavier",
          "the hammer's mass, its moment on the shank and its inertia",
          {"everything upstream feels it times the ratio", "tone"},
          "no",
          kNotReversible,
          {"note", 4, 12},
          "the tone changes with the hammers",
          {"saw and knife", "dust"},
          {amount("amount", weight, "0.1 gf", "-10 to 10 gf", "change of the strike weight"),
           word("taken_from", {"head", "head and shank alike"},
                "where the mass is taken off or added: in the head it acts at the strike line", "head")}};
}

class HammerWeight final : public Remedy {
 public:
  HammerWeight() : Remedy(its_row()) {}

  std::vector<Claim> claims(const Change&) const override {
    return {{"measured.strike_weight", "the strike weight"}};
  }

  void replace_values(CaseDescription& d, const Change& c) const override {
    if (!is_of_head(c)) d.quantities["measured.strike_weight"].value += c.amount("amount");
  }

  // Mass off the head acts at the strike line, in the middle of the head's outline; the strike weight changes
  // by just its weight (SW F = g m x_cm).
  void alter(const Change& c, ActionDesign& a) const override {
    if (!is_of_head(c)) return;
    const double weight = c.amount("amount");
    double y = 0;
    for (const Vec2& p : a.head_outline) y += p.y() / static_cast<double>(a.head_outline.size());
    add_mass(a.masses[4], weight / base::kGravity, Vec2(a.hammer_length, y));
    a.strike_weight += weight;
  }

  std::string hand(const Hand& h) const override {
    const bool off = h.value("amount") < 0;
    return fmt::format("{} {:.1f} g {} the head: strike weight {:.1f} gf (was {:.1f} gf)",
                       off ? "take" : "add", std::abs(h.value("amount")) / base::kGramForce,
                       off ? "off" : "to", h.changed.strike_weight / base::kGramForce,
                       h.base.strike_weight / base::kGramForce);
  }

  void fill(Work& m) const override {
    m.mark(m.value("amount") < 0 ? "take off" : "add", std::abs(m.value("amount")), "gf", 1,
           m.word("taken_from") == "head" ? "from the head, at the strike line" : "head and shank alike",
           "amount");
    m.mark("strike weight then", m.changed.strike_weight, "gf", 1, "shank level, strike point on the scale",
           "amount");
    m.mark("strike weight before", m.base.strike_weight, "gf", 1, "the same way");
    m.cut(
        "Weigh hammer and shank. Take the mass off evenly from both sides of the head, never from the crown's "
        "striking felt; weigh again until the strike weight is reached.");
    m.step("Play the trial note for its tone before the next hammer is touched.");
    m.tool("scale, 0.1 g, shank held level");
  }
};

}  // namespace

const Remedy& hammer_weight() {
  static const HammerWeight the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
