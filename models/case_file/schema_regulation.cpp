// What the note is regulated to, the screws that do it, and the touches it is tried with.
#include "models/case_file/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

namespace {

constexpr const char* kOurs = "convention of this program";
constexpr const char* kTouchSource =
    "p and f after Askenfelt & Jansson, From touch to string vibrations (KTH lectures); the others by "
    "convention";

// The three lines of one [screws.<name>] section.
void add_screw(std::vector<KeySpec>& keys, const std::string& name, Dimension d, const std::string& pitch,
               const std::string& travel, const std::string& pitch_range, const std::string& travel_range,
               const std::string& what) {
  const std::string at = "screws." + name;
  keys.push_back(
      {at + ".pitch", d, by_default, pitch, "", pitch_range, what + ": change per turn", kEstimate});
  keys.push_back({at + ".up", d, by_default, travel, "", travel_range,
                  what + ": how much further it can go up or in from as measured", kEstimate});
  keys.push_back({at + ".down", d, by_default, travel, "", travel_range,
                  what + ": how much further it can go down or out from as measured", kEstimate});
}

}  // namespace

std::vector<KeySpec> regulation_keys() {
  std::vector<KeySpec> keys = {
      {"regulation.dip", length, optional, "", "", "7 to 14 mm",
       "travel at the playing point until the front punching carries dip_force", kCommon},
      {"regulation.blow", length, optional, "", "", "35 to 60 mm", "hammer's crown to the string at rest",
       kCommon},
      {"regulation.aftertouch", length, optional, "", "", "0.1 to 4 mm", "key travel left after let-off",
       kCommon},
      {"regulation.let_off", length, by_default, "2 mm", "", "0.3 to 8 mm",
       "least distance of crown and string under a slow finger after the tender meets the button", kCommon},
      {"regulation.drop", length, by_default, "1.5 mm", "", "0.1 to 8 mm",
       "from let-off to where the hammer lies when the key is stopped as it comes off the jack", kCommon},
      {"regulation.jack_clearance", length, by_default, "0.1 mm", "", "-0.3 to 2 mm",
       "jack's top clear of the knuckle at rest (lever height); negative: the lever stands so low that the jack is "
       "pressed into the knuckle by this much and carries part of the hammer",
       kCommon},
      {"regulation.jack_position", length, by_default, "0 mm", "", "-2 to 2 mm",
       "jack's string-side face at rest past the string-side edge of the knuckle's core, positive towards the strings",
       kCommon},
      {"regulation.dip_force", weight, by_default, "3 N", "", "0.5 to 20 N",
       "force at the front punching that counts as the end of the dip", kOurs},
      {"regulation.checking", length, by_default, "15.5 mm", "", "5 to 35 mm",
       "crown to string when the hammer is caught after check_blow", kCommon},
      {"regulation.check_blow", speed, by_default, "2 m/s", "", "0.5 to 8 m/s",
       "hammer speed of the blow the check height is set by", kOurs},
      {"regulation.spring_rise_low", speed, by_default, "50 mm/s", "", "1 to 1000 mm/s",
       "slowest rise of the hammer released from check", kEstimate},
      {"regulation.spring_rise_high", speed, by_default, "300 mm/s", "", "5 to 3000 mm/s",
       "fastest rise of the hammer released from check", kEstimate},
      {"touches.pp", speed, by_default, "0.5 m/s", "", "0.1 to 10 m/s", "hammer speed at the string",
       kTouchSource},
      {"touches.p", speed, by_default, "1 m/s", "", "0.1 to 10 m/s", "hammer speed at the string",
       kTouchSource},
      {"touches.mf", speed, by_default, "2 m/s", "", "0.1 to 10 m/s", "hammer speed at the string",
       kTouchSource},
      {"touches.f", speed, by_default, "4.5 m/s", "", "0.1 to 10 m/s", "hammer speed at the string",
       kTouchSource},
      {"touches.ff", speed, by_default, "6 m/s", "", "0.1 to 10 m/s", "hammer speed at the string",
       kTouchSource},
      {"touches.finger_mass", mass, by_default, "200 g (50 to 600 g)", "30 %", "1 to 5000 g",
       "moving mass of finger and hand at the playing point", kEstimate},
      {"touches.finger_stiffness", stiffness, by_default, "4 N/mm (1 to 10 N/mm)", "30 %", "0.01 to 100 N/mm",
       "finger pad pressed on the key", kEstimate},
      {"touches.finger_damping", damping, by_default, "15 N s/m (5 to 40 N s/m)", "30 %", "0 to 500 N s/m",
       "damping of the finger pad", kEstimate},
  };
  add_screw(keys, "capstan", length, "1 mm", "4 mm", "0.2 to 3 mm", "0 to 15 mm", "capstan height");
  keys.push_back(
      {"screws.capstan.hole_diameter", length, optional, "", "0.1 mm", "2 to 10 mm",
       "the hole the capstan is screwed into: the drill whose shank just enters it; the work order "
       "asks for the same drill",
       kCommon});
  add_screw(keys, "front_punching", length, "0.1 mm", "3 mm", "0.01 to 2 mm", "0 to 10 mm",
            "front punching height (one paper counts as a turn)");
  add_screw(keys, "let_off_button", length, "0.8 mm", "6 mm", "0.2 to 3 mm", "0 to 15 mm",
            "let-off button height");
  add_screw(keys, "drop_screw", length, "0.7 mm", "4 mm", "0.2 to 3 mm", "0 to 15 mm", "drop screw height");
  add_screw(keys, "jack_stop", length, "0.7 mm", "3 mm", "0.2 to 3 mm", "0 to 10 mm",
            "jack's position button");
  add_screw(keys, "lever_stop", length, "0.7 mm", "3 mm", "0.2 to 3 mm", "0 to 10 mm",
            "repetition lever's height stop");
  add_screw(keys, "back_check", length, "1 mm", "6 mm", "0.1 to 5 mm", "0 to 20 mm",
            "back check's head along the key (its wire is bent; 1 mm counts as a turn)");
  add_screw(keys, "repetition_spring", torque, "5 N mm", "40 N mm", "0.1 to 50 N mm", "0 to 300 N mm",
            "repetition spring's moment on the lever");
  return keys;
}

std::vector<ChoiceSpec> regulation_choices() {
  return {
      {"regulation.policy",
       required,
       "",
       {"keep dip and blow", "keep blow and aftertouch", "keep dip and aftertouch"},
       "which two of dip, blow and aftertouch are held; the third results"},
      {"touches.finger",
       by_default,
       "pressed",
       {"pressed", "struck"},
       "finger rests on the key, or falls on it"},
  };
}

std::vector<RequiredWhen> regulation_required_when() {
  return {
      {"regulation.policy", "keep dip and blow", {"regulation.dip", "regulation.blow"}},
      {"regulation.policy", "keep blow and aftertouch", {"regulation.blow", "regulation.aftertouch"}},
      {"regulation.policy", "keep dip and aftertouch", {"regulation.dip", "regulation.aftertouch"}},
  };
}

}  // namespace leverwright::case_file
