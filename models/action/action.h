// The five-lever action as a planar mechanism: bodies, contacts C1 to C12, C15, C16, pivots and springs.
#pragma once
#include <array>
#include <optional>
#include <vector>

#include "models/action/design.h"
#include "sim/planar/mechanism.h"
#include "sim/run/statics.h"

namespace leverwright::action {

enum BodyIndex { kKey, kWippen, kJack, kLever, kHammer, kBodyCount };
extern const std::array<const char*, kBodyCount> kBodyNames;

// A finger: a mass that rides vertically over the playing point and presses the key through its pad.
struct Finger {
  double mass = 0.2;                                  // [kg]
  double stiffness = 4000;                            // [N/m]
  double damping = 15;                                // [N s/m]
  double start_height = 0;                            // pad above the key at rest at the start [m]
  std::optional<planar::Cloth> flesh = std::nullopt;  // law of the pad in place of stiffness and damping
  std::optional<planar::Cloth> arm =
      std::nullopt;  // with it a hand rides over the finger and moves it, see finger_touch.h
};

struct Action {
  planar::Mechanism mechanism;
  ActionDesign design;
  ScrewSettings screws{};
  std::array<int, kPlaceCount> contact;  // index into mechanism.contacts; first strip for a patch
  std::array<int, kPivotCount> pivot;
  // The hammer's pieces from the centre outwards and their origins in the straight hammer's frame: one piece,
  // or three when the shank bends (shank.h).
  std::vector<int> hammer_pieces = {kHammer};
  std::vector<Vec2> hammer_origins = {Vec2::Zero()};
  int finger_body = -1, finger_contact = -1, hand_body = -1;
  // Bodies of the key's options; -1 where the option is off.
  int lift_body = -1, check_body = -1, damper_body = -1;
  run::TravelPoint playing_point;
  planar::VecQ q_drawn;  // coordinates as drawn

  // Adds a body beyond the five and gives its coordinate as drawn; its index.
  int add_body(const planar::Body& body, double drawn);

  // Crown to string along the vertical, from the coordinates [m].
  double string_gap(const planar::VecQ& q) const;
  // Its rate for rates of the coordinates [m per unit]: minus the vertical speed of the crown.
  double string_gap_rate(const planar::VecQ& q, const planar::VecQ& rates) const;
  // Piece of the hammer that carries the point x along the shank; its place in hammer_pieces.
  std::size_t hammer_piece_at(double x) const;
  // Position in W of a point of the outermost piece, given in the straight hammer's frame.
  Vec2 on_head(const planar::VecQ& q, const Vec2& r) const;
  // Radial clearance between jack top and knuckle leather; negative when pressed [m].
  double jack_clearance(const planar::VecQ& q) const;
  // How far the string-side edge of the knuckle core stands off the jack's string-side face, towards the
  // strings [m].
  double jack_offset(const planar::VecQ& q) const;
  double shank_rest_gap(const planar::VecQ& q) const;
  // +1 where a contact's force is shown as it acts on its mate, -1 where on the body of its face: the mate is
  // fixed, or is the finger that drives that body.
  double shown_sign(const planar::Contact& c) const {
    return c.body_b == planar::kGround || c.body_b == finger_body ? -1.0 : 1.0;
  }
  Vec2 crown() const { return Vec2(design.hammer_length, design.bore); }
};

// Builds the mechanism for given screw settings. With a finger, its bodies come last (finger_body,
// hand_body).
Action assemble(const ActionDesign& design, const ScrewSettings& screws, const Finger* finger = nullptr);

// The capstan's cap and the heel's profile as built (also drawn).
planar::Cap capstan_cap(const ActionDesign& d, double height_setting);
planar::Profile heel_profile(const ActionDesign& d);
planar::Cap jack_cap(const ActionDesign& d);
planar::Cap lever_cap(const ActionDesign& d);
// origin: of the frame it is wanted in, in the straight hammer's frame.
planar::Cap tail_cap(const ActionDesign& d, const Vec2& origin = Vec2::Zero());
planar::Profile check_profile(const ActionDesign& d, double advance);

}  // namespace leverwright::action
