#include "models/action/design.h"

#include <algorithm>
#include <cmath>

#include "models/action/heel_trace.h"
#include "models/case_file/reconcile.h"
#include "models/case_file/remedy.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::action {

using base::kGravity;
using case_file::CaseDescription;

const std::array<const char*, kScrewCount> kScrewKeys = {"capstan",    "front_punching",   "let_off_button",
                                                         "drop_screw", "jack_stop",        "lever_stop",
                                                         "back_check", "repetition_spring"};
const std::array<const char*, kScrewCount> kScrewNames = {"capstan",    "front punching",   "let-off button",
                                                          "drop screw", "jack button",      "lever height",
                                                          "back check", "repetition spring"};
#define LEVERWRIGHT_CONTACT(id, key, name, surfaces, felt, pair, slides, weighed) key,
const std::array<const char*, kPlaceCount> kPlaceKeys = {LEVERWRIGHT_CONTACTS(LEVERWRIGHT_CONTACT)};
#undef LEVERWRIGHT_CONTACT
#define LEVERWRIGHT_CONTACT(id, key, name, surfaces, felt, pair, slides, weighed) name,
const std::array<const char*, kPlaceCount> kContactNames = {LEVERWRIGHT_CONTACTS(LEVERWRIGHT_CONTACT)};
#undef LEVERWRIGHT_CONTACT
const std::array<const char*, kPivotCount> kPivotNames = {
    "balance pin", "front-rail pin",          "wippen centre",
    "jack centre", "repetition lever centre", "hammer centre"};

