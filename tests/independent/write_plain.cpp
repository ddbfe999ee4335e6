#include "tests/independent/write_plain.h"

#include <stdexcept>

#include "sim/base/units.h"

namespace leverwright::independent {

namespace {

Point point(const base::Vec2& p) { return {p.x(), p.y()}; }

// Our places in the order of Bearing.
constexpr std::array<int, kBearingCount> kOurPlace = {
    action::kKeyBackRail,   action::kKeyFrontPunching, action::kCapstanHeel,    action::kJackKnuckle,
    action::kLeverKnuckle,  action::kTenderButton,     action::kLeverDropScrew, action::kJackStopFelt,
    action::kLeverStopFelt, action::kShankRest,        action::kTailCheck,      action::kHammerString,
    action::kJackOuterStop, action::kLeverOuterStop};

PlainCloth plain(const planar::Cloth& c) {
  return {c.reference_force(), c.reference_compression(), c.exponent(),
          c.hysteresis(),      c.damping_time(),          c.loss_time()};
}

PlainFriction plain(const planar::DryFriction& f, const planar::Cloth& c) {
  if (!f.acts()) return {};
  PlainFriction out;
  out.mu = f.mu();
  out.shear_share = f.shear_share();
  out.exponent = c.exponent();
  out.nap_shear = f.nap_shear();
  out.damping_time = f.damping_time();
  return out;
}

}  // namespace

PlainAction write_plain(const action::Action& a, const planar::VecQ& rest, const action::Finger* finger) {
  const action::ActionDesign& d = a.design;
  if (d.patch_grade) throw std::logic_error("the second engine knows the point contact under the heel only");
  PlainAction p;
  p.balance = point(d.p_balance);
  p.wippen_centre = point(d.p_P);
  p.hammer_centre = point(d.p_H);
  p.jack_centre = point(d.jack_centre);
  p.lever_centre = point(d.lever_centre);
  for (std::size_t i = 0; i < kPartCount; ++i) {
    p.masses[i] = {d.masses[i].mass, point(d.masses[i].p_cm), d.masses[i].inertia_cm};
    p.rest[i] = rest[static_cast<int>(i)];
  }
  for (std::size_t i = 0; i < kBearingCount; ++i) {
    const action::ContactLaw& law = d.laws[static_cast<std::size_t>(kOurPlace[i])];
    p.cloth[i] = plain(law.cloth);
    p.friction[i] = plain(law.friction, law.cloth);
  }
  for (std::size_t i = 0; i < kPinCount; ++i)
    p.pivots[i] = {d.pivots[i].coulomb(), d.pivots[i].load_radius(), d.pivots[i].viscous(),
                   d.pivots[i].yield_angle()};
  p.playing_point = point(d.playing_point);
  p.front_punching = point(d.front_punching);
  p.back_rail = point(d.back_rail);
  p.back_rail_offset = d.back_rail_offset;
  p.dip = d.dip > 0 ? d.dip : 10e-3;
  p.cap = {point(d.cap_apex), d.cap_lean, d.cap_dome_radius, d.cap_half_width, d.cap_edge_fillet};
  p.heel_x = d.heel_x;
  p.heel_h = d.heel_h;
  p.rough_x = d.heel_mu.s;
  p.rough_factor = d.heel_mu.factor;
  p.jack_top = {{0, d.jack_length}, d.jack_top_tilt, d.jack_crown, d.jack_half_width, d.jack_edge_fillet};
  p.tender = point(d.tender);
  p.tender_radius = d.tender_radius;
  p.jack_stop_radius = d.jack_stop_radius;
  p.jack_travel = d.jack_travel;
  p.lever_top = {point(d.lever_top), d.lever_top_tilt, d.lever_top_crown, d.lever_top_half_length, 1e-3};
  p.lever_drop = point(d.lever_drop);
  p.lever_stop_radius = d.lever_stop_radius;
  p.lever_travel = d.lever_travel;
  p.knuckle = point(d.knuckle_centre);
  p.knuckle_radius = d.knuckle_radius;
  p.core_half_width = d.core_half_width;
  p.shank_half_height = d.shank_half_height;
  p.shank_rest_angle = d.shank_rest_angle;
  p.rest_rail_x = d.rest_rail_x;
  p.rest_rail_gap = d.rest_rail_gap;
  p.hammer_length = d.hammer_length;
  p.bore = d.bore;
  p.crown_round = 6e-3;
  p.string_y = d.string_y;
  p.tail_centre = point(d.tail_centre);
  p.tail_radius = d.tail_radius;
  p.tail_low = d.tail_low;
  p.tail_high = d.tail_high;
  p.tail_corner = 1.5e-3;
  p.check_centre = point(d.check_centre);
  p.check_lean = d.check_lean;
  p.check_length = d.check_length;
  p.check_curve = d.check_curve;
  p.check_round = 4e-3;
  p.check_onset = 2e-3;
  p.check_spacing = 0.5e-3;
  p.check_margin = 8e-3;
  p.button = point(d.button);
  p.drop_screw = point(d.drop_screw);
  p.drop_screw_radius = d.drop_screw_radius;
  p.key_round = p.shank_round = 2e-3;
  p.capstan_up = a.screws[action::kCapstan];
  p.front_punching_up = a.screws[action::kFrontPunching];
  p.button_up = a.screws[action::kLetOffButton];
  p.drop_screw_up = a.screws[action::kDropScrew];
  p.check_forward = a.screws[action::kBackCheck];
  p.jack_button = a.screws[action::kJackStop];
  p.lever_button = a.screws[action::kLeverStop];
  p.repetition_spring = a.screws[action::kRepetitionSpring];
  p.lever_spring_torque = d.lever_spring.torque;
  p.lever_spring_rate = d.lever_spring.rate;
  p.jack_spring_torque = d.jack_spring.torque;
  p.jack_spring_rate = d.jack_spring.rate;
  p.assist_torque = d.assist_torque;
  if (finger) p.finger = {true, finger->mass, finger->stiffness, finger->damping, finger->start_height};
  if (d.options.has(action::kCompliantString)) {
    const planar::StringData& s = d.options.string;
    p.string = {s.length,      s.mass,           s.tension,
                s.stiffness,   s.striking_share, s.loss_constant,
                s.loss_rising, s.modes,          planar::ModalString::kRest};
  }
  p.cloth_kappa = planar::Cloth::kKappa;
  p.cloth_break = planar::Cloth::kBreak;
  p.bristle_break = planar::DryFriction::kBreak;
  p.build_up_time = planar::DryFriction::kBuildUp;
  p.pivot_squeeze_time = planar::PivotFriction::kSqueezeTime;
  p.pivot_loss_time = planar::PivotFriction::kLossTime;
  p.gravity = base::kGravity;
  return p;
}

}  // namespace leverwright::independent
