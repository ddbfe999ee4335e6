// The action as numbers: what a case, its parts and one set-up amount to, before any screw is turned. SI,
// body frames.
//
// Frames: W has its origin at the balance hole at the key's bottom, x towards the strings, y up. Body frames
// have their origin at the body's centre (pin); key, wippen and repetition lever stand as drawn at angle 0,
// the hammer's x runs along the shank, the jack's y along its axis.
#pragma once
#include <array>
#include <limits>
#include <string>
#include <vector>

#include "models/action/key_options.h"
#include "models/action/options.h"
#include "models/case_file/case_description.h"
#include "models/case_file/contact_places.h"
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
enum ContactId {
#define LEVERWRIGHT_CONTACT(id, key, name, surfaces, felt, pair, slides, weighed) id,
  LEVERWRIGHT_CONTACTS(LEVERWRIGHT_CONTACT)
#undef LEVERWRIGHT_CONTACT
      kPlaceCount
};
extern const std::array<const char*, kPlaceCount> kPlaceKeys;     // as in [materials]
extern const std::array<const char*, kPlaceCount> kContactNames;  // for people

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

inline constexpr double kHeelSpacing = 0.1e-3;  // grid of the heel profile [m]

// What design() has yet to fill in: it spoils every answer rather than pass for a measure.
inline constexpr double kUnset = std::numeric_limits<double>::quiet_NaN();

struct ScrewRange {
  double pitch = kUnset, up = kUnset, down = kUnset;
};

struct ActionDesign {
  // Points are in the frame of the part they stand under; lengths in m, angles in rad.

  // Case (W).
  Vec2 p_P, p_H;                  // wippen and hammer centres
  Vec2 p_balance = Vec2::Zero();  // balance point (moves when a punching is halved)
  double string_y = kUnset;

  // Key; relative to p_balance.
  Vec2 playing_point;
  double key_front_arm = kUnset;  // horizontal, playing point
  double key_front_x = kUnset, key_rear_x = kUnset, key_height = kUnset, key_width = kUnset;
  Vec2 front_punching, back_rail;  // points on the key's bottom

  // Back check, on the key.
  Vec2 check_centre;
  double check_lean = kUnset, check_length = kUnset, check_curve = kUnset;

  // Capstan, on the key.
  Vec2 cap_apex;  // as drawn
  double cap_lean = kUnset, cap_dome_radius = kUnset, cap_half_width = kUnset, cap_edge_fillet = kUnset;
  bool cap_is_flat = false;
  double capstan_mass = 0;  // kg

  // Wippen and its heel.
  Vec2 jack_centre, lever_centre;
  std::vector<double> heel_x, heel_h;  // height of the heel's cloth surface below the centre, even grid
  double lifting_face_from = kUnset, lifting_face_to = kUnset;  // x, from < to
  double heel_cloth_thickness = kUnset;
  bool heel_cloth_is_new = false;
  planar::MuTable heel_mu;
  double wippen_weight_arm = 0;  // horizontal, wippen centre to where the wippen was weighed

  // Jack.
  double jack_length = kUnset, jack_half_width = kUnset, jack_crown = kUnset, jack_edge_fillet = kUnset,
         jack_top_tilt = kUnset;
  Vec2 tender;
  double tender_radius = kUnset;
  double jack_stop_radius = kUnset, jack_travel = kUnset;

  // Repetition lever.
  Vec2 lever_top, lever_drop;
  double lever_top_tilt = kUnset, lever_top_crown = kUnset, lever_top_half_length = kUnset,
         lever_stop_radius = kUnset, lever_travel = kUnset;

  // Hammer.
  Vec2 knuckle_centre;
  double knuckle_radius = kUnset, shank_half_height = kUnset, hanging_distance = kUnset,
         core_half_width = kUnset;
  double hammer_length = kUnset, bore = kUnset, crown_radius = kUnset;
  Vec2 tail_centre;
  double tail_radius = kUnset, tail_low = kUnset, tail_high = kUnset;

  // Frame (W).
  double shank_rest_angle = kUnset, rest_rail_x = kUnset, rest_rail_gap = kUnset;
  Vec2 button, drop_screw;
  double drop_screw_radius = kUnset;

  // Masses and loads.
  std::array<BodyMass, 5> masses;  // key, wippen, jack, lever, hammer
  // N, as a technician would weigh them after the change.
  double strike_weight = kUnset, front_weight = kUnset, wippen_weight = kUnset;
  SpringLaw lever_spring, jack_spring;
  double assist_torque = 0;  // on the key as drawn, helping it down [N m]
  double left_out = 0;       // what the model does not know of the balance: lifts the playing point [N]
  double assist_rate = 0;    // of it, lost as the key goes down [N m/rad]
  double wippen_assist = 0;  // on the wippen as drawn, lifting it: at the heel contact [N]
  double wippen_assist_torque = 0;  // the same about the wippen centre [N m]
  double wippen_assist_rate = 0;    // of it, lost as the wippen rises [N m/rad]

  // Surfaces and joints.
  std::array<ContactLaw, kPlaceCount> laws;
  std::array<planar::PivotFriction, kPivotCount> pivots;
  bool patch_grade = false;
  double patch_spacing = 0.25e-3;

  // Options of the model.
  Options options;
  KeyOptions key_options;

  // For drawing: outlines in the body frames (head: from the foot of the strike line), leads in the key
  // frame.
  std::vector<Vec2> wippen_outline, jack_outline, lever_outline, head_outline, leads;
  std::vector<Vec2> heel_outline;  // wood of a heel that was cut off and glued on again; else empty

  // Regulation as asked for; dip, blow and aftertouch are 0 where the policy lets them result.
  std::string policy;
  double dip = 0, blow = 0, aftertouch = 0;
  double let_off = kUnset, drop = kUnset, jack_clearance = kUnset, jack_position = 0, dip_force = kUnset,
         checking = kUnset, check_blow = kUnset;
  double spring_rise_low = kUnset, spring_rise_high = kUnset;
  std::array<ScrewRange, kScrewCount> screws;
  // Height of the back-rail cloth that puts the base at its as-measured rest, and of the balance punching's
  // top where that option is on.
  double back_rail_offset = 0, balance_punching_offset = 0;
};

// Positions of the centres in W, after redundant measurements have been reconciled.
struct Geometry {
  Vec2 p_P, p_H, p_C;
};
Geometry find_geometry(const case_file::CaseDescription& d);

// Resolves one set-up. `d` is the case (its base parts); changes act on the numbers.
ActionDesign design(const case_file::CaseDescription& d, const case_file::SetUp& set_up);

}  // namespace leverwright::action
