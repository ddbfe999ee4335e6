// lead: a key lead put in, taken out or moved along the key.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/remedies/all.h"
#include "models/remedies/put_values.h"
#include "models/remedies/rows.h"
#include "models/remedies/work.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::remedies {

using case_file::CaseDescription;
using case_file::ChangeReader;

namespace {

constexpr double kLead = 11340;      // kg/m3 [@crc]
constexpr double kSamePlace = 5e-3;  // a lead as described is the one within this of it, m,
constexpr double kSameMass = 2e-3;   // and within this of its mass, kg

RemedyRow its_row() {
  using namespace case_file::rows;
  return {"lead",
          90,
          "a key lead added, removed or moved along the key",
          "static balance and inertia of the key",
          {"front weight by its moment", "reflected inertia by the square of its distance"},
          "partly",
          kUndoneWithWork,
          {"note", 4, 16},
          "a heavily leaded key feels slow when played hard; old holes stay",
          {"key leads", "drilling"},
          {case_file::lead_arguments()[0], case_file::lead_arguments()[1],
           word("action", {"add", "remove", "move"}, "put in, taken out, or moved to another place", "add"),
           amount("to", length, "0.5 mm", "-200 to 260 mm", "where a moved lead goes, from the balance hole",
                  optional)}};
}

class Lead final : public Remedy {
 public:
  Lead() : Remedy(its_row()) {}

  void read_rest(const ChangeReader& r, const case_file::Node& node, Change& c) const override {
    if (c.word("action").empty() || c.says("action", "move") == c.has("to")) return;
    r.problems.add(
        r.file, node.line,
        c.has("to") ? "\"to\" belongs to a lead that is moved" : "a lead is moved, but not said where to",
        "action = \"move\" and to = \"120 mm\" together", "give both, or neither");
  }

  std::string excludes(const Change& c, const Change& other) const override {
    if (other.remedy != c.remedy || other.word("action") == c.word("action")) return "";
    if (std::abs(c.amount("distance") - other.amount("distance")) >= kSamePlace || c.says("action", "add"))
      return "";
    return "the lead that one takes away is the one the other puts in or takes elsewhere";
  }

  // The lead's share of the front weight goes with it: mass times gravity times distance over the front length.
  void replace_values(CaseDescription& d, const Change& c) const override {
    const case_file::Quantity& mass = c.quantities.at("mass");
    const case_file::Quantity& distance = c.quantities.at("distance");
    const std::string& action = c.choices.at("action");
    const bool add = action == "add";
    double moved = mass.value, at = distance.value, arm = at;  // moment gained: moved * arm
    if (add) {
      d.leads.push_back({mass.value, distance.value, mass.sigma, distance.sigma, c.place});
    } else {
      const auto meant = std::find_if(d.leads.begin(), d.leads.end(), [&](const case_file::Lead& lead) {
        return std::abs(lead.distance - at) < kSamePlace && std::abs(lead.mass - moved) < kSameMass;
      });
      if (meant == d.leads.end())
        throw base::UserError(
            {{c.place.file, c.place.line, c.place.line_text, "there is no such lead to remove",
              "a [[lead]] of the case within 5 mm and 2 g of it",
              "list the key's leads, or correct mass and distance"}});
      moved = meant->mass;
      arm = -meant->distance;
      if (action == "move") {
        const case_file::Quantity& to = c.quantities.at("to");
        arm += to.value;
        meant->distance = to.value;
        meant->sigma_distance = to.sigma;
      } else {
        d.leads.erase(meant);
      }
    }
    const auto front = d.quantities.find("measured.front_weight");
    const auto length = d.quantities.find("measured.key_front_length");
    if (front == d.quantities.end() || length == d.quantities.end()) return;
    front->second.value += moved * base::kGravity * arm / length->second.value;
  }

  // A lead slid along the key is back in minutes; one put in or taken out leaves a hole.
  int undone(const Change& c) const override {
    return c.says("action", "move") ? kUndoneInMinutes : row.undone;
  }

  std::string hand(const Hand& h) const override {
    const std::string lead =
        fmt::format("{:.1f} g of lead {}", h.value("mass") * 1e3, on_key(h.value("distance")));
    if (h.word("action") == "remove") return "take out " + lead;
    if (h.word("action") == "move") return "move " + lead + " to " + on_key(h.value("to"));
    return "put in " + lead;
  }

  void fill(Work& m) const override {
    const bool out = m.word("action") == "remove", moved = m.word("action") == "move";
    const double at = moved ? m.value("to") : m.value("distance");
    const auto side = [](double x) {
      return x >= 0 ? "in front of the balance hole" : "behind the balance hole";
    };
    m.mark("lead, mass", m.value("mass"), "g", 1, "on the scale", out ? "" : "mass");
    m.mm(out ? "lead to take out" : "lead, middle", std::abs(at), side(at),
         moved ? "to"
         : out ? ""
               : "distance");
    if (moved)
      m.mm("lead, middle before", std::abs(m.value("distance")), side(m.value("distance")), "distance");
    // A slug through the whole width: m = rho w pi d^2 / 4.
    if (!out)
      m.mm("hole, if the slug is as long as the key is wide",
           std::sqrt(4 * m.value("mass") / (base::kPi * kLead * m.changed.key_width)),
           fmt::format("diameter; the key is {:.1f} mm wide, lead 11.34 g/cm3", 1e3 * m.changed.key_width),
           "");
    m.mark("front weight then", m.changed.front_weight, "gf", 1, "key on a knife edge at the balance hole");
    m.mark("front weight before", m.base.front_weight, "gf", 1, "the same way");
    if (out || moved)
      m.step(
          "Press the lead out over a hole in the bench, wet; plug the hole with wood where it stays empty.");
    if (!out) {
      m.step("Lay the lead on the key at the mark and weigh the front weight before a hole is drilled.");
      m.step(
          "Clamp the key, drill across it at the mark in the middle of its height, press or swage the lead "
          "in.");
    }
    m.step("Weigh the front weight.");
    m.tool("scale, knife edge");
    m.tool("drill with a guide, clamp, gloves, wet cloth, closed bag");
  }
};

}  // namespace

const Remedy& lead() {
  static const Lead the_remedy;
  return the_remedy;
}

}  // namespace leverwright::remedies
