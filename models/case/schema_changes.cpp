// Kinds of [[set_up.change]]. Adding a kind is adding a row here; what it does to the action is written where
// the action is built.
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

}  // namespace

std::vector<ChangeSpec> change_kinds() {
  return {
      {"heel build-up",
       "partly",
       "a strip worked in between heel cloth and under-cloth at a chosen place",
       {amount("height", length, "0.1 mm", "0.05 to 8 mm", "thickness of the strip"),
        amount("length", length, "0.3 mm", "0.5 to 40 mm", "length of the strip along the heel"),
        amount("centre", length, "0.5 mm", "20 to 110 mm", "middle of the strip from the wippen centre")}},
      {"capstan moved",
       "no",
       "capstan plugged and re-drilled elsewhere along the key",
       {amount("distance", length, "0.2 mm", "0.05 to 20 mm", "how far"),
        word("direction", {"toward the balance rail", "toward the strings"}, "which way")}},
      {"capstan lean",
       "no",
       "capstan leans by another angle about its head",
       {amount("angle", angle, "0.5 deg", "-25 to 25 deg",
               "new lean, positive when the top tips towards the strings"),
        word("about", {"middle of its cap (apex kept)", "centre of its dome"},
             "the point that stays in place", "middle of its cap (apex kept)")}},
      {"heel re-glued",
       "no",
       "heel cut off and glued on shifted, with a shim",
       {amount("shift", length, "0.2 mm", "0 to 15 mm", "how far along the wippen"),
        word("direction", {"toward the balance rail", "toward the strings"}, "which way"),
        amount("shim", length, "0.1 mm", "0 to 8 mm", "height of the shim under the heel", by_default,
               "0 mm +- 0")}},
      {"friction",
       "yes",
       "easing, lubricating or burnishing one place",
       {word_from("place", WordsFrom::kContactPlace, "contact treated", 'a'),
        amount("coefficient", number, "20 %", "0 to 1.5", "sliding friction coefficient after it", required,
               "", 'a'),
        word("pivot", {"hammer_centre", "wippen_centre", "jack_centre", "lever_centre"}, "centre treated", "",
             'b'),
        amount("torque", torque, "0.5 gf at 23 mm", "0 to 30 gf at 23 mm", "friction of the centre after it",
               required, "", 'b'),
        word("bushing", {"key_balance", "key_front"}, "key bushing treated", "", 'c'),
        amount("weight", weight, "0.5 gf", "0 to 20 gf", "friction at the playing point after it", required,
               "", 'c')}},
      {"cap",
       "yes",
       "another capstan cap",
       {word("shape", {"flat", "domed"}, "top of the cap"),
        amount("dome_radius", length, "1 mm", "3 to 200 mm", "radius of the dome", optional),
        amount("diameter", length, "0.2 mm", "5 to 20 mm", "diameter of the cap", optional),
        amount("edge_fillet", length, "0.1 mm", "0.05 to 4 mm", "radius of its edge", optional)}},
      {"part",
       "partly",
       "another part from the part files",
       {word_from("slot", WordsFrom::kSlot, "which part"),
        word_from("id", WordsFrom::kPartId, "file name of the new part")}},
      {"material",
       "yes",
       "another cloth, felt or leather at one contact",
       {word_from("place", WordsFrom::kContactPlace, "contact covered"),
        word_from("id", WordsFrom::kMaterialId, "file name of the new material")}},
      {"hammer weight",
       "no",
       "hammer made lighter (negative) or heavier",
       {amount("amount", weight, "0.1 gf", "-10 to 10 gf", "change of the strike weight")}},
      {"lead",
       "partly",
       "a key lead added or removed",
       {amount("mass", mass, "0.2 g", "0.5 to 60 g", "mass of the lead"),
        amount("distance", length, "0.5 mm", "-200 to 260 mm",
               "from the balance hole, positive towards the player"),
        word("action", {"add", "remove"}, "put in or taken out", "add")}},
      {"balance punching halved",
       "partly",
       "half of the balance punching cut away, so the key turns about its edge",
       {amount("shift", length, "0.5 mm", "0.2 to 12 mm", "how far the balance point moves"),
        word("direction", {"toward the player", "toward the strings"}, "which way")}},
      {"assist spring",
       "yes",
       "a spring that helps the key down",
       {amount("strength", weight, "1 gf", "-40 to 40 gf", "help at the playing point")}},
      {"knuckle",
       "no",
       "knuckle hung at another distance, or of another diameter",
       {amount("hanging_distance", length, "0.1 mm", "12 to 25 mm",
               "hammer centre to knuckle core along the shank", optional),
        amount("diameter", length, "0.2 mm", "6 to 15 mm", "knuckle across its leather", optional)}},
      {"set value",
       "yes",
       "any one key of the case given another value, for what no other kind covers",
       {word_from("key", WordsFrom::kKeyPath, "the key's full path, such as measured.spread"),
        word_from("value", WordsFrom::kValueText, "the new value, written as in the case")}},
  };
}

}  // namespace leverwright::case_file
