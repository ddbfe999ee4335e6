#include "models/action/key_options.h"

#include <algorithm>
#include <cmath>

#include "models/action/action.h"
#include "sim/base/units.h"
#include "sim/planar/point_travel.h"

namespace leverwright::action {

using base::kGravity;
using base::kPi;
using planar::kGround;

namespace {

planar::Cloth read_cloth(const case_file::CaseDescription& d, const std::string& at) {
  const double share = d.value(at + "hysteresis");
  return planar::Cloth(d.value(at + "test_force"), d.value(at + "test_depth"), d.value(at + "exponent"),
                       std::min(0.55, share / (2.0 - share)), d.value(at + "damping"),
                       d.value(at + "loss_time"));
}

// Young's modulus [Pa] and density [kg/m3] of a drawn wire; from memory, as in any table of materials.
struct Metal {
  double modulus, density;
};
Metal metal_of(const std::string& word) { return word == "brass" ? Metal{100e9, 8500} : Metal{200e9, 7850}; }

}  // namespace

double CheckWire::hinge_below() const {
  const double l = length, e = reach;
  return (l * l * l / 3 + l * l * e + l * e * e) / (l * l / 2 + l * e);
}
double CheckWire::hinge_stiffness() const {
  return bending_stiffness * hinge_below() / (length * length / 2 + length * reach);
}
double CheckWire::moving_mass() const { return head_mass + 33.0 / 140.0 * wire_mass; }

double DamperLever::mass() const {
  return weight * (1 - spring_share) / (kGravity * mass_arm / lever_length);
}

KeyOptions read_key_options(const case_file::CaseDescription& d) {
  KeyOptions out;
  out.punching.diameter = d.value("balance_punching.diameter");
  out.punching.hole = d.value("balance_punching.hole");
  out.punching.cloth = read_cloth(d, "balance_punching.");
  CheckWire& wire = out.wire;
  const Metal metal = metal_of(d.choice("check_wire.metal"));
  const double thick = d.value("check_wire.diameter");
  wire.bending_stiffness = metal.modulus * kPi * std::pow(thick, 4) / 64;
  const double half_head = 0.5 * d.value("key.check_length");
  wire.length = d.has("check_wire.free_length") ? d.value("check_wire.free_length")
                                                : d.value("key.check_y") - d.value("key.height") - half_head;
  wire.reach = half_head;
  wire.head_mass = d.value("check_wire.head_mass");
  wire.wire_mass = metal.density * kPi * thick * thick / 4 * wire.length;
  wire.damping_ratio = d.value("check_wire.damping_ratio");
  DamperLever& damper = out.damper;
  damper.weight = d.value("damper.weight");
  damper.spring_share = d.value("damper.spring_share");
  damper.start = d.value("damper.start");
  damper.lever_length = d.value("damper.lever_length");
  damper.mass_arm = d.value("damper.mass_arm") * damper.lever_length;
  damper.up_stop = d.value("damper.up_stop");
  damper.friction = d.value("damper.friction");
  damper.tip_felt = damper.string_felt = read_cloth(d, "damper.");
  damper.tip_friction =
      planar::DryFriction(d.value("damper.tip_friction"), 0.7, damper.tip_felt.exponent(), 5e-6, 1e-3);
  damper.weighed = d.choice("damper.when_weighed") == "working";
  return out;
}

std::vector<Strip> punching_strips(const BalancePunching& p) {
  const double r = 0.5 * p.diameter, hole = 0.5 * p.hole;
  // Area of the ring up to x: that of the disc less that of the hole.
  const auto disc = [](double radius, double x) {
    const double s = std::clamp(x / radius, -1.0, 1.0);
    return radius * radius * (std::asin(s) + s * std::sqrt(1 - s * s));
  };
  const auto area = [&](double x) { return disc(r, x) - disc(hole, x); };
  const double whole = area(r) - area(-r);
  const double from = std::max(-r, p.bears_from), to = std::min(r, p.bears_to);
  std::vector<Strip> out;
  for (int k = 0; k < BalancePunching::kStrips; ++k) {
    const double a = from + (to - from) * k / BalancePunching::kStrips;
    const double b = from + (to - from) * (k + 1) / BalancePunching::kStrips;
    out.push_back({0.5 * (a + b), (area(b) - area(a)) / whole});
  }
  return out;
}

void add_balance_punching(const ActionDesign& d, Action& a) {
  planar::Body slide;
  slide.name = kLiftBodyName;
  slide.joint = planar::Joint::kSlide;
  slide.p_joint = d.p_balance;
  slide.slide_direction = Vec2(0, 1);
  a.lift_body = a.add_body(slide, 0.0);
  a.mechanism.tree.reparent(kKey, a.lift_body, Vec2::Zero());
  const BalancePunching& p = d.key_options.punching;
  int k = 0;
  for (const Strip& strip : punching_strips(p)) {
    auto contact = std::make_unique<planar::TipOnLine>(
        std::string(kBalancePunchingName) + " strip " + std::to_string(k++), kKey, Vec2(0, 0), Vec2(0, -1),
        kGround, d.p_balance + Vec2(strip.x, d.balance_punching_offset), 0.0);
    contact->group = kBalancePunchingName;
    contact->replaces_joint_of = kKey;
    contact->cloth = p.cloth.scaled(strip.share);
    a.mechanism.contacts.push_back(std::move(contact));
  }
}

Vec2 check_hinge(const ActionDesign& d) {
  // The wire stands upright under the middle of the head, half the head's thickness behind its face.
  constexpr double kHalfHead = 5e-3;
  const Vec2 behind(std::cos(d.check_lean), -std::sin(d.check_lean));
  return d.check_centre + kHalfHead * behind - Vec2(0, d.key_options.wire.hinge_below());
}

int add_check_body(const ActionDesign& d, Action& a) {
  const CheckWire& w = d.key_options.wire;
  planar::Body head;
  head.name = kCheckBodyName;
  head.parent = kKey;
  head.p_joint = check_hinge(d);
  head.mass = w.moving_mass();
  head.p_cm = Vec2(0, w.hinge_below());
  constexpr double kThick = 10e-3;  // of the head, with its leather
  head.inertia_cm = w.head_mass * (d.check_length * d.check_length + kThick * kThick) / 12;
  // What swings on the wire leaves the key.
  planar::Body& key = a.mechanism.tree.body(kKey);
  const Vec2 p = head.p_joint + head.p_cm;
  const double about_origin =
      key.inertia_cm + key.mass * key.p_cm.squaredNorm() - head.inertia_cm - head.mass * p.squaredNorm();
  key.p_cm = (key.mass * key.p_cm - head.mass * p) / (key.mass - head.mass);
  key.mass -= head.mass;
  key.inertia_cm = std::max(1e-6, about_origin - key.mass * key.p_cm.squaredNorm());
  return a.add_body(head, 0.0);
}

void add_check_wire(const ActionDesign& d, Action& a) {
  const CheckWire& w = d.key_options.wire;
  const planar::Body& head = a.mechanism.tree.body(a.check_body);
  // As drawn the wire already bears the head.
  const double preload = kGravity * head.mass * head.p_cm.x();
  a.mechanism.springs.push_back({"back-check wire", kKey, a.check_body, preload, w.hinge_stiffness()});
  const double inertia = head.inertia_cm + head.mass * head.p_cm.squaredNorm();
  const double viscous = 2 * w.damping_ratio * std::sqrt(w.hinge_stiffness() * inertia);
  a.mechanism.pivots.push_back({"back-check wire", a.check_body, planar::PivotFriction(0, 0, viscous, 1e-3)});
}

Vec2 key_end(const ActionDesign& d) {
  constexpr double kFromEnd = 4e-3;
  return Vec2(d.key_rear_x - kFromEnd, d.key_height);
}

double key_end_rise(const ActionDesign& d, double dip) {
  const double angle = planar::angle_for_travel(d.playing_point, dip);
  const Vec2 end = key_end(d);
  return std::sin(angle) * end.x() + std::cos(angle) * end.y() - end.y();
}

namespace {
constexpr double kTipRound = 3e-3;
double dip_drawn(const ActionDesign& d) { return d.dip > 0 ? d.dip : 10e-3; }
}  // namespace

double damper_gap(const ActionDesign& d) {
  return key_end_rise(d, d.key_options.damper.start * dip_drawn(d));
}

Vec2 damper_centre(const ActionDesign& d) {
  const DamperLever& damper = d.key_options.damper;
  // At rest the damper's own felt is pressed a little and the tip is lower by the lever's share of it.
  const double share = damper.mass_arm / damper.lever_length;
  const double sunk = damper.string_felt.compression(damper.weight / share) / share;
  constexpr double kOutOfReach = 40e-3;
  return d.p_balance + key_end(d) +
         Vec2(damper.lever_length, kTipRound + damper_gap(d) + sunk + (damper.lifted ? kOutOfReach : 0.0));
}

double damper_rest_angle(const ActionDesign& d) {
  const DamperLever& damper = d.key_options.damper;
  const double share = damper.mass_arm / damper.lever_length;
  return damper.string_felt.compression(damper.weight / share) / damper.mass_arm;
}

double damper_stop_angle(const ActionDesign& d) {
  const DamperLever& damper = d.key_options.damper;
  const double way_up = key_end_rise(d, dip_drawn(d)) - damper_gap(d) + damper.up_stop;
  return damper_rest_angle(d) - way_up / damper.lever_length;
}

void add_damper(const ActionDesign& d, Action& a) {
  const DamperLever& damper = d.key_options.damper;
  planar::Body lever;
  lever.name = kDamperBodyName;
  lever.p_joint = damper_centre(d);
  lever.mass = damper.mass();
  lever.p_cm = Vec2(-damper.mass_arm, 0);
  // A lever that hangs on a spring alone still has some mass.
  lever.inertia_cm = 1e-8;
  // At rest on the string: angle positive, the tip down.
  a.damper_body = a.add_body(lever, damper_rest_angle(d));
  auto tip = std::make_unique<planar::TipOnLine>(kKeyDamperName, kKey, key_end(d), Vec2(0, 1), a.damper_body,
                                                 Vec2(-damper.lever_length, 0), kTipRound);
  tip->cloth = damper.tip_felt;
  tip->friction = damper.tip_friction;
  a.mechanism.contacts.push_back(std::move(tip));
  auto stop = std::make_unique<planar::AngularStop>(kDamperStringName, kGround, a.damper_body, 0.0, 1.0,
                                                    damper.mass_arm);
  stop->cloth = damper.string_felt;
  a.mechanism.contacts.push_back(std::move(stop));
  auto top = std::make_unique<planar::AngularStop>(kDamperStopName, kGround, a.damper_body,
                                                   damper_stop_angle(d), -1.0, damper.mass_arm);
  top->cloth = damper.string_felt;
  a.mechanism.contacts.push_back(std::move(top));
  a.mechanism.pivots.push_back(
      {"damper", a.damper_body, planar::PivotFriction(damper.friction * damper.lever_length, 0, 0, 4e-3)});
  if (damper.spring_share > 0)
    a.mechanism.springs.push_back({"damper spring", kGround, a.damper_body,
                                   damper.weight * damper.spring_share * damper.lever_length, 0.0});
}

}  // namespace leverwright::action
