// Kinds of [[set_up.change]]: the remedies. Adding a kind is adding a row here; what it does to the action is
// written in replace_values.cpp (one value for another) or models/action/change.cpp (geometry and masses).
// Hours, worries and reversibility: common practice, no source. Undone in minutes: what a hand puts back at
// the bench; with work or parts: what takes the stack off again, new cloth, glue or money; not reversible:
// what is drilled, cut, filed or bent.
#include <algorithm>

#include "models/case/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

namespace {

ArgumentSpec amount(const char* name, Dimension d, const char* sigma, const char* range,
                    const char* description, Presence presence = required, const char* default_text = "",
                    char group = ' ') {
  return {name, group, presence, d, WordsFrom::kQuantity, {}, default_text, sigma, range, description};
}

ArgumentSpec word(const char* name, std::vector<std::string> words, const char* description,
                  const char* usual = "", char group = ' ') {
  return {
      name, group,      *usual ? by_default : required, number, WordsFrom::kList, std::move(words), usual, "",
      "",   description};
}

ArgumentSpec word_from(const char* name, WordsFrom from, const char* description, char group = ' ') {
  return {name, group, required, number, from, {}, "", "", "", description};
}

// Wool cloth as it is laid on heels.
ArgumentSpec cloth_density() {
  return amount("density", density, "", "0.1 to 1.2 g/cm3", "density of what is put in (wool cloth)",
                by_default, "0.35 g/cm3 (0.2 to 0.6 g/cm3)");
}

ArgumentSpec heel_width() {
  return amount("width", length, "0.5 mm", "4 to 20 mm", "width of the heel across the action", by_default,
                "10 mm +- 0.5 mm");
}

std::vector<ChangeSpec> parts_and_cloths() {
  return {
      {"part",
       "another part from the part files",
       "every dimension, mass and spring of the part; its weight and the friction of its centres where the "
       "part file gives them, else what the case measured on the old part is kept",
       {"levers, weights and regulation all move at once"},
       "partly",
       kUndoneWithWork,
       {"note", 16, 60},
       "several hundred parts to buy and fit; no way back once they are glued",
       {"thin glue", "dust"},
       {word_from("slot", WordsFrom::kSlot, "which part"),
        word_from("id", WordsFrom::kPartId, "file name of the new part")}},
      {"material",
       "another cloth, felt or leather at one contact",
       "the law and the friction of the surface",
       {"what was worn into the old surface is gone"},
       "yes",
       kUndoneWithWork,
       {"note", 3, 10},
       "cloth settles: blow and dip shift in the first months",
       {"solvents", "thin glue", "saw and knife", "dust"},
       {word_from("place", WordsFrom::kContactPlace, "contact covered"),
        word_from("id", WordsFrom::kMaterialId, "file name of the new material")}},
      {"set value",
       "any one key of the case given another value, for what no other kind covers",
       "that key alone",
       {},
       "yes",
       kUndoneWithWork,
       {"note", 0, 0},
       "find out first whether a real part or tool does this",
       {},
       {word_from("key", WordsFrom::kKeyPath, "the key's full path, such as measured.spread"),
        word_from("value", WordsFrom::kValueText, "the new value, written as in the case")}},
      {"heel re-covered",
       "old heel cloth taken off and new cloth laid",
       "the cushion's law and friction, and the heel's height by the difference of the cloths",
       {"worn hollows in the old cloth are gone", "blow and dip shift until it has settled",
        "the wippen is heavier or lighter by the difference of the cloths"},
       "yes",
       kUndoneWithWork,
       {"note", 6, 14},
       "cloth settles: blow and dip shift in the first months; all 88 alike in thickness",
       {"heat and steam", "saw and knife", "thin glue", "dust"},
       {word_from("id", WordsFrom::kMaterialId, "file name of the new cloth"),
        amount("thickness", length, "0.1 mm", "0.5 to 6 mm", "thickness of the new cloth"),
        word("groove", {"in the old cloth", "in the wood"},
             "where hollows of the traced heel are: in the cloth they go with it", "in the old cloth"),
        cloth_density(), heel_width()}},
  };
}

std::vector<ChangeSpec> light_work() {
  return {
      {"knuckle",
       "knuckle hung at another distance, or of another diameter",
       "the knuckle's place on the shank and its radius",
       {"jack and repetition lever meet it elsewhere, so both are set again"},
       "no",
       kNotReversible,
       {"note", 8, 20},
       "knuckles re-hung at one distance on every shank, square to it",
       {"saw and knife", "heat and steam", "thin glue"},
       {amount("hanging_distance", length, "0.1 mm", "12 to 25 mm",
               "hammer centre to knuckle core along the shank", optional),
        amount("diameter", length, "0.2 mm", "6 to 15 mm", "knuckle across its leather", optional)}},
      {"cap",
       "another capstan cap",
       "the shape of the capstan's top, its height and mass",
       {"the thread stands deeper or higher by the difference of heights",
        "key inertia and front weight follow its mass"},
       "yes",
       kUndoneWithWork,
       {"note", 2, 8},
       "whether such caps can be had for all notes",
       {"dust"},
       {word("shape", {"flat", "domed"}, "top of the cap"),
        amount("dome_radius", length, "1 mm", "3 to 200 mm", "radius of the dome", optional),
        amount("diameter", length, "0.2 mm", "5 to 20 mm", "diameter of the cap", optional),
        amount("edge_fillet", length, "0.1 mm", "0.05 to 4 mm", "radius of its edge", optional),
        amount("height", length, "0.1 mm", "-8 to 8 mm", "taller than the old cap (negative: lower)",
               optional),
        amount("mass", mass, "0.1 g", "0.5 to 25 g", "mass of the whole capstan afterwards", optional)}},
      {"friction",
       "easing, lubricating or burnishing one place",
       "the friction there and nothing else",
       {},
       "partly",
       kUndoneWithWork,
       {"note", 2, 16},
       "it cures friction only, not the geometry; easing too far makes parts wander and jacks slip out early",
       {"solvents", "thin glue"},
       {word_from("place", WordsFrom::kContactPlace, "contact treated", 'a'),
        amount("coefficient", number, "20 %", "0 to 1.5", "sliding friction coefficient after it", required,
               "", 'a'),
        word("pivot", {"hammer_centre", "wippen_centre", "jack_centre", "lever_centre"}, "centre treated", "",
             'b'),
        amount("torque", torque, "0.5 gf at 23 mm", "0 to 30 gf at 23 mm", "friction of the centre after it",
               required, "", 'b'),
        word("bushing", {"key_balance", "key_front"}, "key bushing treated", "", 'c'),
        amount("weight", weight, "0.5 gf", "0 to 20 gf", "friction at the playing point after it", required,
               "", 'c')},
       true},
      {"hammer weight",
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
             "where the mass is taken off or added: in the head it acts at the strike line", "head")}},
      {"lead",
       "a key lead added, removed or moved along the key",
       "static balance and inertia of the key",
       {"front weight by its moment", "reflected inertia by the square of its distance"},
       "partly",
       kUndoneWithWork,
       {"note", 4, 16},
       "a heavily leaded key feels slow when played hard; old holes stay",
       {"key leads", "drilling"},
       {amount("mass", mass, "0.2 g", "0.5 to 60 g", "mass of the lead"),
        amount("distance", length, "0.5 mm", "-200 to 260 mm",
               "from the balance hole, positive towards the player"),
        word("action", {"add", "remove", "move"}, "put in, taken out, or moved to another place", "add"),
        amount("to", length, "0.5 mm", "-200 to 260 mm", "where a moved lead goes, from the balance hole",
               optional)}},
      {"assist spring",
       "a spring that helps the key down",
       "a torque on the key",
       {"down and up weight fall alike, inertia stays", "its help fades as the key goes down"},
       "yes",
       kUndoneWithWork,
       {"note", 6, 16},
       "a key on springs can feel bouncy",
       {"springs"},
       {amount("strength", weight, "1 gf", "-40 to 40 gf", "help at the playing point, key at rest"),
        amount("fade", number, "", "0 to 1", "share of it that is gone at full dip", by_default,
               "0 (0 to 0.3)")}},
  };
}

