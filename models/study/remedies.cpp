#include "models/study/remedies.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "sim/base/units.h"

namespace leverwright::study {

namespace {

using action::ActionDesign;
using case_file::Change;

struct Reader {
  const Change& c;
  const ActionDesign &base, &changed;

  bool has(const char* name) const { return c.quantities.count(name) != 0; }
  double value(const char* name) const { return has(name) ? c.quantities.at(name).value : 0; }
  std::string mm(const char* name, int decimals = 1) const {
    return fmt::format("{:.{}f} mm", std::abs(value(name)) * 1e3, decimals);
  }
  std::string gf(const char* name) const {
    return fmt::format("{:.1f} gf", std::abs(value(name)) / base::kGramForce);
  }
  std::string word(const char* name) const {
    const auto found = c.choices.find(name);
    return found == c.choices.end() ? "" : found->second;
  }
  // "hammer_centre" -> "hammer centre"
  std::string plain(const char* name) const {
    std::string out = word(name);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
  }
  // The direction as given, or the other one where a sought amount came out negative.
  std::string way(const char* amount) const {
    const std::string given = word("direction");
    if (value(amount) >= 0) return given;
    if (given == "wider") return "closer";
    if (given == "closer") return "wider";
    if (given != "toward the strings") return "toward the strings";
    return c.kind == "balance punching halved" ? "toward the player" : "toward the balance rail";
  }
};

std::string on_key(double distance) {  // positive towards the player
  return fmt::format("{:.1f} mm {} the balance hole", std::abs(distance) * 1e3,
                     distance >= 0 ? "in front of" : "behind");
}

std::string words_for_friction(const Reader& r) {
  if (!r.word("place").empty())
    return fmt::format("treat {} until its friction coefficient is {:.2f}", r.plain("place"),
                       r.value("coefficient"));
  if (!r.word("pivot").empty())
    return fmt::format("ease or re-pin the {} to {:.1f} gf at 23 mm, moving", r.plain("pivot"),
                       r.value("torque") / 23e-3 / base::kGramForce);
  return fmt::format("ease the bushing {} to {} at the playing point", r.plain("bushing"), r.gf("weight"));
}

std::string words_for_lead(const Reader& r) {
  const std::string lead =
      fmt::format("{:.1f} g of lead {}", r.value("mass") * 1e3, on_key(r.value("distance")));
  if (r.word("action") == "remove") return "take out " + lead;
  if (r.word("action") == "move") return "move " + lead + " to " + on_key(r.value("to"));
  return "put in " + lead;
}

std::string words_for_cap(const Reader& r) {
  std::string out = r.word("shape") + " cap";
  if (r.has("diameter")) out += ", diameter " + r.mm("diameter");
  if (r.has("dome_radius") && r.word("shape") == "domed") out += ", dome radius " + r.mm("dome_radius", 0);
  if (r.has("edge_fillet")) out += ", edge rounded to " + r.mm("edge_fillet");
  if (r.has("height"))
    out +=
        fmt::format(", {} {} than the old one", r.mm("height"), r.value("height") >= 0 ? "taller" : "lower");
  if (r.has("mass")) out += fmt::format(", capstan then {:.1f} g", r.value("mass") * 1e3);
  return out;
}

std::string words_for_lean(const Reader& r) {
  const double degrees = r.changed.cap_lean / base::kDegree;
  const double from = r.base.cap_lean / base::kDegree;
  // A square's tongue held along the capstan shows the offset over a length that can be read.
  const double over = 25e-3 * std::abs(std::tan(r.changed.cap_lean));
  return fmt::format("lean the capstan from {:.1f} to {:.1f} deg: top {:.1f} mm toward the {} over 25 mm, {}",
                     from, degrees, over * 1e3, degrees >= 0 ? "strings" : "player",
                     r.word("about") == "centre of its dome" ? "centre of its dome kept in place"
                                                             : "middle of its cap kept in place");
}

std::string words_for_knuckle(const Reader& r) {
  std::string out;
  if (r.has("hanging_distance"))
    out = fmt::format("knuckle core {:.1f} mm from the hammer centre along the shank (was {:.1f} mm)",
                      r.value("hanging_distance") * 1e3, r.base.hanging_distance * 1e3);
  if (r.has("diameter"))
    out += (out.empty() ? "" : ", ") + fmt::format("knuckle {} across its leather (was {:.1f} mm)",
                                                   r.mm("diameter"), 2e3 * r.base.knuckle_radius);
  return out;
}

using Words = std::function<std::string(const Reader&)>;

const std::map<std::string, Words>& hand_words() {
  static const std::map<std::string, Words> table = {
      {"part", [](const Reader& r) { return "fit " + r.word("slot") + " \"" + r.word("id") + "\""; }},
      {"material",
       [](const Reader& r) { return "cover " + r.plain("place") + " with \"" + r.word("id") + "\""; }},
      {"set value", [](const Reader& r) { return "set " + r.word("key") + " otherwise"; }},
      {"heel re-covered",
       [](const Reader& r) {
         return fmt::format("lay \"{}\", {} thick (was {:.1f} mm)", r.word("id"), r.mm("thickness"),
                            r.base.heel_cloth_thickness * 1e3);
       }},
      {"knuckle", words_for_knuckle},
      {"cap", words_for_cap},
      {"friction", words_for_friction},
      {"hammer weight",
       [](const Reader& r) {
         return fmt::format("{} {:.1f} g {} the head: strike weight {:.1f} gf (was {:.1f} gf)",
                            r.value("amount") < 0 ? "take" : "add",
                            std::abs(r.value("amount")) / base::kGramForce,
                            r.value("amount") < 0 ? "off" : "to", r.changed.strike_weight / base::kGramForce,
                            r.base.strike_weight / base::kGramForce);
       }},
      {"lead", words_for_lead},
      {"assist spring",
       [](const Reader& r) {
         return fmt::format(
             "fit the spring and set it until down weight, key at rest, is {} {} than without it",
             r.gf("strength"), r.value("strength") >= 0 ? "less" : "more");
       }},
      {"spread shim",
       [](const Reader& r) {
         const double spread = (r.changed.p_P - r.changed.p_H).norm();
         return fmt::format("{} at the {}, spread {}: then {:.1f} mm", r.mm("thickness", 2), r.word("rail"),
                            r.way("thickness"), spread * 1e3);
       }},
      {"balance punching halved",
       [](const Reader& r) {
         return fmt::format("cut the {} half of the balance punching away: the key turns {} {}",
                            r.way("shift") == "toward the strings" ? "player's" : "strings'", r.mm("shift"),
                            r.way("shift"));
       }},
      {"balance punching shimmed",
       [](const Reader& r) { return r.mm("thickness", 2) + " under " + r.word("under"); }},
      {"capstan moved",
       [](const Reader& r) {
         return fmt::format("new capstan hole {} {}: middle of the cap {} (was {:.1f} mm)", r.mm("distance"),
                            r.way("distance"), on_key(-r.changed.cap_apex.x()),
                            std::abs(r.base.cap_apex.x()) * 1e3);
       }},
      {"capstan lean", words_for_lean},
      {"heel re-glued",
       [](const Reader& r) {
         return fmt::format(
             "cut the heel off, glue it on {} {}, {}: lifting face then {:.1f} to {:.1f} mm from the wippen "
             "centre",
             r.mm("shift"), r.way("shift"),
             r.value("shim") > 0 ? "over a shim of " + r.mm("shim") : std::string("no shim"),
             -r.changed.lifting_face_to * 1e3, -r.changed.lifting_face_from * 1e3);
       }},
      {"heel bolstered",
       [](const Reader& r) { return "bolster of " + r.mm("thickness") + " under the whole cushion"; }},
      {"heel build-up",
       [](const Reader& r) {
         const double half = 0.5 * r.value("length"), centre = r.value("centre");
         return fmt::format(
             "strip {} thick, {:.1f} mm long, from {:.1f} to {:.1f} mm from the wippen centre, cloth {}",
             r.mm("height", 2), r.value("length") * 1e3, (centre - half) * 1e3, (centre + half) * 1e3,
             r.word("cloth").empty() ? "stretched over it" : r.word("cloth"));
       }},
  };
  return table;
}

}  // namespace

std::vector<RemedyLine> find_remedies(const case_file::SetUp& set_up, const ActionDesign& base_design,
                                      const ActionDesign& changed) {
  std::vector<const Change*> ordered;
  for (const Change& c : set_up.changes) ordered.push_back(&c);
  const case_file::Schema& schema = case_file::schema();
  std::stable_sort(ordered.begin(), ordered.end(), [&](const Change* one, const Change* other) {
    return schema.order_of(one->kind) < schema.order_of(other->kind);
  });
  std::vector<RemedyLine> out;
  for (const Change* c : ordered) {
    const auto words = hand_words().find(c->kind);
    out.push_back({c->kind, words == hand_words().end() ? c->kind : words->second({*c, base_design, changed}),
                   schema.find_change(c->kind), case_file::undone_class(*c)});
  }
  return out;
}

case_file::Labour labour_of(const case_file::SetUp& set_up) {
  case_file::Labour sum{"set", 0, 0};
  for (const Change& c : set_up.changes) {
    const case_file::ChangeSpec* spec = case_file::schema().find_change(c.kind);
    if (!spec) continue;
    if (spec->labour.per == "note") sum.per = "note";
    sum.hours_low += spec->labour.hours_low;
    sum.hours_high += spec->labour.hours_high;
  }
  return sum;
}

std::string reversible(const case_file::SetUp& set_up) {
  std::string worst = "yes";
  for (const Change& c : set_up.changes) {
    const case_file::ChangeSpec* spec = case_file::schema().find_change(c.kind);
    if (!spec) continue;
    if (spec->reversible == "no" || (spec->reversible == "partly" && worst == "yes"))
      worst = spec->reversible;
  }
  return worst;
}

}  // namespace leverwright::study
