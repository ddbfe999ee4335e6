// Part slots (lines of [parts]) and the keys of part files. Positions on the wippen and on the frame are given from
// the wippen centre with the wippen at rest: x towards the strings, y up. Positions on the jack, the repetition lever
// and the hammer are given from their own centre (hammer: x along the shank, y on the crown's side; jack: as it stands
// in its part drawing, y towards its top). Positions on the key are given from the balance hole at the key's bottom.
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
  };
}

std::vector<KeySpec> part_keys() {
  return {
      // Key.
      {"key.height", length, required, "", "0.2 mm", "15 to 35 mm", "height of the keystick", kCommon},
      {"key.width", length, required, "", "0.5 mm", "8 to 30 mm", "mean width of the keystick, estimated", kEstimate},
      {"key.density", density, by_default, "0.45 g/cm3 (0.38 to 0.52 g/cm3)", "10 %", "0.2 to 1.2 g/cm3",
       "density of the keystick's wood (spruce, sugar pine)", "from memory, low confidence"},
      {"key.front_end", length, by_default, "13 mm", "0.5 mm", "3 to 40 mm",
       "front edge of the key before the playing point", kCommon},
      {"key.rear_end", length, required, "", "1 mm", "120 to 350 mm", "balance hole to the rear end of the key", kCommon},
      {"key.front_punching", length, required, "", "1 mm", "120 to 320 mm",
       "balance hole to the front punching, forwards", kCommon},
      {"key.back_rail", length, required, "", "2 mm", "80 to 330 mm", "balance hole to the back-rail cloth", kCommon},
      {"key.inertia", inertia, optional, "", "20 %", "1e-4 to 0.2 kg m2",
       "of the bare keystick about the balance hole (overrides the estimate from its outline)", kEstimate},
      {"key.check_x", length, required, "", "1 mm", "100 to 340 mm", "middle of the back check's face", kCommon},
      {"key.check_y", length, required, "", "1 mm", "30 to 140 mm", "middle of the back check's face", kCommon},
      {"key.check_lean", angle, required, "", "1 deg", "-10 to 45 deg",
       "lean of the back check's face, positive when its top tips towards the strings", kCommon},
      {"key.check_length", length, by_default, "22 mm", "1 mm", "8 to 50 mm", "length of the back check's face", kCommon},
      {"key.check_curve", length, by_default, "200 mm", "20 %", "20 to 5000 mm",
       "radius of the back check's face, hollow towards the hammer", kEstimate},
      // Capstan.
      {"capstan.cap_diameter", length, required, "", "0.2 mm", "5 to 20 mm", "diameter of the cap", kCommon},
      {"capstan.dome_radius", length, optional, "", "1 mm", "3 to 200 mm", "radius of a domed cap", kCommon},
      {"capstan.edge_fillet", length, required, "", "0.1 mm", "0.05 to 4 mm", "radius of the cap's edge", kCommon},
      {"capstan.lean", angle, required, "", "0.5 deg", "-25 to 25 deg",
       "lean of the capstan, positive when its top tips towards the strings", kCommon},
      // Wippen.
      {"wippen.jack_centre_x", length, required, "", "0.5 mm", "-130 to -70 mm", "jack centre", kCommon},
      {"wippen.jack_centre_y", length, required, "", "0.5 mm", "-45 to 30 mm", "jack centre", kCommon},
      {"wippen.lever_centre_x", length, required, "", "0.5 mm", "-90 to -20 mm", "repetition lever's centre", kCommon},
      {"wippen.lever_centre_y", length, required, "", "0.5 mm", "-10 to 60 mm", "repetition lever's centre", kCommon},
      {"wippen.body_mass", mass, required, "", "10 %", "4 to 40 g", "wippen without jack and lever, estimated", kEstimate},
      {"wippen.jack_mass", mass, required, "", "10 %", "0.5 to 10 g", "jack", kEstimate},
      {"wippen.lever_mass", mass, required, "", "10 %", "0.5 to 12 g", "repetition lever with its leather", kEstimate},
      {"wippen.gyration_radius", length, required, "", "10 %", "10 to 80 mm",
       "radius of gyration of the wippen's body about its own centre of mass, from its outline", kEstimate},
      {"wippen.centre_of_mass_y", length, required, "", "2 mm", "-40 to 40 mm", "height of the body's centre of mass", kEstimate},
      {"wippen.inertia", inertia, optional, "", "20 %", "1e-7 to 1e-3 kg m2",
       "of the wippen's body about its centre of mass (overrides the estimate)", kEstimate},
      {"wippen.jack_length", length, required, "", "0.3 mm", "28 to 80 mm", "jack centre to the middle of the jack's top", kCommon},
      {"wippen.jack_width", length, required, "", "0.2 mm", "3 to 14 mm", "jack's top from face to face along the action", kCommon},
      {"wippen.jack_crown", length, by_default, "120 mm (50 to 500 mm)", "50 %", "8 to 20000 mm",
       "radius of the jack's top", kEstimate},
      {"wippen.jack_edge_fillet", length, required, "", "0.1 mm", "0.1 to 5 mm", "radius of the jack's top edges", kEstimate},
      {"wippen.jack_top_tilt", angle, by_default, "0 deg", "1 deg", "-20 to 20 deg",
       "slope of the jack's top against square to its axis, positive when it looks more towards the strings", kEstimate},
      {"wippen.jack_tender_x", length, required, "", "0.5 mm", "-50 to -10 mm", "middle of the tender's round end, from the jack centre", kCommon},
      {"wippen.jack_tender_y", length, required, "", "0.5 mm", "-20 to 30 mm", "middle of the tender's round end, from the jack centre", kCommon},
      {"wippen.jack_tender_radius", length, by_default, "3 mm", "0.5 mm", "0.5 to 15 mm", "radius of the tender's round end", kEstimate},
      {"wippen.jack_centre_of_mass_x", length, required, "", "1 mm", "-20 to 20 mm", "from the jack centre", kEstimate},
      {"wippen.jack_centre_of_mass_y", length, required, "", "1 mm", "-10 to 60 mm", "from the jack centre", kEstimate},
      {"wippen.jack_gyration_radius", length, required, "", "10 %", "3 to 40 mm", "of the jack about its own centre of mass", kEstimate},
      {"wippen.lever_top_x", length, required, "", "0.5 mm", "-80 to -15 mm", "middle of the lever's working face, from the lever's centre", kCommon},
      {"wippen.lever_top_y", length, required, "", "0.5 mm", "-10 to 40 mm", "middle of the lever's working face, from the lever's centre", kCommon},
      {"wippen.lever_top_tilt", angle, required, "", "1 deg", "-30 to 30 deg",
       "slope of the lever's working face, positive when it looks more towards the strings", kEstimate},
      {"wippen.lever_top_crown", length, by_default, "400 mm (150 to 2000 mm)", "50 %", "20 to 20000 mm",
       "radius of the lever's working face", kEstimate},
      {"wippen.lever_top_length", length, by_default, "30 mm", "1 mm", "10 to 60 mm", "length of the lever's working face", kCommon},
      {"wippen.lever_drop_x", length, required, "", "0.5 mm", "-90 to -20 mm", "middle of the drop screw's leather, from the lever's centre", kCommon},
      {"wippen.lever_drop_y", length, required, "", "0.5 mm", "-10 to 40 mm", "top of the drop screw's leather, from the lever's centre", kCommon},
      {"wippen.lever_centre_of_mass_x", length, required, "", "2 mm", "-60 to 20 mm", "from the lever's centre", kEstimate},
      {"wippen.lever_centre_of_mass_y", length, required, "", "2 mm", "-20 to 30 mm", "from the lever's centre", kEstimate},
      {"wippen.lever_gyration_radius", length, required, "", "10 %", "5 to 50 mm", "of the lever about its own centre of mass", kEstimate},
      {"wippen.lever_stop_radius", length, required, "", "1 mm", "8 to 60 mm", "lever's centre to its height stop", kCommon},
      {"wippen.lever_travel", angle, by_default, "14 deg", "1 deg", "4 to 40 deg", "swing of the lever from height stop to its outer stop", kEstimate},
      {"wippen.jack_stop_radius", length, required, "", "1 mm", "8 to 60 mm", "jack centre to its position button", kCommon},
      {"wippen.jack_travel", angle, by_default, "22 deg", "1 deg", "5 to 50 deg", "swing of the jack from its button to its outer stop", kEstimate},
      {"wippen.lever_spring_torque", torque, required, "", "10 %", "1 to 300 N mm", "repetition spring on the lever, at rest", kEstimate},
      {"wippen.lever_spring_rate", angular_stiffness, required, "", "20 %", "0.001 to 2 N m/rad", "repetition spring on the lever", kEstimate},
      {"wippen.jack_spring_torque", torque, required, "", "10 %", "0.2 to 60 N mm", "spring on the jack, at rest", kEstimate},
      {"wippen.jack_spring_rate", angular_stiffness, required, "", "20 %", "0.0001 to 0.5 N m/rad", "spring on the jack", kEstimate},
      {"wippen.heel_cloth_thickness", length, required, "", "0.2 mm", "0.5 to 6 mm", "heel cloth", kCommon},
      {"wippen.under_cloth_thickness", length, optional, "", "0.2 mm", "0.3 to 6 mm", "under-cloth", kCommon},
      {"wippen.lifting_face_start", length, required, "", "0.3 mm", "30 to 110 mm",
       "end of the heel's lifting face on the strings' side, from the wippen centre", kCommon},
      {"wippen.lifting_face_end", length, required, "", "0.3 mm", "30 to 110 mm",
       "end of the heel's lifting face on the player's side, from the wippen centre", kCommon},
      // Hammer.
      {"hammer.mass_share", number, by_default, "1.29 (1.2 to 1.4)", "", "1 to 2",
       "mass of hammer and shank over strike weight",
       "11.74 g x 132.1 / 102.2 from M. Hirschkorn, MASc thesis, Univ. of Waterloo, 2004, App. A, as quoted"},
      {"hammer.centre_of_mass_y", length, by_default, "14.5 mm (10 to 20 mm)", "2 mm", "-10 to 40 mm",
       "centre of mass across the shank, on the crown's side", "Hirschkorn 2004, App. A, as quoted"},
      {"hammer.gyration_radius", length, by_default, "49.7 mm (44 to 54 mm)", "5 %", "20 to 80 mm",
       "about the centre of mass", "2.90e-5 kg m2 and 11.74 g, Hirschkorn 2004, App. A, as quoted"},
      {"hammer.inertia", inertia, optional, "", "20 %", "1e-7 to 1e-3 kg m2", "about the centre of mass (overrides the estimate)", kEstimate},
      {"hammer.shank_height", length, by_default, "6 mm", "0.2 mm", "3 to 10 mm", "thickness of the shank at the knuckle", kCommon},
      {"hammer.tail_centre_x", length, required, "", "1 mm", "30 to 130 mm", "centre of the tail's curve", kCommon},
      {"hammer.tail_centre_y", length, required, "", "1 mm", "-60 to 60 mm", "centre of the tail's curve", kCommon},
      {"hammer.tail_radius", length, required, "", "1 mm", "20 to 150 mm", "radius of the tail's curve", kCommon},
      {"hammer.tail_low", angle, by_default, "-33 deg", "2 deg", "-80 to -5 deg", "lower end of the tail's curve, seen from its centre", kEstimate},
      {"hammer.tail_high", angle, by_default, "0 deg", "2 deg", "-30 to 30 deg", "upper end of the tail's curve, seen from its centre", kEstimate},
      // Frame.
      {"frame.let_off_button_x", length, required, "", "0.5 mm", "-170 to -90 mm", "middle of the let-off button", kCommon},
      {"frame.let_off_button_y", length, required, "", "0.5 mm", "-40 to 60 mm", "under side of the let-off button as drawn", kCommon},
      {"frame.drop_screw_x", length, required, "", "0.5 mm", "-140 to -60 mm", "drop screw", kCommon},
      {"frame.drop_screw_y", length, required, "", "0.5 mm", "0 to 80 mm", "lower end of the drop screw as drawn", kCommon},
      {"frame.drop_screw_radius", length, by_default, "2.5 mm", "0.5 mm", "0.5 to 10 mm", "radius of the drop screw's end", kEstimate},
      {"frame.rest_rail_x", length, required, "", "1 mm", "20 to 120 mm", "rest rail or cushion, from the hammer centre along the shank", kCommon},
      {"frame.rest_rail_gap", length, required, "", "0.5 mm", "0 to 15 mm", "shank to rest cushion at rest as drawn", kCommon},
      {"frame.shank_rest_angle", angle, required, "", "0.5 deg", "-35 to 5 deg", "slope of the shank at rest as drawn", kCommon},
  };
}

std::vector<ChoiceSpec> part_choices() {
  return {
      {"capstan.cap", required, "", {"flat", "domed"}, "shape of the cap's top"},
  };
}

std::vector<PointListSpec> part_point_lists() {
  return {
      {"wippen.heel_profile", required, length, 4, "0.2 mm",
       "traced outline of the heel's working surface, cloth uncompressed, from the wippen centre at rest: x towards the "
       "strings, y up; points in order from the player's side to the strings' side"},
      {"wippen.outline", required, length, 4, "1 mm", "outline of the wippen's body for drawing, from the wippen centre at rest"},
      {"wippen.jack_outline", required, length, 4, "1 mm", "outline of the jack for drawing, from the jack centre"},
      {"wippen.lever_outline", required, length, 4, "1 mm", "outline of the repetition lever for drawing, from its centre"},
      {"hammer.head_outline", required, length, 4, "1 mm", "outline of the hammer head for drawing, from the foot of the strike line on the shank: x along the shank, y on the crown's side"},
  };
}

}  // namespace leverwright::case_file