std::vector<ChangeSpec> geometry_of_the_stack() {
  return {
      {"spread shim",
       "card or shim behind the flanges of one rail",
       "the distance between wippen and hammer centres",
       {"on the hammer rail the strike point and the drop screw go with the hammer centre",
        "on the wippen rail the heel moves over the capstan"},
       "yes",
       kUndoneWithWork,
       {"set", 1, 4},
       "the stack must stay square, and the strike line moves with a shimmed hammer rail",
       {},
       {amount("thickness", length, "0.05 mm", "0.05 to 4 mm", "how far the centres move"),
        word("rail", {"hammer rail", "wippen rail"}, "which centres move"),
        word("direction", {"wider", "closer"}, "spread afterwards")}},
      {"balance punching halved",
       "half of the balance punching cut away, so the key turns about its edge",
       "the point the key turns about, so its ratio",
       {"front weight as weighed about the new point", "key height and dip"},
       "yes",
       kUndoneWithWork,
       {"note", 3, 8},
       "key height and dip change with it; the punching may turn on its pin",
       {"saw and knife"},
       {amount("shift", length, "0.5 mm", "0.2 to 12 mm", "how far the balance point moves"),
        word("direction", {"toward the player", "toward the strings"}, "which way")}},
      {"balance punching shimmed",
       "card or paper under the balance punching, or under half of it",
       "the height the key turns at and, under a half only, the point it turns about",
       {"key height, dip and the capstan's height", "front weight as weighed about the new point"},
       "yes",
       kUndoneWithWork,
       {"note", 2, 6},
       "key height and dip change with it; half a shim may creep",
       {},
       {amount("thickness", length, "0.02 mm", "0.02 to 3 mm", "thickness of the shim"),
        word("under", {"the whole punching", "the player's half", "the strings' half"}, "where it lies",
             "the whole punching"),
        amount("shift", length, "", "0 to 12 mm", "how far half a shim moves the balance point", by_default,
               "2.5 mm (0.5 to 5 mm)")}},
      {"capstan moved",
       "capstan plugged and re-drilled elsewhere along the key",
       "the place where the key lifts the heel: both arms, slide path, ratio, dip, blow",
       {"the capstan's own mass moves along: front weight and key inertia",
        "plug and new hole: wood moves the other way",
        "a drilled hole scatters: place and lean are as uncertain as the drilling"},
       "no",
       kNotReversible,
       {"note", 8, 24},
       "88 holes on one straight line, square and at one depth",
       {"drilling", "thin glue", "dust"},
       {amount("distance", length, "0.2 mm", "0.05 to 20 mm", "how far, with the scatter of the drilling"),
        word("direction", {"toward the balance rail", "toward the strings"}, "which way"),
        amount("lean_drilled", angle, "0.5 deg", "-15 to 15 deg",
               "lean of the new hole against the old one, as drilled", by_default, "0 deg +- 0.5 deg"),
        amount("plug_mass", mass, "", "0 to 1.5 g", "wood of the plug", by_default, "0.2 g (0.1 to 0.4 g)")}},
      {"capstan lean",
       "capstan leans by another angle about its head",
       "where cap and cloth meet",
       {"a bent or re-drilled shank of the capstan: its height is set again"},
       "no",
       kNotReversible,
       {"note", 6, 20},
       "the cap may meet the cloth with its edge",
       {"drilling", "thin glue", "dust"},
       {amount("angle", angle, "0.5 deg", "-25 to 25 deg",
               "new lean, positive when the top tips towards the strings"),
        word("about", {"middle of its cap (apex kept)", "centre of its dome"},
             "the point that stays in place", "middle of its cap (apex kept)")}},
  };
}

