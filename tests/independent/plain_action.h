// An assembled, regulated action as plain numbers: what the second engine is given, and all it is given.
//
// Positions, masses, radii, heights, law parameters, screw settings. No geometry and no force is worked out
// here; the second engine does that by its own formulas. SI, frames as in DEVELOPERS.md: key, wippen and
// repetition lever stand as drawn at angle 0, the hammer's x runs along the shank, the jack's y along its
// axis; body frames have their origin at the pin.
#pragma once
#include <array>
#include <string>
#include <vector>

namespace leverwright::independent {

struct Point {
  double x = 0, y = 0;
};

enum Part { kKey, kWippen, kJack, kLever, kHammer, kPartCount };

struct PlainMass {
  double mass = 0;
  Point centre;        // of mass
  double inertia = 0;  // about it
};

// F_ref at d_ref, exponent, hysteresis, viscous time per way c, loss time alpha: cloth.h.
struct PlainCloth {
  double force = 1, depth = 1, exponent = 2.5, hysteresis = 0, damping = 0, loss_time = 0;
};
// mu, kappa_t, the exponent of the cloth that bears, z_min, tau_d: dry_friction.h. mu = 0: the place does not
// rub.
struct PlainFriction {
  double mu = 0, shear_share = 1, exponent = 1, nap_shear = 1, damping_time = 0;
};
// S_0, mu r_pin, viscous, theta_y.
struct PlainPivot {
  double coulomb = 0, load_radius = 0, viscous = 0, yield_angle = 1;
};
// A rounded face: apex, lean of its outward axis from the body's y axis towards its x axis, dome, edge.
struct PlainFace {
  Point apex;
  double lean = 0, dome_radius = 1, half_width = 1, edge_fillet = 0;
};

enum Bearing {
  kBackRail,
  kFrontPunching,
  kCapstanHeel,
  kJackKnuckle,
  kLeverKnuckle,
  kTenderButton,
  kLeverDropScrew,
  kJackStop,
  kLeverStop,
  kShankRest,
  kTailCheck,
  kHammerString,
  kJackOuterStop,
  kLeverOuterStop,
  kBearingCount
};
extern const std::array<const char*, kBearingCount> kBearingIds;  // C1 and so on

enum Pivots { kBalancePin, kFrontPin, kWippenPin, kJackPin, kLeverPin, kHammerPin, kPinCount };

struct PlainFinger {
  bool present = false;
  double mass = 0, stiffness = 1, damping = 0, start_height = 0;
};

// All strings of the note together: sim/planar/modal_string.h. modes 0: a stiff stop.
struct PlainString {
  double length = 1, mass = 1, tension = 1, stiffness = 0, striking_share = 0.5;
  double loss_constant = 0, loss_rising = 0;
  int modes = 0;
  double rest_factor = 1;  // frequency of the mode that sums up the others, against that of the next one
};

struct PlainAction {
  Point balance, wippen_centre, hammer_centre;  // W
  Point jack_centre, lever_centre;              // wippen
  std::array<PlainMass, kPartCount> masses;
  std::array<PlainCloth, kBearingCount> cloth;
  std::array<PlainFriction, kBearingCount> friction;
  std::array<PlainPivot, kPinCount> pivots;

  Point playing_point, front_punching, back_rail;  // key
  double back_rail_offset = 0, dip = 0;
  PlainFace cap;                              // key, as drawn
  std::vector<double> heel_x, heel_h;         // wippen: height of the heel cloth below the centre, even grid
  std::vector<double> rough_x, rough_factor;  // factor on the heel's mu along x, straight between; or empty
  PlainFace jack_top;                         // jack
  Point tender;                               // jack
  double tender_radius = 0, jack_stop_radius = 0, jack_travel = 0;
  PlainFace lever_top;  // lever
  Point lever_drop;     // lever; the leather lies along the lever's top
  double lever_stop_radius = 0, lever_travel = 0;
  Point knuckle;  // hammer
  double knuckle_radius = 0, core_half_width = 0, shank_half_height = 0;
  double shank_rest_angle = 0, rest_rail_x = 0, rest_rail_gap = 0;
  double hammer_length = 0, bore = 0, crown_round = 0, string_y = 0;  // crown; string in W
  Point tail_centre;                                                  // hammer: of the tail's arc
  double tail_radius = 0, tail_low = 0, tail_high = 0, tail_corner = 0;
  // Check, on the key: leaning back from upright by `lean`, hollow of radius `curve`; within `round` of its
  // ends it bends back with a curvature that grows over `onset` to 1 / round. Drawn point by point.
  Point check_centre;
  double check_lean = 0, check_length = 0, check_curve = 0, check_round = 0, check_onset = 0;
  double check_spacing = 0, check_margin = 0;
  Point button, drop_screw;  // W, as drawn
  double drop_screw_radius = 0;
  double key_round = 0, shank_round = 0;  // radii of the rounded edges of key and shank

  // Screws against the drawing.
  double capstan_up = 0, front_punching_up = 0, button_up = 0, drop_screw_up = 0, jack_button = 0,
         check_forward = 0, lever_button = 0, repetition_spring = 0;
  double lever_spring_torque = 0, lever_spring_rate = 0, jack_spring_torque = 0, jack_spring_rate = 0,
         assist_torque = 0;

  std::array<double, kPartCount> rest{};  // absolute angles at rest
  PlainFinger finger;
  PlainString string;

  // Constants of the laws.
  double cloth_kappa = 0, cloth_break = 0;
  double bristle_break = 0, build_up_time = 0;
  double pivot_squeeze_time = 0, pivot_loss_time = 0;
  double gravity = 0;
};

}  // namespace leverwright::independent
