// The key's options: its balance punching, the wire of its back check, the damper it lifts.
//
// BALANCE PUNCHING (contact C14, line on line). The key's hole rides on the balance pin: it can rise and sink
// along it (coordinate l, upwards, zero as measured) and turn about it, but not move along the key; the pin's
// friction stays and counts the punching's force as its own load. The flat bottom of the key, turned by
// theta, lies over a round punching of diameter D with a hole of diameter H, its top (unpressed) at height
// h_0: at a place x along the key (x = 0: the pin) the punching is pressed by
//   d(x) = h_0 - l - x theta                                   (small angles; exact in the code)
// and a strip of width dx bears dF = F(d) c(x) dx / A, with F the cloth's law of the whole punching, c(x) the
// chord of the ring there and A its area: the sum of all strips at equal depth is F. It bears a force and,
// when the key tilts, a moment about the pin. With F'(d) = k: dM/dtheta = k rho^2, rho^2 = (D^2 + H^2) / 16
// the ring's mean square of x, as long as no strip is open; the moment can never pass F D / 2. `bears_from`
// and `bears_to` leave only a part of it (a punching cut in half).
//
// BACK-CHECK WIRE. A wire of bending stiffness E I stands out of the key by L and carries the check's head;
// the tail presses the head at a point e beyond the wire's end. For a force F there (elementary beam theory):
//   slope of the end      phi = F (L^2/2 + L e) / E I
//   way of the point    delta = F (L^3/3 + L^2 e + L e^2) / E I
// so the head turns as if it hung on a hinge rho = delta / phi below the point, held by a torsion spring
//   K = F rho / phi = E I rho / (L^2/2 + L e),
// the same stiffness K / rho^2 and the same tilt. E I = E pi d^4 / 64. The head, with 33/140 of the wire's
// mass, leaves the key's own mass; viscous damping 2 zeta sqrt(K I) about the hinge. Holds for small bending
// within the elastic range, and the wire's own modes left out (above 1 kHz).
//
// DAMPER (contact C13). A lever on its own centre behind the key, its tip over the key's end; at a distance
// s L from the centre the damper's wire and head hang on it and rest on the string. Its weight at the tip is
// W; a share sigma of W comes from a spring and has no mass:
//   m = W (1 - sigma) / (g s) at s L,      inertia m (s L)^2,      felt at the tip, felt at the string.
// The key's end meets the tip when the key has gone down by `start` times the dip; from there the key bears
// W (x_end / A) more at its front, both ways, and the friction on top. A hard blow throws the damper up; a
// rail stops it `up_stop` above where the key, fully down, would carry it.
#pragma once
#include "models/case_file/case_description.h"
#include "sim/planar/contact.h"

namespace leverwright::action {

using base::Vec2;
struct ActionDesign;
struct Action;

struct BalancePunching {
  double diameter = 22e-3, hole = 6.5e-3;  // [m]
  double bears_from = -1, bears_to = 1;    // along the key from the pin [m]
  planar::Cloth cloth;                     // of the whole, uncut punching
  static constexpr int kStrips = 12;
};

struct CheckWire {
  double length = 0, reach = 0;         // L, e [m]
  double bending_stiffness = 0;         // E I [N m2]
  double head_mass = 0, wire_mass = 0;  // [kg]
  double damping_ratio = 0;             // zeta
  double hinge_below() const;           // rho [m]
  double hinge_stiffness() const;       // K [N m/rad]
  double moving_mass() const;           // head and 33/140 of the wire [kg]
};

struct DamperLever {
  double weight = 0, spring_share = 0;    // W at the tip [N], sigma
  double start = 0.5;                     // share of the dip
  double lever_length = 0, mass_arm = 0;  // L [m], s L [m]
  double friction = 0;                    // at the tip [N]
  double up_stop = 1.5e-3;                // play to the upper stop with the key down, at the tip [m]
  planar::Cloth tip_felt, string_felt;
  planar::DryFriction tip_friction;
  bool weighed = false;  // false: dampers lifted when the key is weighed
  bool lifted = false;   // out of the key's reach now
  double mass() const;   // [kg]
};

struct KeyOptions {
  BalancePunching punching;
  CheckWire wire;
  DamperLever damper;
};

KeyOptions read_key_options(const case_file::CaseDescription& description);

// Called by assemble when the option is on, after the five bodies stand; the key hangs on the new slide.
void add_balance_punching(const ActionDesign& design, Action& action);
// The body of the back check, before the contacts are put: its index. The check's face is told in its frame
// then, whose origin is the hinge.
int add_check_body(const ActionDesign& design, Action& action);
Vec2 check_hinge(const ActionDesign& design);  // key frame, as drawn [m]
// Spring and damping of the wire, after the pivots are put.
void add_check_wire(const ActionDesign& design, Action& action);
void add_damper(const ActionDesign& design, Action& action);

// Centres of the punching's strips along the key from the pin [m], and the share of the whole each bears.
struct Strip {
  double x, share;
};
std::vector<Strip> punching_strips(const BalancePunching& punching);
// Height of the key's end and of the damper's tip above it at rest, as drawn [m].
double damper_gap(const ActionDesign& design);
double key_end_rise(const ActionDesign& design, double dip);  // of the key's end, the key turning on its hole
Vec2 damper_centre(const ActionDesign& design);               // W [m]
// Angle of the damper's lever with the damper at rest on the string, and where the upper stop begins to
// press.
double damper_rest_angle(const ActionDesign& design);
double damper_stop_angle(const ActionDesign& design);
Vec2 key_end(const ActionDesign& design);  // where the tip meets the key, key frame [m]

inline constexpr const char* kBalancePunchingName = "key on balance punching";
inline constexpr const char* kKeyDamperName = "key end on damper lever";
inline constexpr const char* kDamperStringName = "damper on string";
inline constexpr const char* kDamperStopName = "damper on its upper stop";
inline constexpr const char* kCheckBodyName = "back check";
inline constexpr const char* kDamperBodyName = "damper lever";
inline constexpr const char* kLiftBodyName = "key on its pin";

}  // namespace leverwright::action