namespace {

// A number of the case; programmer error when the schema lacks it.
struct Values {
  const CaseDescription& d;
  double operator()(const char* key) const { return d.value(key); }
  double operator()(const std::string& key) const { return d.value(key); }
  double or_else(const std::string& key, double fallback) const {
    return d.has(key) ? d.value(key) : fallback;
  }
};

ContactLaw read_law(const Values& v, const char* place, bool slides) {
  const std::string at = std::string("contact.") + place + ".";
  const double share = v(at + "hysteresis");
  const double eta = std::min(0.55, share / (2.0 - share));  // loss share 2 eta / (1 + eta)
  ContactLaw law;
  law.cloth = planar::Cloth(v(at + "test_force"), v(at + "test_depth"), v(at + "exponent"), eta,
                            v(at + "damping"), v(at + "loss_time"));
  constexpr double kBristleDamping =
      1e-3;  // [s] loss of the stuck surface; estimate, 2e-4 to 2e-3: a tenth of its stiffness at 16 Hz
  law.friction = planar::DryFriction(slides ? v(at + "friction") : 0.0, v(at + "shear_share"),
                                     law.cloth.exponent(), v(at + "nap_shear"), kBristleDamping);
  return law;
}

#define LEVERWRIGHT_CONTACT(id, key, name, surfaces, felt, pair, slides, weighed) slides,
constexpr std::array<bool, kPlaceCount> kSlides = {LEVERWRIGHT_CONTACTS(LEVERWRIGHT_CONTACT)};
#undef LEVERWRIGHT_CONTACT

void read_masses(const CaseDescription& d, const Values& v, ActionDesign& a) {
  // Key: a uniform stick from its outline, the capstan, and what the front weight says about the first
  // moment.
  const double front = -a.key_front_x, rear = a.key_rear_x;
  const double line_density = v("key.density") * a.key_height * a.key_width;
  double mass = line_density * (front + rear);
  double inertia = v.or_else("key.inertia", line_density * (std::pow(front, 3) + std::pow(rear, 3)) / 3.0 +
                                                mass * a.key_height * a.key_height / 3.0);
  const double cap_mass = v("measured.capstan_mass");
  mass += cap_mass;
  inertia += cap_mass * a.cap_apex.squaredNorm();
  for (const auto& lead : d.leads) {
    mass += lead.mass;
    inertia += lead.mass * lead.distance * lead.distance;
  }
  // Front weight FW at the playing point, key on a knife edge at the balance hole: FW A = -g m x_cm.
  const double x_cm = -a.front_weight * a.key_front_arm / (kGravity * mass);
  BodyMass& key = a.masses[0];
  key.mass = mass;
  key.p_cm = Vec2(x_cm, 0.5 * a.key_height);
  key.inertia_cm = std::max(1e-6, inertia - mass * key.p_cm.squaredNorm());

  BodyMass& jack = a.masses[2];
  jack = {v("wippen.jack_mass"), Vec2(v("wippen.jack_centre_of_mass_x"), v("wippen.jack_centre_of_mass_y")),
          0};
  jack.inertia_cm = jack.mass * std::pow(v("wippen.jack_gyration_radius"), 2);
  BodyMass& lever = a.masses[3];
  lever = {v("wippen.lever_mass"),
           Vec2(v("wippen.lever_centre_of_mass_x"), v("wippen.lever_centre_of_mass_y")), 0};
  lever.inertia_cm = lever.mass * std::pow(v("wippen.lever_gyration_radius"), 2);
  // Wippen weight WW under the heel contact, pivoted at the wippen centre: WW C = -g sum m x.
  BodyMass& body = a.masses[1];
  body.mass = v("wippen.body_mass");
  const double heel_arm = a.p_P.x() - a.cap_apex.x();  // horizontal, as drawn
  a.wippen_weight_arm = heel_arm;
  const double moment = a.wippen_weight * heel_arm / kGravity;  // sum m (-x)
  const double parts =
      -jack.mass * (a.jack_centre.x() + jack.p_cm.x()) - lever.mass * (a.lever_centre.x() + lever.p_cm.x());
  body.p_cm = Vec2(-(moment - parts) / body.mass, v("wippen.centre_of_mass_y"));
  body.inertia_cm = v.or_else("wippen.inertia", body.mass * std::pow(v("wippen.gyration_radius"), 2));

  // Strike weight SW at the strike point, shank level: SW F = g m x_cm.
  BodyMass& hammer = a.masses[4];
  hammer.mass = a.strike_weight / kGravity * v("hammer.mass_share");
  hammer.p_cm =
      Vec2(a.strike_weight * a.hammer_length / (kGravity * hammer.mass), v("hammer.centre_of_mass_y"));
  hammer.inertia_cm = v.or_else("hammer.inertia", hammer.mass * std::pow(v("hammer.gyration_radius"), 2));
}

void read_pivots(const Values& v, ActionDesign& a) {
  // Yield angles: how far a bushing twists before it slips. No measured source: estimates, swept in the
  // validation.
  constexpr double kCentreYield = 4e-3, kKeyYield = 4e-4;  // [rad], ranges 1e-3..2e-2 and 1e-4..2e-3
  const double centre_load = v("friction.centre_load") * v("friction.centre_pin_radius");
  const double balance_load = v("friction.balance_load") * v("friction.balance_pin_radius");
  a.pivots[kBalancePin] = planar::PivotFriction(v("friction.key_balance") * a.key_front_arm, balance_load,
                                                v("friction.key_viscous"), kKeyYield);
  a.pivots[kFrontPin] = planar::PivotFriction(v("friction.key_front") * a.key_front_arm, 0, 0, kKeyYield);
  a.pivots[kWippenCentre] = planar::PivotFriction(v("friction.wippen_centre"), centre_load,
                                                  v("friction.wippen_centre_viscous"), kCentreYield);
  a.pivots[kJackCentre] = planar::PivotFriction(v("friction.jack_centre"), centre_load,
                                                v("friction.jack_centre_viscous"), kCentreYield);
  a.pivots[kLeverCentre] = planar::PivotFriction(v("friction.lever_centre"), centre_load,
                                                 v("friction.lever_centre_viscous"), kCentreYield);
  a.pivots[kHammerCentre] = planar::PivotFriction(v("friction.hammer_centre"), centre_load,
                                                  v("friction.hammer_centre_viscous"), kCentreYield);
}

void read_regulation(const CaseDescription& d, const Values& v, ActionDesign& a) {
  a.policy = d.choice("regulation.policy");
  a.dip = v.or_else("regulation.dip", 0);
  a.blow = v.or_else("regulation.blow", 0);
  a.aftertouch = v.or_else("regulation.aftertouch", 0);
  a.let_off = v("regulation.let_off");
  a.drop = v("regulation.drop");
  a.jack_clearance = v("regulation.jack_clearance");
  a.jack_position = v("regulation.jack_position");
  a.dip_force = v("regulation.dip_force");
  a.checking = v("regulation.checking");
  a.check_blow = v("regulation.check_blow");
  a.spring_rise_low = v("regulation.spring_rise_low");
  a.spring_rise_high = v("regulation.spring_rise_high");
  for (int i = 0; i < kScrewCount; ++i) {
    const std::string at = std::string("screws.") + kScrewKeys[i] + ".";
    a.screws[i] = {v(at + "pitch"), v(at + "up"), v(at + "down")};
  }
}

// Helping springs as found, whose lift falls evenly to (1 - fade) over the dip (10 mm where none is specified). The
// wippen's turns by dip times key ratio over its heel arm meanwhile.
void read_assist_springs(const Values& v, ActionDesign& a) {
  a.left_out = v.or_else("key.left_out", 0);
  const double dip = v.or_else("regulation.dip", 10e-3);
  a.assist_torque = v.or_else("key.assist", 0) * a.key_front_arm;
  a.assist_rate = a.assist_torque * v.or_else("key.assist_fade", 0) * a.key_front_arm / dip;
  const double heel_arm = a.p_P.x() - a.cap_apex.x();
  a.wippen_assist = v.or_else("wippen.assist", 0);
  a.wippen_assist_torque = a.wippen_assist * heel_arm;
  const double turn = dip * a.cap_apex.x() / a.key_front_arm / heel_arm;
  a.wippen_assist_rate = a.wippen_assist_torque * v.or_else("wippen.assist_fade", 0) / turn;
}

void read_outlines(const CaseDescription& d, ActionDesign& a) {
  const auto read = [&](const char* key, std::vector<Vec2>& out) {
    const auto& list = d.point_list(key);
    for (std::size_t k = 0; k < list.x.size(); ++k) out.emplace_back(list.x[k], list.y[k]);
  };
  read("wippen.outline", a.wippen_outline);
  read("wippen.jack_outline", a.jack_outline);
  read("wippen.lever_outline", a.lever_outline);
  read("hammer.head_outline", a.head_outline);
  for (const auto& lead : d.leads) a.leads.emplace_back(-lead.distance, 0.5 * a.key_height);
}

void read_profile(const CaseDescription& d, ActionDesign& a) {
  const auto& traced = d.point_list("wippen.heel_profile");
  const HeelTrace trace = reachable_from_below(traced.x, traced.y);
  if (trace.doubles_back || trace.x.size() < 4)
    throw base::UserError(
        {{traced.place.file, traced.place.line, traced.place.line_text,
          "the heel's outline doubles back between its ends, so the capstan would meet two heights at one place",
          "points in order from the player's side to the strings' side; only the ends may overhang",
          "trace the side the capstan can reach from below, four points or more"}});
  // Even grid with a margin of one millimetre; the spline smooths over what a trace cannot resolve.
  const double from = trace.x.front() - 1e-3, to = trace.x.back() + 1e-3;
  // Traces are written in tenths: a whole number of cells must not become one more by the last bit of a division.
  const int count = static_cast<int>(std::ceil((to - from) / kHeelSpacing - 1e-6)) + 1;
  std::vector<double> below(trace.y.size());
  std::transform(trace.y.begin(), trace.y.end(), below.begin(), [](double y) { return -y; });
  a.heel_h = planar::sample_evenly(trace.x, below, from, kHeelSpacing, count);
  a.heel_x.resize(a.heel_h.size());
  for (std::size_t k = 0; k < a.heel_x.size(); ++k)
    a.heel_x[k] = from + kHeelSpacing * static_cast<double>(k);
  if (d.point_lists.count("contact.capstan_heel.friction_along")) {
    const auto& along = d.point_list("contact.capstan_heel.friction_along");
    a.heel_mu.s = along.x;
    a.heel_mu.factor = along.y;
    for (double& s : a.heel_mu.s) s += traced.x.front();
  }
}

}  // namespace

