// The action as numbers: what a case, its parts and one set-up amount to, before any screw is turned. SI,
// body frames.
//
// Frames: W has its origin at the balance hole at the key's bottom, x towards the strings, y up. Body frames
// have their origin at the body's centre (pin); key, wippen and repetition lever stand as drawn at angle 0,
// the hammer's x runs along the shank, the jack's y along its axis.
#pragma once
#include <array>
#include <string>
#include <vector>

#include "models/action/key_options.h"
#include "models/action/options.h"
#include "models/case/case_description.h"
#include "sim/planar/contact.h"

namespace leverwright::action {

using base::Vec2;

// The regulation screws in the order used everywhere.
enum Screw {
  kCapstan,
  kFrontPunching,
  kLetOffButton,
  kDropScrew,
  kJackStop,
  kLeverStop,
  kBackCheck,
  kRepetitionSpring,
  kScrewCount
};
extern const std::array<const char*, kScrewCount>
    kScrewKeys;  // "capstan", "front_punching", ... as in [screws]
extern const std::array<const char*, kScrewCount> kScrewNames;  // for people

// Settings against the drawing: lengths in m (positive: up, or towards the player for the check), spring in N
// m.
using ScrewSettings = std::array<double, kScrewCount>;

struct BodyMass {
  double mass = 0;
  Vec2 p_cm = Vec2::Zero();
  double inertia_cm = 0;
};

struct ContactLaw {
  planar::Cloth cloth;
  planar::DryFriction friction;
};

// Contact places, C1 to C12, C15, C16 of the handbook.
enum Place {
  kKeyBackRail,
  kKeyFrontPunching,
  kCapstanHeel,
  kJackKnuckle,
  kLeverKnuckle,
  kTenderButton,
  kLeverDropScrew,
  kJackStopFelt,
  kLeverStopFelt,
  kShankRest,
  kTailCheck,
  kHammerString,
  kJackOuterStop,
  kLeverOuterStop,
  kPlaceCount
};
extern const std::array<const char*, kPlaceCount> kPlaceKeys;   // as in [materials]
extern const std::array<const char*, kPlaceCount> kPlaceNames;  // for people

enum PivotIndex {
  kBalancePin,
  kFrontPin,
  kWippenCentre,
  kJackCentre,
  kLeverCentre,
  kHammerCentre,
  kPivotCount
};
extern const std::array<const char*, kPivotCount> kPivotNames;

struct SpringLaw {
  double torque = 0;  // at the drawn position [N m]
  double rate = 0;    // [N m/rad]
};

struct ActionDesign {
  // Geometry, m.
  Vec2 p_P, p_H;                  // wippen and hammer centres in W
  Vec2 p_balance = Vec2::Zero();  // balance point in W (moves when a punching is halved)
  Vec2 playing_point;             // key frame (relative to p_balance)
  double string_y = 0;            // W
  // Key frame.
  double key_front_x, key_rear_x, key_height, key_width;
  Vec2 front_punching, back_rail;  // points on the key's bottom
  Vec2 check_centre;
  double check_lean, check_length, check_curve;
  Vec2 cap_apex;  // as drawn
  double cap_lean, cap_dome_radius, cap_half_width, cap_edge_fillet;
  bool cap_is_flat = false;
  // Wippen frame.
  Vec2 jack_centre, lever_centre;
  std::vector<double> heel_x, heel_h;  // height of the heel's cloth surface below the centre, even grid
  double lifting_face_from, lifting_face_to;  // x on the wippen, from < to
  double heel_cloth_thickness;
  planar::MuTable heel_mu;
  // Jack frame.
  double jack_length, jack_half_width, jack_crown, jack_edge_fillet, jack_top_tilt;
  Vec2 tender;
  double tender_radius;
  double jack_stop_radius, jack_travel;
  // Lever frame.
  Vec2 lever_top, lever_drop;
  double lever_top_tilt, lever_top_crown, lever_top_half_length, lever_stop_radius, lever_travel;
  // Hammer frame.
  Vec2 knuckle_centre;
  double knuckle_radius, shank_half_height, hanging_distance, core_half_width;
  double hammer_length, bore, crown_radius = 6e-3;
  Vec2 tail_centre;
  double tail_radius, tail_low, tail_high;
  double shank_rest_angle, rest_rail_x, rest_rail_gap;
  // Ground.
  Vec2 button, drop_screw;
  double drop_screw_radius;

  std::array<BodyMass, 5> masses;  // key, wippen, jack, lever, hammer
  std::array<ContactLaw, kPlaceCount> laws;
  std::array<planar::PivotFriction, kPivotCount> pivots;

  SpringLaw lever_spring, jack_spring;
  double assist_torque = 0;         // on the key as drawn, helping it down [N m]
  double assist_rate = 0;           // of it, lost as the key goes down [N m/rad]
  double wippen_assist = 0;         // on the wippen as drawn, lifting it: at the heel contact [N]
  double wippen_assist_torque = 0;  // the same about the wippen centre [N m]
  double wippen_assist_rate = 0;    // of it, lost as the wippen rises [N m/rad]
  double capstan_mass = 0;          // kg
  double strike_weight, front_weight, wippen_weight;  // N, as a technician would weigh them after the change
  double key_front_arm;                               // horizontal, playing point [m]
  Options options;
  KeyOptions key_options;
  double wippen_weight_arm = 0;  // horizontal, wippen centre to where the wippen was weighed [m]
  bool heel_cloth_is_new = false;
  bool patch_grade = false;
  double patch_spacing = 0.25e-3;

  // For drawing: outlines in the body frames (head: from the foot of the strike line), leads in the key
  // frame.
  std::vector<Vec2> wippen_outline, jack_outline, lever_outline, head_outline, leads;
  std::vector<Vec2> heel_outline;  // wood of a heel that was cut off and glued on again; else empty

  // Regulation specification.
  std::string policy;
  double dip = 0, blow = 0, aftertouch = 0, let_off, drop, jack_clearance, jack_position = 0, dip_force,
         checking, check_blow;
  double spring_rise_low, spring_rise_high;
  struct ScrewRange {
    double pitch, up, down;
  };
  std::array<ScrewRange, kScrewCount> screws;
  double back_rail_offset =
      0;  // height of the back-rail cloth that puts the base at its as-measured rest [m]
  double balance_punching_offset = 0;  // the same of the balance punching's top, where that option is on [m]
};

// Positions of the centres in W, after redundant measurements have been reconciled.
struct Geometry {
  Vec2 p_P, p_H, p_C;
};
Geometry find_geometry(const case_file::CaseDescription& d);

// Resolves one set-up. `d` is the case (its base parts); changes act on the numbers.
ActionDesign design(const case_file::CaseDescription& d, const case_file::SetUp& set_up);

}  // namespace leverwright::action
