// Part slots (lines of [parts]) and the keys of part files. Positions on the wippen are given from the wippen
// centre with the wippen at rest: x towards the strings, y up.
#include "models/case/schema_rows.h"

namespace leverwright::case_file {

using namespace rows;

std::vector<SlotSpec> part_slots() {
  return {
      {"key", required, "keystick with its bushings, punchings and back check"},
      {"capstan", required, "capstan and its cap"},
      {"wippen", required, "wippen with heel, jack, repetition lever and springs"},
      {"hammer", required, "shank, knuckle, hammer head and tail"},
      {"frame", required, "rails: let-off button, drop screw, rest rail"},
      {"string", required, "string"},
  };
}

std::vector<KeySpec> part_keys() {
  return {
      {"key.height", length, required, "", "0.2 mm", "15 to 35 mm",
       "height of the keystick at the balance hole", kCommon},
      {"key.inertia", inertia, optional, "", "20 %", "1e-4 to 0.2 kg m2",
       "about the balance hole, without leads", kEstimate},
      {"capstan.cap_diameter", length, required, "", "0.2 mm", "5 to 20 mm", "diameter of the cap", kCommon},
      {"capstan.dome_radius", length, optional, "", "1 mm", "3 to 200 mm", "radius of a domed cap", kCommon},
      {"capstan.edge_fillet", length, required, "", "0.1 mm", "0.05 to 4 mm", "radius of the cap's edge",
       kCommon},
      {"capstan.lean", angle, required, "", "0.5 deg", "-25 to 25 deg",
       "lean of the capstan, positive when its top tips towards the strings", kCommon},
      {"wippen.jack_centre_x", length, required, "", "0.5 mm", "-130 to -70 mm", "jack centre", kCommon},
      {"wippen.jack_centre_y", length, required, "", "0.5 mm", "-20 to 30 mm", "jack centre", kCommon},
      {"wippen.jack_length", length, required, "", "0.5 mm", "30 to 80 mm", "jack centre to jack top",
       kCommon},
      {"wippen.heel_cloth_thickness", length, required, "", "0.2 mm", "0.5 to 6 mm", "heel cloth", kCommon},
      {"wippen.under_cloth_thickness", length, optional, "", "0.2 mm", "0.3 to 6 mm", "under-cloth", kCommon},
      {"hammer.tail_radius", length, required, "", "2 mm", "20 to 150 mm", "curve of the tail", kCommon},
  };
}

std::vector<ChoiceSpec> part_choices() {
  return {
      {"capstan.cap", required, "", {"flat", "domed"}, "shape of the cap's top"},
  };
}

std::vector<PointListSpec> part_point_lists() {
  return {
      {"wippen.heel_profile", required, length, 3, "0.2 mm",
       "traced outline of the heel's working surface, cloth uncompressed, from the wippen centre at rest: x "
       "towards the strings, y up; points in order from the player's side to the strings' side"},
  };
}

}  // namespace leverwright::case_file
