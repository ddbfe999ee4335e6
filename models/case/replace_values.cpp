// Changes that put one value in place of another. Geometry-making kinds (strips, moved or leaning capstans,
// re-glued heels, shifted balance points, assist springs) are worked out where the action is built.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case/case_description.h"
#include "models/case/quantity.h"
#include "models/case/read_values.h"
#include "models/case/schema.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::case_file {

namespace {

template <class Map>
void erase_below(Map& map, const std::string& section) {
  for (auto at = map.lower_bound(section + ".");
       at != map.end() && at->first.compare(0, section.size() + 1, section + ".") == 0;)
    at = map.erase(at);
}

// A new part or material brings all its values; what the old one had is gone, documented defaults come back.
void clear_section(CaseDescription& d, const std::string& section) {
  erase_below(d.quantities, section);
  erase_below(d.choices, section);
  erase_below(d.point_lists, section);
  for (const auto& [path, spec] : schema().keys) {
    if (spec.presence != Presence::kDefault || path.compare(0, section.size() + 1, section + ".") != 0)
      continue;
    Quantity q = std::get<Quantity>(read_quantity(spec.default_text, spec.dimension, spec.default_sigma));
    q.source = spec.source;
    q.from_default = true;
    d.quantities[path] = q;
  }
  for (const auto& [path, spec] : schema().choices)
    if (spec.presence == Presence::kDefault && path.compare(0, section.size() + 1, section + ".") == 0)
      d.choices[path] = spec.default_word;
}

void put_values(CaseDescription& d, const Change& change) {
  for (const auto& [path, q] : change.quantities)
    if (is_known_path(path)) d.quantities[path] = q;
  for (const auto& [path, word] : change.choices)
    if (is_known_path(path)) d.choices[path] = word;
  for (const auto& [path, list] : change.point_lists) d.point_lists[path] = list;
}

void replace_one(CaseDescription& d, const Change& change, const std::string& argument,
                 const std::string& path) {
  const auto given = change.quantities.find(argument);
  if (given != change.quantities.end()) d.quantities[path] = given->second;
}

// The lead's share of the front weight goes with it: mass times gravity times distance over the front length.
void change_lead(CaseDescription& d, const Change& change) {
  const Quantity& mass = change.quantities.at("mass");
  const Quantity& distance = change.quantities.at("distance");
  const std::string& action = change.choices.at("action");
  const bool add = action == "add";
  double moved = mass.value, at = distance.value, arm = at;  // moment gained: moved * arm
  if (add) {
    d.leads.push_back({mass.value, distance.value, mass.sigma, distance.sigma, change.place});
  } else {
    const auto meant = std::find_if(d.leads.begin(), d.leads.end(), [&](const Lead& lead) {
      return std::abs(lead.distance - at) < 5e-3 && std::abs(lead.mass - moved) < 2e-3;
    });
    if (meant == d.leads.end())
      throw base::UserError(
          {{change.place.file, change.place.line, change.place.line_text, "there is no such lead to remove",
            "a [[lead]] of the case within 5 mm and 2 g of it",
            "list the key's leads, or correct mass and distance"}});
    moved = meant->mass;
    arm = -meant->distance;
    if (action == "move") {
      const Quantity& to = change.quantities.at("to");
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

}  // namespace

const std::vector<std::pair<std::string, std::string>>& own_values() {
  static const std::vector<std::pair<std::string, std::string>> list = {
      {"wippen.weight", "measured.wippen_weight"},
      {"wippen.centre_friction", "friction.wippen_centre"},
      {"wippen.jack_friction", "friction.jack_centre"},
      {"wippen.lever_friction", "friction.lever_centre"},
      {"hammer.weight", "measured.strike_weight"},
      {"hammer.centre_friction", "friction.hammer_centre"},
      {"hammer.hanging_distance", "measured.hanging_distance"},
      {"hammer.knuckle_diameter", "measured.knuckle_diameter"},
      {"hammer.length", "measured.hammer_length"},
      {"hammer.bore", "measured.bore"},
  };
  return list;
}

bool replace_values(CaseDescription& d, const Change& change) {
  const std::string& kind = change.kind;
  if (kind == "part") {
    clear_section(d, change.choices.at("slot"));
    d.choices["parts." + change.choices.at("slot")] = change.choices.at("id");
    put_values(d, change);
    for (const auto& [own, measured] : own_values())
      if (change.quantities.count(own) != 0) {
        d.quantities[measured] = change.quantities.at(own);
        if (measured == "measured.hanging_distance" || measured == "measured.knuckle_diameter")
          d.quantities.erase("measured.knuckle_arm");  // it was the old knuckle's
      }
  } else if (kind == "material" || kind == "heel re-covered") {
    const std::string place = kind == "material" ? change.choices.at("place") : "capstan_heel";
    clear_section(d, "contact." + place);
    d.choices["materials." + place] = change.choices.at("id");
    put_values(d, change);
  } else if (kind == "set value") {
    put_values(d, change);
  } else if (kind == "friction") {
    if (change.choices.count("place") != 0)
      replace_one(d, change, "coefficient", "contact." + change.choices.at("place") + ".friction");
    if (change.choices.count("pivot") != 0)
      replace_one(d, change, "torque", "friction." + change.choices.at("pivot"));
    if (change.choices.count("bushing") != 0)
      replace_one(d, change, "weight", "friction." + change.choices.at("bushing"));
  } else if (kind == "lead") {
    change_lead(d, change);
  } else if (kind == "hammer weight") {
    if (change.choices.count("taken_from") != 0 && change.choices.at("taken_from") == "head") return false;
    d.quantities["measured.strike_weight"].value += change.quantities.at("amount").value;
  } else if (kind == "knuckle") {
    replace_one(d, change, "hanging_distance", "measured.hanging_distance");
    replace_one(d, change, "diameter", "measured.knuckle_diameter");
    d.quantities.erase("measured.knuckle_arm");  // it was the old knuckle's
  } else if (kind == "cap") {
    d.choices["capstan.cap"] = change.choices.at("shape");
    replace_one(d, change, "dome_radius", "capstan.dome_radius");
    replace_one(d, change, "diameter", "capstan.cap_diameter");
    replace_one(d, change, "edge_fillet", "capstan.edge_fillet");
  } else {
    return false;
  }
  return true;
}

}  // namespace leverwright::case_file
