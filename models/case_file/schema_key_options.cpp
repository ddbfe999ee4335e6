// What belongs to the key's options: its balance punching, the wire of its back check, the damper it lifts.
#include "models/case_file/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

namespace {

// The law of a cloth that no material file stands for; schema_contacts.cpp says what its numbers mean.
void add_cloth(std::vector<KeySpec>& keys, const std::string& section, const char* force,
               const char* force_range, const char* what, const char* depth, const char* depth_range) {
  const std::string at = section + ".";
  keys.insert(keys.end(),
              {{at + "test_force", weight, by_default, force, "50 %", force_range, what, kEstimate},
               {at + "test_depth", length, by_default, depth, "", depth_range,
                "depth at which test_force was read", "the depth that test_force is stated for"},
               {at + "exponent", number, by_default, "2.5 (2 to 3)", "10 %", "1 to 6",
                "exponent of force against depth", kEstimate},
               {at + "hysteresis", number, by_default, "0.4 (0.2 to 0.6)", "30 %", "0 to 0.95",
                "share of the work of a slow press that is not given back", kEstimate},
               {at + "damping", damping_time, by_default, "0.5 s/m (0.1 to 2 s/m)", "50 %", "0 to 20 s/m",
                "rate-dependent part of the force, c in F (1 + c speed)", kEstimate},
               {at + "loss_time", time_span, by_default, "0.08 ms (0.02 to 0.2 ms)", "50 %", "0 to 5 ms",
                "loss in small quick motion about a preload", kEstimate}});
}

}  // namespace

std::vector<ChoiceSpec> key_option_choices() {
  return {
      {"options.balance_punching",
       by_default,
       "off",
       {"off", "on"},
       "the key lies on its balance punching, can sink into it and lift off; off: it turns about the balance "
       "hole"},
      {"options.check_wire",
       by_default,
       "off",
       {"off", "on"},
       "the back check's wire bends; off: the check is one piece with the key"},
      {"options.damper_lever",
       by_default,
       "off",
       {"off", "on"},
       "the key's end picks up a damper part-way; off: dampers lifted"},
      {"check_wire.metal", by_default, "steel", {"steel", "brass"}, "what the back check's wire is made of"},
      {"damper.when_weighed",
       by_default,
       "lifted",
       {"lifted", "working"},
       "whether the key lifts its damper when it is weighed; it does when it is played"},
  };
}

std::vector<KeySpec> key_option_keys() {
  std::vector<KeySpec> keys = {
      // The punching under the key at the balance pin.
      {"balance_punching.diameter", length, by_default, "22 mm (18 to 25 mm)", "1 mm", "8 to 35 mm",
       "across the round punching", kEstimate},
      {"balance_punching.hole", length, by_default, "6.5 mm (5 to 8 mm)", "0.5 mm", "2 to 15 mm",
       "the punching's hole", kEstimate},
  };
  add_cloth(keys, "balance_punching", "3 N (1.5 to 6 N)", "0.05 to 200 N",
            "force that presses the punching and the papers under it by test_depth", "0.1 mm",
            "0.005 to 3 mm");
  keys.insert(
      keys.end(),
      {
          // The back check's wire.
          {"check_wire.diameter", length, by_default, "3.3 mm (2.8 to 3.8 mm)", "0.05 mm", "1 to 8 mm",
           "thickness of the wire", kEstimate},
          {"check_wire.free_length", length, optional, "", "1 mm", "10 to 100 mm",
           "key's top to the check's wood; without it: from the check's place, half its length and the key's "
           "height",
           kEstimate},
          {"check_wire.head_mass", mass, by_default, "5 g (3 to 7 g)", "20 %", "0.5 to 30 g",
           "the check's wood, felt and leather", kEstimate},
          {"check_wire.damping_ratio", number, by_default, "0.03 (0.01 to 0.1)", "50 %", "0 to 1",
           "damping of the check swinging on its wire, as a share of the critical", kEstimate},
          // The damper.
          {"damper.weight", weight, by_default, "40 gf (20 to 80 gf)", "30 %", "1 to 300 gf",
           "weight of damper and lever on a scale at the lever's tip, where the key's end lifts it",
           kEstimate},
          {"damper.spring_share", number, by_default, "0", "", "0 to 0.95",
           "share of that weight which a spring gives", kCommon},
          {"damper.start", number, by_default, "0.5 (0.4 to 0.6)", "10 %", "0.02 to 1.5",
           "share of the dip after which the key's end meets the lever", kCommon},
          {"damper.lever_length", length, by_default, "65 mm (50 to 80 mm)", "5 %", "20 to 150 mm",
           "damper lever's centre to its tip over the key's end", kEstimate},
          {"damper.mass_arm", number, by_default, "0.7 (0.5 to 0.9)", "10 %", "0.1 to 2",
           "where the damper's wire hangs, as a share of lever_length", kEstimate},
          {"damper.up_stop", length, by_default, "1.5 mm (0.5 to 3 mm)", "0.5 mm", "0 to 20 mm",
           "play at the lever's tip between the key fully down and the damper's upper stop", kEstimate},
          {"damper.friction", weight, by_default, "4 gf (1 to 10 gf)", "50 %", "0 to 100 gf",
           "friction of lever centre and guide rail, at the lever's tip", kEstimate},
          {"damper.tip_friction", number, by_default, "0.3 (0.2 to 0.4)", "30 %", "0 to 1.5",
           "sliding friction coefficient of the lever's tip on the key-end felt", kEstimate},
      });
  add_cloth(keys, "damper", "0.5 N (0.25 to 1 N)", "0.01 to 100 N",
            "force that presses the key-end felt, and the damper's felt on the string, by test_depth",
            "0.2 mm", "0.005 to 5 mm");
  return keys;
}

}  // namespace leverwright::case_file