Geometry find_geometry(const CaseDescription& d) {
  const case_file::ReconciledGeometry g = case_file::reconcile(d);
  return {g.p_WP, g.p_WH, g.p_WC};
}

ActionDesign design(const CaseDescription& original, const case_file::SetUp& set_up) {
  CaseDescription d = original;
  const std::vector<std::size_t> order = case_file::in_order(set_up);
  for (const std::size_t k : order) set_up.changes[k].remedy->replace_values(d, set_up.changes[k]);

  const Values v{d};
  ActionDesign a;
  const Geometry g = find_geometry(d);
  a.p_P = g.p_P;
  a.p_H = g.p_H;
  a.cap_apex = g.p_C;
  a.key_height = v("key.height");
  a.key_width = v("key.width");
  a.key_front_arm = v("measured.key_front_length");
  a.playing_point = Vec2(-a.key_front_arm, a.key_height);
  a.key_front_x = -(a.key_front_arm + v("key.front_end"));
  a.key_rear_x = v("key.rear_end");
  a.front_punching = Vec2(-v("key.front_punching"), 0);
  a.back_rail = Vec2(v("key.back_rail"), 0);
  a.check_centre = Vec2(v("key.check_x"), v("key.check_y"));
  a.check_lean = v("key.check_lean");
  a.check_length = v("key.check_length");
  a.check_curve = v("key.check_curve");
  a.string_y = v("measured.string_height") - v("measured.balance_hole_height");

  a.cap_lean = v("capstan.lean");
  a.cap_is_flat = d.choice("capstan.cap") == "flat";
  a.cap_half_width = 0.5 * v("capstan.cap_diameter");
  a.cap_edge_fillet = v("capstan.edge_fillet");
  if (!a.cap_is_flat && !d.has("capstan.dome_radius"))
    throw base::UserError("the domed capstan cap has no dome_radius",
                          "add dome_radius to the capstan's part file or to [capstan]");
  a.cap_dome_radius = a.cap_is_flat ? planar::kFlatRadius : v("capstan.dome_radius");

  a.jack_centre = Vec2(v("wippen.jack_centre_x"), v("wippen.jack_centre_y"));
  a.lever_centre = Vec2(v("wippen.lever_centre_x"), v("wippen.lever_centre_y"));
  a.lifting_face_from = -std::max(v("wippen.lifting_face_start"), v("wippen.lifting_face_end"));
  a.lifting_face_to = -std::min(v("wippen.lifting_face_start"), v("wippen.lifting_face_end"));
  a.heel_cloth_thickness = v("wippen.heel_cloth_thickness");
  read_profile(d, a);

  a.jack_length = v("wippen.jack_length");
  a.jack_half_width = 0.5 * v("wippen.jack_width");
  a.jack_crown = v("wippen.jack_crown");
  a.jack_edge_fillet = v("wippen.jack_edge_fillet");
  a.jack_top_tilt = v("wippen.jack_top_tilt");
  a.tender = Vec2(v("wippen.jack_tender_x"), v("wippen.jack_tender_y"));
  a.tender_radius = v("wippen.jack_tender_radius");
  a.jack_stop_radius = v("wippen.jack_stop_radius");
  a.jack_travel = v("wippen.jack_travel");
  a.lever_top = Vec2(v("wippen.lever_top_x"), v("wippen.lever_top_y"));
  a.lever_top_tilt = v("wippen.lever_top_tilt");
  a.lever_top_crown = v("wippen.lever_top_crown");
  a.lever_top_half_length = 0.5 * v("wippen.lever_top_length");
  a.lever_drop = Vec2(v("wippen.lever_drop_x"), v("wippen.lever_drop_y"));
  a.lever_stop_radius = v("wippen.lever_stop_radius");
  a.lever_travel = v("wippen.lever_travel");

  a.hammer_length = v("measured.hammer_length");
  a.crown_radius = v("hammer.crown_radius");
  a.bore = v("measured.bore");
  a.hanging_distance = v("measured.hanging_distance");
  a.knuckle_radius = 0.5 * v("measured.knuckle_diameter");
  a.shank_half_height = 0.5 * v("hammer.shank_height");
  a.core_half_width = 0.5 * v("hammer.knuckle_core");
  a.knuckle_centre = Vec2(a.hanging_distance, -(a.shank_half_height + a.knuckle_radius));
  a.tail_centre = Vec2(v("hammer.tail_centre_x"), v("hammer.tail_centre_y"));
  a.tail_radius = v("hammer.tail_radius");
  a.tail_low = v("hammer.tail_low");
  a.tail_high = v("hammer.tail_high");
  a.shank_rest_angle = v("frame.shank_rest_angle");
  a.rest_rail_x = v("frame.rest_rail_x");
  a.rest_rail_gap = v("frame.rest_rail_gap");
  a.button = a.p_P + Vec2(v("frame.let_off_button_x"), v("frame.let_off_button_y"));
  a.drop_screw = a.p_P + Vec2(v("frame.drop_screw_x"), v("frame.drop_screw_y"));
  a.drop_screw_radius = v("frame.drop_screw_radius");

  a.strike_weight = v("measured.strike_weight");
  a.front_weight = v("measured.front_weight");
  a.wippen_weight = v("measured.wippen_weight");
  for (int i = 0; i < kPlaceCount; ++i) a.laws[i] = read_law(v, kPlaceKeys[i], kSlides[i]);
  a.lever_spring = {v("wippen.lever_spring_torque"), v("wippen.lever_spring_rate")};
  a.jack_spring = {v("wippen.jack_spring_torque"), v("wippen.jack_spring_rate")};
  a.capstan_mass = v("measured.capstan_mass");
  a.options = read_options(d);
  a.key_options = read_key_options(d);
  read_assist_springs(v, a);
  a.patch_grade = d.choice("contact_grade") == "patch";
  read_masses(d, v, a);
  read_pivots(v, a);
  read_regulation(d, v, a);
  read_outlines(d, a);
  for (const std::size_t k : order) set_up.changes[k].remedy->alter(set_up.changes[k], a);
  return a;
}

}  // namespace leverwright::action
