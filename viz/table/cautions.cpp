#include "viz/table/cautions.h"

#include <algorithm>
#include <cmath>

#include "models/remedies/all.h"
#include "models/study/remedies.h"
#include "viz/table/bench_table.h"

namespace leverwright::table {

namespace {

constexpr const char* kNoWayBack = "no way back";

bool brings(const case_file::Remedy& remedy, const Caution& caution) {
  if (caution.about == kNoWayBack) return remedy.row.undone == case_file::kNotReversible;
  const auto& hazards = remedy.row.hazards;
  return std::find(hazards.begin(), hazards.end(), caution.about) != hazards.end();
}

}  // namespace

const std::vector<Caution>& all_cautions() {
  static const std::vector<Caution> list = {
      {"trial note first",
       "Try the move on one or two notes, regulate them, weigh them and play them before the other keys are "
       "touched. A number from this program is a prediction and does not replace the trial note.",
       true, "a prediction is no substitute for a trial note"},
      {kNoWayBack,
       "A move marked NOT REVERSIBLE cannot be undone: keep the old parts, mark the old capstan line, and "
       "do it last.",
       false, "what is marked NOT REVERSIBLE cannot be undone"},
      {"what the model cannot see",
       "The action is computed in one plane. Capstans leaning sideways, twisted shanks and parts that "
       "stand beside each other across the key are not in it: look for them by eye. Friction of cloth and "
       "leather comes from estimates with wide ranges unless the case says otherwise.",
       true, ""},
      {"lifting the action",
       "Take it out with two hands and level, every hammer clear of the pin block. The strings pull with "
       "many tonnes: leave the plate and structural screws alone.",
       true, "two hands, level, hammers clear of the pin block; leave plate and structural screws alone"},
      {"springs",
       "Repetition, jack and assist springs fly: protect the eyes, hold the free end while it is "
       "unhooked, bent or cut.",
       true, "protect the eyes, hold the free end"},
      {"key leads",
       "Lead is poisonous and its white dust more so. No dry sanding or blowing; wipe wet, wear gloves, "
       "wash before eating, put the waste into a closed bag and dispose of it as local rules require. "
       "Drilled lead makes chips and dust: drill slowly, never into a lead that can be pressed out, catch "
       "the chips wet.",
       false,
       "no dry sanding, wipe wet, gloves, bag the waste, follow local lead rules; never drill dry into lead"},
      {"drilling",
       "Clamp the key, mark from a straight line drawn over the whole set, use a stop so that the bit "
       "ends short of the key's bottom, and drill the trial note first.",
       false, "clamp the key, stop short of the bottom, trial note first"},
      {"saw and knife",
       "Clamp the work, keep both hands behind the cut, cut away from the body, change a dull blade.", false,
       "clamp, hands behind the cut"},
      {"heat and steam",
       "Steam and hot irons scald, and they loosen glue that was to hold: shield the joints beside the "
       "one that is opened, let the part dry before it is glued again.",
       false, "scalds, and loosens other glue"},
      {"dust",
       "Dust of wood, felt and old cloth harms the lungs: extract it or wear a mask, and do not blow it "
       "about. Old felt may have been treated against moths.",
       false, "extract it or wear a mask"},
      {"thin glue",
       "Cyanoacrylate fumes irritate eyes and lungs and can make a person allergic: extract the air and "
       "protect the eyes.",
       false, "fumes irritate and can sensitise: extract the air, protect the eyes"},
      {"solvents",
       "Solvents and shrinking fluids burn: no flame, no sparks, open windows, rags into a closed metal "
       "tin. Use little; a centre or knuckle eased too far makes parts wander and jacks slip out early.",
       false, "flammable: no flame, open windows"},
      {"old and valuable instruments",
       "Ask a qualified conservator or licensed practitioner before anything original is cut, drilled or "
       "glued, and follow local codes.",
       true,
       "valuable or historic: ask a qualified conservator or licensed practitioner, follow local codes"},
  };
  return list;
}

std::string reversible(const case_file::SetUp& set_up) { return study::reversible(set_up); }

case_file::RemedyList remedies_of(const case_file::CaseDescription& d, const study::Comparison& c) {
  case_file::RemedyList out;
  const auto note = [&](const case_file::Remedy* remedy) {
    if (std::find(out.begin(), out.end(), remedy) == out.end()) out.push_back(remedy);
  };
  for (const auto& s : d.set_ups)
    for (const auto& change : s.changes) note(change.remedy);
  for (const auto& s : c.set_ups)
    if (s.weighing.ok && std::abs(s.lead_mass) > kLeastLead) note(&remedies::lead());
  return out;
}

std::vector<Caution> find_cautions(const case_file::RemedyList& list) {
  std::vector<Caution> out;
  for (const Caution& c : all_cautions())
    if (c.always ||
        std::any_of(list.begin(), list.end(), [&](const auto* remedy) { return brings(*remedy, c); }))
      out.push_back(c);
  return out;
}

std::string write_cautions(const std::vector<Caution>& cautions, const Look& look) {
  std::string out;
  for (const Caution& c : cautions) out += wrap(c.about + ": " + c.text, look.width, "- ", "  ");
  return out;
}

std::string short_cautions(const case_file::RemedyList& list) {
  std::string out;
  for (const Caution& c : find_cautions(list))
    if (!c.in_short.empty()) out += (out.empty() ? "" : "; ") + c.about + ": " + c.in_short;
  return out;
}

std::string write_short_cautions(const case_file::RemedyList& list, const Look& look) {
  return "\n" + wrap("Cautions. " + short_cautions(list) + ". In full: leverwright cautions.", look.width);
}

std::string write_cautions(const case_file::CaseDescription& d, const study::Comparison& c,
                           const Look& look) {
  return write_cautions(find_cautions(remedies_of(d, c)), look);
}

}  // namespace leverwright::table
