#include "viz/table/cautions.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "models/case/schema.h"
#include "viz/table/bench_table.h"

namespace leverwright::table {

const std::vector<Caution>& all_cautions() {
  static const std::vector<Caution> list = {
      {"trial note first",
       "Try the move on one or two notes, regulate them, weigh them off and play them before the other keys "
       "are "
       "touched. A number from this program is a prediction and does not replace the trial note.",
       {}},
      {"no way back",
       "Moves marked NOT REVERSIBLE cannot be taken back: keep the old parts, mark the old capstan line, and "
       "do them "
       "last.",
       {"capstan moved", "capstan lean", "heel re-glued", "hammer weight", "knuckle"}},
      {"what the model cannot see",
       "The action is computed in one plane. Capstans leaning sideways, twisted shanks and parts that stand "
       "beside "
       "each other across the key are not in it: look for them by eye. Friction of cloth and leather comes "
       "from "
       "estimates with wide ranges unless the case says otherwise.",
       {}},
      {"lifting the action",
       "Take it out with two hands and level, every hammer below the pin block. The strings pull with "
       "tonnes: leave "
       "the plate and its screws alone.",
       {}},
      {"key leads",
       "Lead is poisonous and its white dust more so. No dry sanding or blowing; wipe wet, wear gloves, wash "
       "before "
       "eating, put waste into a closed bag and give it away as local rules ask.",
       {"lead"}},
      {"drilling",
       "Clamp the key, mark from a straight line drawn over the whole set, use a stop so that the bit ends "
       "short of "
       "the key's bottom, and drill the trial note first.",
       {"capstan moved", "capstan lean"}},
      {"thin glue",
       "Cyanoacrylate fumes irritate eyes and lungs and can make a person allergic: extract the air and "
       "protect the "
       "eyes.",
       {"capstan moved", "capstan lean", "heel re-glued", "heel build-up", "friction", "part", "knuckle"}},
      {"solvents",
       "Solvents and shrinking fluids burn: no flame, no sparks, open windows, rags into a closed metal tin. "
       "Use little; "
       "a centre or knuckle eased too far makes parts wander and jacks slip out early.",
       {"friction", "material"}},
      {"old and valuable instruments",
       "Ask a qualified conservator or licensed practitioner before anything original is cut, drilled or "
       "glued, and follow the "
       "rules of the place.",
       {}},
  };
  return list;
}

const std::string& usual_worry(const std::string& kind) {
  static const std::map<std::string, std::string> worries = {
      {"heel build-up", "whether the strip stays put, and is alike on all 88 notes"},
      {"capstan moved", "88 holes on one straight line, square and at one depth"},
      {"capstan lean", "the cap may meet the cloth with its edge"},
      {"heel re-glued", "strength of the joint, heels square to the wippen, much labour"},
      {"friction", "it cures friction only, not the geometry; easing too far makes jacks slip out early"},
      {"cap", "whether such caps can be had for all notes"},
      {"part", "several hundred parts to buy and fit; no way back once they are glued"},
      {"material", "cloth settles: blow and dip shift in the first months"},
      {"hammer weight", "the tone changes with the hammers"},
      {"lead", "a heavily leaded key feels slow when played hard"},
      {"balance punching halved", "key height and dip change with it"},
      {"assist spring", "a key on springs can feel bouncy"},
      {"knuckle", "knuckles re-hung at one distance on every shank, square to it"},
      {"set value", "find out first whether a real part or tool does this"},
  };
  static const std::string none;
  const auto found = worries.find(kind);
  return found == worries.end() ? none : found->second;
}

std::string reversible(const case_file::SetUp& set_up) {
  std::string worst = "yes";
  for (const auto& change : set_up.changes) {
    const case_file::ChangeSpec* kind = case_file::schema().find_change(change.kind);
    if (!kind) continue;
    if (kind->reversible == "no" || (kind->reversible == "partly" && worst == "yes"))
      worst = kind->reversible;
  }
  return worst;
}

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

std::string write_cautions(const case_file::CaseDescription& d, const study::Comparison& c,
                           const Look& look) {
  return write_cautions(find_cautions(kinds_of(d, c)), look);
}

}  // namespace leverwright::table
