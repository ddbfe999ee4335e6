#include "viz/table/cautions.h"

#include <algorithm>
#include <cmath>

#include "models/case/schema.h"
#include "models/study/remedies.h"
#include "viz/table/bench_table.h"

namespace leverwright::table {

namespace {

std::vector<std::string> kinds_with(const std::string& hazard) {
  std::vector<std::string> kinds;
  for (const auto& spec : case_file::schema().changes)
    if (std::find(spec.hazards.begin(), spec.hazards.end(), hazard) != spec.hazards.end())
      kinds.push_back(spec.kind);
  return kinds;
}

std::vector<std::string> irreversible_kinds() {
  std::vector<std::string> kinds;
  for (const auto& spec : case_file::schema().changes)
    if (spec.reversible == "no") kinds.push_back(spec.kind);
  return kinds;
}

}  // namespace

const std::vector<Caution>& all_cautions() {
  static const std::vector<Caution> list = {
      {"trial note first",
       "Try the move on one or two notes, regulate them, weigh them and play them before the other keys are "
       "touched. A number from this program is a prediction and does not replace the trial note.",
       {},
       "a prediction is no substitute for a trial note"},
      {"no way back",
       "A move marked NOT REVERSIBLE cannot be undone: keep the old parts, mark the old capstan line, and do "
       "it "
       "last.",
       irreversible_kinds(), "what is marked NOT REVERSIBLE cannot be undone"},
      {"what the model cannot see",
       "The action is computed in one plane. Capstans leaning sideways, twisted shanks and parts that stand "
       "beside each other across the key are not in it: look for them by eye. Friction of cloth and leather "
       "comes "
       "from estimates with wide ranges unless the case says otherwise.",
       {},
       ""},
      {"lifting the action",
       "Take it out with two hands and level, every hammer clear of the pin block. The strings pull with "
       "many "
       "tonnes: leave the plate and structural screws alone.",
       {},
       "two hands, level, hammers clear of the pin block; leave plate and structural screws alone"},
      {"springs",
       "Repetition, jack and assist springs fly: protect the eyes, hold the free end while it is unhooked, "
       "bent or "
       "cut.",
       {},
       "protect the eyes, hold the free end"},
      {"key leads",
       "Lead is poisonous and its white dust more so. No dry sanding or blowing; wipe wet, wear gloves, wash "
       "before "
       "eating, put the waste into a closed bag and dispose of it as local rules require. Drilled lead makes "
       "chips "
       "and dust: drill slowly, never into a lead that can be pressed out, catch the chips wet.",
       kinds_with("key leads"),
       "no dry sanding, wipe wet, gloves, bag the waste, follow local lead rules; never drill dry into lead"},
      {"drilling",
       "Clamp the key, mark from a straight line drawn over the whole set, use a stop so that the bit ends "
       "short of "
       "the key's bottom, and drill the trial note first.",
       kinds_with("drilling"), "clamp the key, stop short of the bottom, trial note first"},
      {"saw and knife",
       "Clamp the work, keep both hands behind the cut, cut away from the body, change a dull blade.",
       kinds_with("saw and knife"), "clamp, hands behind the cut"},
      {"heat and steam",
       "Steam and hot irons scald, and they loosen glue that was to hold: shield the joints beside the one "
       "that is "
       "opened, let the part dry before it is glued again.",
       kinds_with("heat and steam"), "scalds, and loosens other glue"},
      {"dust",
       "Dust of wood, felt and old cloth harms the lungs: extract it or wear a mask, and do not blow it "
       "about. Old "
       "felt may have been treated against moths.",
       kinds_with("dust"), "extract it or wear a mask"},
      {"thin glue",
       "Cyanoacrylate fumes irritate eyes and lungs and can make a person allergic: extract the air and "
       "protect the "
       "eyes.",
       kinds_with("thin glue"), "fumes irritate and can sensitise: extract the air, protect the eyes"},
      {"solvents",
       "Solvents and shrinking fluids burn: no flame, no sparks, open windows, rags into a closed metal tin. "
       "Use "
       "little; a centre or knuckle eased too far makes parts wander and jacks slip out early.",
       kinds_with("solvents"), "flammable: no flame, open windows"},
      {"old and valuable instruments",
       "Ask a qualified conservator or licensed practitioner before anything original is cut, drilled or "
       "glued, and "
       "follow local codes.",
       {},
       "valuable or historic: ask a qualified conservator or licensed practitioner, follow local codes"},
  };
  return list;
}

const std::string& usual_worry(const std::string& kind) {
  static const std::string none;
  const case_file::ChangeSpec* spec = case_file::schema().find_change(kind);
  return spec ? spec->worry : none;
}

std::string reversible(const case_file::SetUp& set_up) { return study::reversible(set_up); }

std::vector<std::string> kinds_of(const case_file::CaseDescription& d, const study::Comparison& c) {
  std::vector<std::string> kinds;
  const auto note = [&](const std::string& kind) {
    if (std::find(kinds.begin(), kinds.end(), kind) == kinds.end()) kinds.push_back(kind);
  };
  for (const auto& s : d.set_ups)
    for (const auto& change : s.changes) note(change.kind);
  for (const auto& s : c.set_ups)
    if (s.weighing.ok && std::abs(s.lead_mass) > kLeastLead) note("lead");
  return kinds;
}

std::vector<Caution> find_cautions(const std::vector<std::string>& kinds) {
  std::vector<Caution> out;
  for (const Caution& c : all_cautions())
    if (c.kinds.empty() || std::any_of(c.kinds.begin(), c.kinds.end(), [&](const std::string& kind) {
          return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
        }))
      out.push_back(c);
  return out;
}

std::string write_cautions(const std::vector<Caution>& cautions, const Look& look) {
  std::string out;
  for (const Caution& c : cautions) out += wrap(c.about + ": " + c.text, look.width, "- ", "  ");
  return out;
}

std::string short_cautions(const std::vector<std::string>& kinds) {
  std::string out;
  for (const Caution& c : find_cautions(kinds))
    if (!c.in_short.empty()) out += (out.empty() ? "" : "; ") + c.about + ": " + c.in_short;
  return out;
}

std::string write_short_cautions(const std::vector<std::string>& kinds, const Look& look) {
  return "\n" + wrap("Cautions. " + short_cautions(kinds) + ". In full: leverwright cautions.", look.width);
}

std::string write_cautions(const case_file::CaseDescription& d, const study::Comparison& c,
                           const Look& look) {
  return write_cautions(find_cautions(kinds_of(d, c)), look);
}

}  // namespace leverwright::table
