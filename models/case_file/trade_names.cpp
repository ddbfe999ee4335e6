#include "models/case_file/trade_names.h"

#include <algorithm>
#include <array>

#include "models/case_file/contact_places.h"
#include "sim/base/words.h"

namespace leverwright::case_file {

namespace {

struct Words {
  const char *key, *words;
};

template <std::size_t N>
const char* find(const std::array<Words, N>& in, const std::string& key) {
  for (const Words& w : in)
    if (key == w.key) return w.words;
  return nullptr;
}

// The surface of a contact, and the pair that rubs there.
struct Place {
  const char *key, *surface, *pair;
};
constexpr Place kPlaces[] = {
#define LEVERWRIGHT_CONTACT(id, key, name, surfaces, felt, pair, slides, weighed) {key, felt, pair},
    LEVERWRIGHT_CONTACTS(LEVERWRIGHT_CONTACT)
#undef LEVERWRIGHT_CONTACT
};

constexpr std::array<Words, 9> kProperties = {{{"test_force", "firmness of the "},
                                               {"test_depth", "firmness of the "},
                                               {"exponent", "how soon it bottoms, the "},
                                               {"hysteresis", "loss in the "},
                                               {"damping", "damping of the "},
                                               {"loss_time", "loss at small quick motion in the "},
                                               {"shear_share", "sideways give of the "},
                                               {"nap_shear", "nap of the "},
                                               {"thickness", "thickness of the "}}};

constexpr std::array<Words, 25> kValues = {
    {{"friction.hammer_centre", "friction of the hammer centre"},
     {"friction.wippen_centre", "friction of the wippen centre"},
     {"friction.jack_centre", "friction of the jack centre"},
     {"friction.lever_centre", "friction of the repetition lever's centre"},
     {"friction.key_balance", "friction of the balance bushing"},
     {"friction.key_front", "friction of the front bushing"},
     {"friction.centre_load", "friction of the centres under load"},
     {"friction.balance_load", "friction of the balance pin under load"},
     {"friction.centre_pin_radius", "centre pins, radius"},
     {"friction.balance_pin_radius", "balance pin, radius"},
     {"wippen.lever_spring_torque", "strength of the repetition spring"},
     {"wippen.lever_spring_rate", "stiffness of the repetition spring"},
     {"wippen.jack_spring_torque", "strength of the jack spring"},
     {"wippen.jack_spring_rate", "stiffness of the jack spring"},
     {"wippen.under_cloth_thickness", "thickness of the heel's under-cloth"},
     {"wippen.heel_cloth_thickness", "thickness of the heel cloth"},
     {"wippen.heel_profile", "trace of the heel"},
     {"wippen.weight", "wippen weight of the part"},
     {"capstan.lean", "capstan's lean"},
     {"capstan.dome_radius", "radius of the cap's dome"},
     {"capstan.cap_diameter", "diameter of the cap"},
     {"capstan.edge_fillet", "edge of the cap"},
     {"contact.capstan_heel.friction_along", "how the heel cloth is worn along its length"},
     {"key.left_out", "what the model leaves out of the balance"},
     {"key.height", "height of the keystick"}}};

// Whose part a value of these sections is, put before it where it does not say so itself.
constexpr std::array<Words, 9> kOwners = {{{"wippen", "wippen"},
                                           {"capstan", "capstan"},
                                           {"hammer", "hammer"},
                                           {"key", "key"},
                                           {"frame", "rails"},
                                           {"shank", "shank"},
                                           {"balance_punching", "balance punching"},
                                           {"damper", "damper"},
                                           {"check_wire", "check wire"}}};

bool starts_with(const std::string& text, const std::string& head) {
  return text.compare(0, head.size(), head) == 0;
}

// "drop_screw_x" -> "drop screw, place along the action"
std::string read_out(std::string name) {
  std::string tail;
  for (const auto& [end, words] : {std::pair<const char*, const char*>{"_x", ", place along the action"},
                                   {"_y", ", height"},
                                   {"_torque", ", strength"},
                                   {"_rate", ", stiffness"},
                                   {"_mass", ", mass"},
                                   {"_tilt", ", tilt"},
                                   {"_radius", ", radius"}})
    if (base::ends_with(name, end)) {
      name.erase(name.size() - std::string(end).size());
      tail = words;
      break;
    }
  std::replace(name.begin(), name.end(), '_', ' ');
  if (starts_with(name, "lever ")) name.insert(0, "repetition ");
  if (starts_with(name, "let off ")) name.replace(0, 8, "let-off ");
  return name + tail;
}

std::string name_of_contact(const std::string& place, const std::string& property) {
  for (const Place& p : kPlaces) {
    if (place != p.key) continue;
    if (property == "friction") return std::string("friction of ") + p.pair;
    const char* words = find(kProperties, property);
    return (words ? std::string(words) : read_out(property) + " of the ") + p.surface;
  }
  return read_out(property) + " of " + read_out(place);
}

}  // namespace

std::string trade_name(const std::string& key) {
  if (const char* words = find(kValues, key)) return words;
  const std::size_t dot = key.find('.');
  if (dot == std::string::npos) return read_out(key);
  const std::string section = key.substr(0, dot), rest = key.substr(dot + 1);
  const std::size_t second = rest.find('.');
  if (section == "contact" && second != std::string::npos)
    return name_of_contact(rest.substr(0, second), rest.substr(second + 1));
  if (section == "friction") return "friction, " + read_out(rest);
  if (section == "measured") return read_out(rest);
  const std::string name = read_out(rest);
  const char* owner = find(kOwners, section);
  for (const char* said : {"jack", "repetition lever", "let-off", "drop screw", "lifting face", "rest rail",
                           "shank", "tail", "check", "cap", "under cloth", "heel"})
    if (starts_with(name, said)) return name;
  if (!owner || starts_with(name, owner)) return name;
  return std::string(owner) + ", " + name;
}

std::string how_to_learn(const std::string& key) {
  constexpr std::array<Words, 13> kHow = {
      {{"contact.lever_knuckle.friction",
        "draw a loose repetition lever along the knuckle under a known weight"},
       {"contact.jack_knuckle.friction", "draw a loose jack along the knuckle under a known weight"},
       {"contact.capstan_heel.friction", "draw a spare cap along the heel cloth under a known weight"},
       {"friction.hammer_centre", "gauge the hammer centre again, moving, at a stated radius"},
       {"friction.wippen_centre", "gauge the wippen centre again, moving, at a stated radius"},
       {"friction.jack_centre", "gauge the jack centre, moving, at a stated radius"},
       {"friction.lever_centre", "gauge the repetition lever's centre, moving, at a stated radius"},
       {"friction.key_balance", "weigh the key alone, stack off: what moves it, what it lifts"},
       {"friction.key_front", "weigh the key alone, stack off: what moves it, what it lifts"},
       {"wippen.lever_spring_torque", "press the repetition lever down with a gauge at a stated radius"},
       {"wippen.jack_spring_torque", "press the jack back with a gauge at a stated radius"},
       {"wippen.heel_profile", "trace the heel again"},
       {"key.left_out", "look how the key sits: punching under its balance hole, paper, leads"}}};
  if (const char* words = find(kHow, key)) return words;
  if (starts_with(key, "contact.") || starts_with(key, "friction.")) return "";
  return "measure again: " + trade_name(key);
}

}  // namespace leverwright::case_file