std::vector<ChangeSpec> work_on_the_heel() {
  return {
      {"heel re-glued",
       "heel cut off and glued on shifted, with a shim",
       "the heel's place on the wippen and its height",
       {"the heel's own mass and the shim's move the wippen weight",
        "a joint that is not square tilts the lifting face"},
       "no",
       kNotReversible,
       {"note", 20, 50},
       "strength of the joint, heels square to the wippen, much labour",
       {"saw and knife", "heat and steam", "thin glue", "dust"},
       {amount("shift", length, "0.2 mm", "0 to 15 mm", "how far along the wippen"),
        word("direction", {"toward the balance rail", "toward the strings"}, "which way"),
        amount("shim", length, "0.1 mm", "0 to 8 mm", "height of the shim under the heel", by_default,
               "0 mm +- 0"),
        amount("tilt", angle, "0.5 deg", "-10 to 10 deg",
               "heel out of square, positive when its string side stands lower", by_default,
               "0 deg +- 0.5 deg"),
        amount("heel_mass", mass, "", "0.2 to 6 g", "heel with its cloth", by_default,
               "1.5 g (0.8 to 2.5 g)"),
        amount("shim_density", density, "", "0.1 to 2 g/cm3", "density of the shim (hard wood)", by_default,
               "0.65 g/cm3 (0.5 to 0.8 g/cm3)"),
        heel_width()}},
      {"heel bolstered",
       "a strip of felt worked in under the whole cushion",
       "the heel's height all along and the cushion's softness",
       {"cloth and bolster give one after the other, so the cushion is softer",
        "the wippen is heavier by the strip", "blow and dip shift until it has settled"},
       "yes",
       kUndoneWithWork,
       {"note", 4, 10},
       "felt settles: blow and dip shift in the first months",
       {"saw and knife", "thin glue"},
       {amount("thickness", length, "0.1 mm", "0.2 to 6 mm", "thickness of the bolster, uncompressed"),
        amount("give", number, "", "0 to 4",
               "how much softer than the heel cloth it is, for its thickness (1: alike, 0: hard)", by_default,
               "1 (0.5 to 2)"),
        cloth_density(), heel_width()}},
      {"heel build-up",
       "a strip worked in between heel cloth and under-cloth at a chosen place",
       "the heel's profile and height where the capstan strikes; its place is measured after every other "
       "work "
       "on the heel",
       {"the old cloth is stretched over it: thinner and stiffer, unless it is laid afresh",
        "the wippen is heavier by the strip"},
       "partly",
       kUndoneInMinutes,
       {"note", 4, 10},
       "whether the strip stays put, and is alike on all 88 notes",
       {"saw and knife", "thin glue"},
       {amount("height", length, "0.1 mm", "0.05 to 8 mm", "thickness of the strip"),
        amount("length", length, "0.3 mm", "0.5 to 40 mm", "length of the strip along the heel"),
        amount("centre", length, "0.5 mm", "20 to 110 mm", "middle of the strip from the wippen centre"),
        word("cloth", {"stretched over it", "laid afresh"}, "what becomes of the heel cloth",
             "stretched over it"),
        cloth_density(), heel_width()}},
  };
}

}  // namespace

int undone_class(const Change& change) {
  const auto action = change.choices.find("action");
  // A lead slid along the key is back in minutes; one put in or taken out leaves a hole.
  if (change.kind == "lead" && action != change.choices.end() && action->second == "move")
    return kUndoneInMinutes;
  const ChangeSpec* spec = schema().find_change(change.kind);
  return spec ? spec->undone : kUndoneInMinutes;
}

int undone_class(const SetUp& set_up) {
  int worst = kUndoneInMinutes;
  for (const Change& c : set_up.changes) worst = std::max(worst, undone_class(c));
  return worst;
}

bool eases_friction_only(const SetUp& set_up) {
  return !set_up.changes.empty() &&
         std::all_of(set_up.changes.begin(), set_up.changes.end(), [](const Change& c) {
           const ChangeSpec* spec = schema().find_change(c.kind);
           return spec && spec->friction_only;
         });
}

std::vector<ChangeSpec> change_kinds() {
  std::vector<ChangeSpec> all;
  for (auto&& group : {parts_and_cloths(), light_work(), geometry_of_the_stack(), work_on_the_heel()})
    all.insert(all.end(), group.begin(), group.end());
  return all;
}

}  // namespace leverwright::case_file
