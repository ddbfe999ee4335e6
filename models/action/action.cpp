#include "models/action/action.h"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>

#include "models/action/shank.h"
#include "sim/base/units.h"

namespace leverwright::action {

using planar::Body;
using planar::Cap;
using planar::kGround;
using planar::Profile;

const std::array<const char*, kBodyCount> kBodyNames = {"key", "wippen", "jack", "repetition lever",
                                                        "hammer"};

Cap capstan_cap(const ActionDesign& d, double height_setting) {
  const Vec2 axis(std::sin(d.cap_lean), std::cos(d.cap_lean));
  return Cap(d.cap_apex + height_setting * axis, axis, d.cap_dome_radius, d.cap_half_width,
             d.cap_edge_fillet);
}

Profile heel_profile(const ActionDesign& d) {
  return Profile(Vec2::Zero(), Vec2(1, 0), false, d.heel_x.front(), d.heel_x[1] - d.heel_x[0], d.heel_h);
}

Cap jack_cap(const ActionDesign& d) {
  const Vec2 axis(std::sin(d.jack_top_tilt), std::cos(d.jack_top_tilt));
  // A crown rounder than half the width: all but a half round, whose dome still meets its edges.
  const double half_width = std::min(d.jack_half_width, 0.98 * d.jack_crown);
  return Cap(Vec2(0, d.jack_length), axis, d.jack_crown, half_width,
             std::min(d.jack_edge_fillet, 0.5 * half_width));
}

Cap lever_cap(const ActionDesign& d) {
  const Vec2 axis(std::sin(d.lever_top_tilt), std::cos(d.lever_top_tilt));
  return Cap(d.lever_top, axis, d.lever_top_crown, d.lever_top_half_length, 1e-3);
}

Cap tail_cap(const ActionDesign& d, const Vec2& origin) {
  const double middle = 0.5 * (d.tail_low + d.tail_high), half = 0.5 * (d.tail_high - d.tail_low);
  constexpr double kCorner = 1.5e-3;  // rounded ends of the tail
  const Vec2 axis(std::cos(middle), std::sin(middle));
  // The dome ends where the corners begin: inner half width (R - r) sin(half).
  const double half_width = (d.tail_radius - kCorner) * std::sin(half) + kCorner;
  return Cap(d.tail_centre - origin + d.tail_radius * axis, axis, d.tail_radius, half_width, kCorner);
}

Profile check_profile(const ActionDesign& d, double advance) {
  const Vec2 up(std::sin(d.check_lean), std::cos(d.check_lean));
  const Vec2 origin = d.check_centre - Vec2(advance, 0);
  constexpr double kSpacing = 0.5e-3, kRound = 4e-3, kOnset = 2e-3;
  const double half = 0.5 * d.check_length;
  const int count = static_cast<int>(std::ceil((2 * half + 16e-3) / kSpacing)) + 1;
  std::vector<double> h(static_cast<std::size_t>(count));
  for (int k = 0; k < count; ++k) {
    const double x = -half - 8e-3 + kSpacing * k;
    double height = x * x / (2 * d.check_curve);  // hollow face
    // Rounded ends: the face bends back with a curvature that grows to 1 / kRound within kOnset and stays.
    const double over = std::max(0.0, std::abs(x) - (half - kRound)), onset = std::min(over, kOnset);
    height -= onset * onset * onset / (6 * kOnset * kRound);
    height -= (over - onset) * (0.5 * over / kRound);
    h[static_cast<std::size_t>(k)] = height;
  }
  return Profile(origin, up, true, -half - 8e-3, kSpacing, h);
}

namespace {

void add_bodies(const ActionDesign& d, Action& a) {
  const int parents[kBodyCount] = {kGround, kGround, kWippen, kWippen, kGround};
  const Vec2 joints[kBodyCount] = {d.p_balance, d.p_P, d.jack_centre, d.lever_centre, d.p_H};
  for (int i = 0; i < kBodyCount; ++i) {
    Body b;
    b.name = kBodyNames[static_cast<std::size_t>(i)];
    b.parent = parents[i];
    b.p_joint = joints[i];
    b.mass = d.masses[static_cast<std::size_t>(i)].mass;
    b.p_cm = d.masses[static_cast<std::size_t>(i)].p_cm;
    b.inertia_cm = d.masses[static_cast<std::size_t>(i)].inertia_cm;
    a.mechanism.tree.add(b);
  }
  // As drawn: the shank slopes; the jack stands so that its string-side face is in line with the knuckle
  // core's edge.
  a.q_drawn = planar::VecQ::Zero(kBodyCount);
  a.q_drawn[kHammer] = d.shank_rest_angle;
  const double c = std::cos(d.shank_rest_angle), s = std::sin(d.shank_rest_angle);
  const Vec2 edge_H = d.knuckle_centre + Vec2(d.core_half_width, 0);
  const Vec2 edge = d.p_H + Vec2(c * edge_H.x() - s * edge_H.y(), s * edge_H.x() + c * edge_H.y());
  const Vec2 r = edge - (d.p_P + d.jack_centre);
  // In the jack's frame the edge is at x = half width: angle(r) = pi/2 + theta_J - asin(half/|r|).
  a.q_drawn[kJack] = std::atan2(r.y(), r.x()) - 0.5 * base::kPi + std::asin(d.jack_half_width / r.norm());
}

// The shank's two hinges and the pieces beyond them (shank.h).
void bend_shank(const ActionDesign& d, Action& a) {
  const HammerPieces cut = cut_hammer(d);
  const auto put_mass = [](Body& b, const BodyMass& m) {
    b.mass = m.mass;
    b.p_cm = m.p_cm;
    b.inertia_cm = m.inertia_cm;
  };
  put_mass(a.mechanism.tree.body(kHammer), cut.mass[0]);
  const char* const names[] = {"shank", "hammer head"};
  for (std::size_t i = 0; i < 2; ++i) {
    Body b;
    b.name = names[i];
    b.parent = a.hammer_pieces.back();
    b.p_joint = cut.origin[i + 1] - cut.origin[i];
    put_mass(b, cut.mass[i + 1]);
    a.hammer_pieces.push_back(a.add_body(b, d.shank_rest_angle));
    a.hammer_origins.push_back(cut.origin[i + 1]);
  }
}

void add_shank_hinges(const ActionDesign& d, Action& a) {
  const HammerPieces cut = cut_hammer(d);
  const char* const names[] = {"shank near the knuckle", "shank near the head"};
  for (std::size_t i = 0; i < 2; ++i) {
    a.mechanism.springs.push_back(
        {names[i], a.hammer_pieces[i], a.hammer_pieces[i + 1], 0.0, cut.stiffness[i]});
    a.mechanism.pivots.push_back(
        {names[i], a.hammer_pieces[i + 1], planar::PivotFriction(0, 0, cut.viscous[i], 1e-3)});
  }
}

template <class C, class... Args>
void put(Action& a, int place, Args&&... args) {
  auto contact =
      std::make_unique<C>(kContactNames[static_cast<std::size_t>(place)], std::forward<Args>(args)...);
  contact->cloth = a.design.laws[static_cast<std::size_t>(place)].cloth;
  contact->friction = a.design.laws[static_cast<std::size_t>(place)].friction;
  a.contact[static_cast<std::size_t>(place)] = static_cast<int>(a.mechanism.contacts.size());
  a.mechanism.contacts.push_back(std::move(contact));
}

// The heel cushion as a Winkler bed: strips of width w under the cap, pressure per length k_b d^(p_b).
// A dome of radius R on a flat bed: F = k_b int (D - x^2/2R)^(p_b) dx = k_b sqrt(2R) B(1/2, p_b + 1) D^(p_b +
// 1/2), so p_b = p - 1/2 and k_b follow from the point law F = k D^p. A flat cap bears over its whole width:
// p_b = p.
void put_patch(const ActionDesign& d, const Cap& cap, const Profile& heel, Action& a) {
  const planar::Cloth& law = d.laws[kCapstanHeel].cloth;
  double exponent = law.exponent(), width = 2.0 * cap.dome_half_width();
  if (!d.cap_is_flat) {
    exponent -= 0.5;
    width = std::sqrt(2.0 * cap.dome_radius()) * boost::math::beta(0.5, exponent + 1.0);
    width *= std::sqrt(law.reference_compression());
  }
  const double force_per_length = law.reference_force() / width;
  a.contact[kCapstanHeel] = static_cast<int>(a.mechanism.contacts.size());
  const int count = static_cast<int>(std::round((heel.x_end() - heel.x_start()) / d.patch_spacing));
  for (int k = 0; k < count; ++k) {
    const double x = heel.x_start() + (k + 0.5) * d.patch_spacing;
    auto strip = std::make_unique<planar::CapOnStrip>(
        std::string(kContactNames[kCapstanHeel]) + " strip " + std::to_string(k), kContactNames[kCapstanHeel],
        kKey, cap, kWippen, heel, x, d.heel_mu.at(x));
    strip->cloth = planar::Cloth(force_per_length * d.patch_spacing, law.reference_compression(), exponent,
                                 law.hysteresis(), law.damping_time(), law.loss_time());
    strip->friction = d.laws[kCapstanHeel].friction;
    a.mechanism.contacts.push_back(std::move(strip));
  }
}

void add_contacts(const ActionDesign& d, const ScrewSettings& s, Action& a) {
  const Vec2 up(0, 1), down(0, -1);
  constexpr double kKeyRound = 2e-3, kShankRound = 2e-3;  // drawing radii of near-flat contacts
  const auto on_ground = [&](const Vec2& p) { return Vec2(d.p_balance + p); };
  put<planar::TipOnLine>(a, kKeyBackRail, kGround, on_ground(d.back_rail) + Vec2(0, d.back_rail_offset), up,
                         kKey, d.back_rail + Vec2(0, kKeyRound), kKeyRound);
  // The front punching as drawn lets the key go down by the specified dip (10 mm where none is specified).
  const double dip = d.dip > 0 ? d.dip : 10e-3;
  const double fall = dip * d.front_punching.x() / d.playing_point.x();
  put<planar::TipOnLine>(a, kKeyFrontPunching, kGround,
                         on_ground(d.front_punching) + Vec2(0, s[kFrontPunching] - fall), up, kKey,
                         d.front_punching + Vec2(0, kKeyRound), kKeyRound);
  const Cap cap = capstan_cap(d, s[kCapstan]);
  const Profile heel = heel_profile(d);
  if (d.patch_grade)
    put_patch(d, cap, heel, a);
  else
    put<planar::CapOnProfile>(a, kCapstanHeel, kKey, cap, kWippen, heel, d.heel_mu);
  put<planar::CircleOnCap>(a, kJackKnuckle, kJack, jack_cap(d), kHammer, d.knuckle_centre, d.knuckle_radius);
  put<planar::CircleOnCap>(a, kLeverKnuckle, kLever, lever_cap(d), kHammer, d.knuckle_centre,
                           d.knuckle_radius);
  put<planar::TipOnLine>(a, kTenderButton, kGround, d.button + Vec2(0, s[kLetOffButton]), down, kJack,
                         d.tender, d.tender_radius);
  const Vec2 leather(std::sin(d.lever_top_tilt), std::cos(d.lever_top_tilt));
  put<planar::TipOnLine>(a, kLeverDropScrew, kLever, d.lever_drop, leather, kGround,
                         d.drop_screw + Vec2(0, s[kDropScrew] + d.drop_screw_radius), d.drop_screw_radius);
  const double jack_limit = a.q_drawn[kJack] + s[kJackStop] / d.jack_stop_radius;
  const double lever_limit = s[kLeverStop] / d.lever_stop_radius;
  put<planar::AngularStop>(a, kJackStopFelt, kWippen, kJack, jack_limit, -1.0, d.jack_stop_radius);
  put<planar::AngularStop>(a, kLeverStopFelt, kWippen, kLever, lever_limit, -1.0, d.lever_stop_radius);
  const double cs = std::cos(d.shank_rest_angle), sn = std::sin(d.shank_rest_angle);
  const Vec2 shank_under(d.rest_rail_x, -d.shank_half_height + kShankRound);
  const Vec2 under_W =
      d.p_H + Vec2(cs * shank_under.x() - sn * shank_under.y(), sn * shank_under.x() + cs * shank_under.y());
  const Vec2 normal(-sn, cs);
  const std::size_t resting = a.hammer_piece_at(d.rest_rail_x), last = a.hammer_pieces.size() - 1;
  const int head = a.hammer_pieces[last];
  put<planar::TipOnLine>(a, kShankRest, kGround, under_W - (kShankRound + d.rest_rail_gap) * normal, normal,
                         a.hammer_pieces[resting], shank_under - a.hammer_origins[resting], kShankRound);
  const Cap tail = tail_cap(d, a.hammer_origins[last]);
  if (a.check_body >= 0) {
    ActionDesign from_hinge = d;
    from_hinge.check_centre -= check_hinge(d);
    put<planar::CapOnProfile>(a, kTailCheck, head, tail, a.check_body,
                              check_profile(from_hinge, s[kBackCheck]));
  } else {
    put<planar::CapOnProfile>(a, kTailCheck, head, tail, kKey, check_profile(d, s[kBackCheck]));
  }
  put<planar::TipOnLine>(a, kHammerString, kGround, Vec2(d.p_H.x() + d.hammer_length, d.string_y), down, head,
                         a.crown() - Vec2(0, d.crown_radius) - a.hammer_origins[last], d.crown_radius);
  if (d.options.has(kCompliantString))
    a.mechanism.strings.push_back(
        {"string", a.contact[kHammerString], planar::ModalString(d.options.string)});
  put<planar::AngularStop>(a, kJackOuterStop, kWippen, kJack, jack_limit + d.jack_travel, 1.0,
                           d.jack_stop_radius);
  put<planar::AngularStop>(a, kLeverOuterStop, kWippen, kLever, lever_limit + d.lever_travel, 1.0,
                           d.lever_stop_radius);
}

void add_pivots_and_springs(const ActionDesign& d, const ScrewSettings& s, Action& a) {
  const int bodies[kPivotCount] = {kKey, kKey, kWippen, kJack, kLever, kHammer};
  for (int i = 0; i < kPivotCount; ++i) {
    a.pivot[static_cast<std::size_t>(i)] = i;
    a.mechanism.pivots.push_back(
        {kPivotNames[static_cast<std::size_t>(i)], bodies[i], d.pivots[static_cast<std::size_t>(i)]});
  }
  // Springs push the lever's front up (theta_PL falls) and the jack under the knuckle (theta_PJ falls).
  a.mechanism.springs.push_back({"repetition spring", kWippen, kLever,
                                 -(d.lever_spring.torque + s[kRepetitionSpring]), d.lever_spring.rate});
  const double jack_drawn = a.q_drawn[kJack];
  a.mechanism.springs.push_back({"jack spring", kWippen, kJack,
                                 -d.jack_spring.torque + d.jack_spring.rate * jack_drawn,
                                 d.jack_spring.rate});
  if (d.left_out != 0)
    a.mechanism.springs.push_back(
        {"left out of the balance", kGround, kKey, -d.left_out * d.key_front_arm, 0});
  if (d.assist_torque != 0)
    a.mechanism.springs.push_back({"assist spring", kGround, kKey, d.assist_torque, d.assist_rate});
  if (d.wippen_assist_torque != 0)  // the wippen rises with a falling angle
    a.mechanism.springs.push_back(
        {"assist spring on the wippen", kGround, kWippen, -d.wippen_assist_torque, d.wippen_assist_rate});
}

// Finger, and hand where it has an arm: both slide vertically over the playing point, travel counts
// downwards.
void add_finger(const Finger& finger, Action& a) {
  const ActionDesign& d = a.design;
  Body b;
  b.name = "finger";
  b.joint = planar::Joint::kSlide;
  b.p_joint = d.p_balance + d.playing_point + Vec2(0, finger.start_height);
  b.slide_direction = Vec2(0, -1);
  b.mass = finger.mass;
  a.finger_body = a.add_body(b, 0.0);
  auto pad = std::make_unique<planar::TipOnLine>("finger on key", kKey, d.playing_point, Vec2(0, 1),
                                                 a.finger_body, Vec2(0, 0), 0.0);
  pad->cloth = finger.flesh ? *finger.flesh
                            : planar::Cloth(finger.stiffness * 1e-3, 1e-3, 1.0, 0.0,
                                            finger.damping / finger.stiffness * 1e3);
  a.finger_contact = static_cast<int>(a.mechanism.contacts.size());
  a.mechanism.contacts.push_back(std::move(pad));
  if (finger.arm) {
    constexpr double kHandMass = 1e-3;  // [kg]; its motion is given, so it counts for nothing
    b.name = "hand";
    b.mass = kHandMass;
    a.hand_body = a.add_body(b, 0.0);
    for (const double down : {1.0, -1.0}) {  // the arm pushes down and pulls up
      auto arm = std::make_unique<planar::TipOnLine>(down > 0 ? "arm pushes finger" : "arm lifts finger",
                                                     a.finger_body, Vec2(0, 0), Vec2(0, down), a.hand_body,
                                                     Vec2(0, 0), 0.0);
      arm->cloth = *finger.arm;
      a.mechanism.contacts.push_back(std::move(arm));
    }
  }
}

}  // namespace

Action assemble(const ActionDesign& design, const ScrewSettings& screws, const Finger* finger) {
  Action a;
  a.design = design;
  a.screws = screws;
  add_bodies(design, a);
  if (design.options.has(kShankBending)) bend_shank(design, a);
  if (design.options.has(kCheckWire)) a.check_body = add_check_body(design, a);
  add_contacts(design, screws, a);
  add_pivots_and_springs(design, screws, a);
  if (design.options.has(kShankBending)) add_shank_hinges(design, a);
  if (design.options.has(kBalancePunching)) add_balance_punching(design, a);
  if (design.options.has(kCheckWire)) add_check_wire(design, a);
  if (design.options.has(kDamperLever)) add_damper(design, a);
  a.playing_point = {kKey, design.playing_point, a.lift_body};
  if (finger) add_finger(*finger, a);
  a.mechanism.finish();
  return a;
}

namespace {
Vec2 turned(const Vec2& r, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  return Vec2(c * r.x() - s * r.y(), s * r.x() + c * r.y());
}
}  // namespace

int Action::add_body(const planar::Body& body, double drawn) {
  const int index = mechanism.tree.add(body);
  q_drawn.conservativeResize(index + 1);
  q_drawn[index] = drawn;
  return index;
}

double Action::string_gap(const planar::VecQ& q) const {
  // The crown is a small circle: its highest point.
  const Vec2 centre = on_head(q, crown() - Vec2(0, design.crown_radius));
  return design.string_y - (centre.y() + design.crown_radius);
}

double Action::string_gap_rate(const planar::VecQ& q, const planar::VecQ& rates) const {
  const Vec2 r = crown() - Vec2(0, design.crown_radius);
  double rise = 0;
  for (std::size_t i = 0; i < hammer_pieces.size(); ++i) {
    const Vec2 to = i + 1 < hammer_pieces.size() ? hammer_origins[i + 1] : r;
    rise += rates[hammer_pieces[i]] * turned(to - hammer_origins[i], q[hammer_pieces[i]]).x();
  }
  return -rise;
}

std::size_t Action::hammer_piece_at(double x) const {
  std::size_t i = hammer_pieces.size() - 1;
  while (i > 0 && x < hammer_origins[i].x()) --i;
  return i;
}

Vec2 Action::on_head(const planar::VecQ& q, const Vec2& r) const {
  Vec2 p = design.p_H;
  for (std::size_t i = 0; i < hammer_pieces.size(); ++i) {
    const Vec2 to = i + 1 < hammer_pieces.size() ? hammer_origins[i + 1] : r;
    p += turned(to - hammer_origins[i], q[hammer_pieces[i]]);
  }
  return p;
}

double Action::jack_clearance(const planar::VecQ& q) const {
  const Vec2 knuckle = design.p_H + turned(design.knuckle_centre, q[kHammer]);
  const Vec2 jack = design.p_P + turned(design.jack_centre, q[kWippen]);
  return jack_cap(design).phi(turned(knuckle - jack, -q[kJack])) - design.knuckle_radius;
}

double Action::jack_offset(const planar::VecQ& q) const {
  const Vec2 edge = design.p_H + turned(design.knuckle_centre + Vec2(design.core_half_width, 0), q[kHammer]);
  const Vec2 jack = design.p_P + turned(design.jack_centre, q[kWippen]);
  return turned(edge - jack, -q[kJack]).x() - design.jack_half_width;
}

double Action::shank_rest_gap(const planar::VecQ& q) const {
  const Vec2 under(design.rest_rail_x, -design.shank_half_height);
  const Vec2 normal(-std::sin(design.shank_rest_angle), std::cos(design.shank_rest_angle));
  Vec2 at = Vec2::Zero();
  const std::size_t resting = hammer_piece_at(design.rest_rail_x);
  for (std::size_t i = 0; i <= resting; ++i) {
    const Vec2 to = i < resting ? hammer_origins[i + 1] : under;
    at += turned(to - hammer_origins[i], q[hammer_pieces[i]]);
  }
  return design.rest_rail_gap + (at - turned(under, design.shank_rest_angle)).dot(normal);
}

}  // namespace leverwright::action
