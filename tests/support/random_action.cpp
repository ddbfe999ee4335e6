#include "tests/support/random_action.h"

#include <cmath>

#include "models/action/action.h"
#include "sim/base/units.h"

namespace leverwright::support {

using case_file::CaseDescription;
using planar::Vec2;

namespace {

class Draw {
 public:
  Draw(CaseDescription& d, std::mt19937_64& engine) : d_(d), engine_(engine) {}
  double uniform(double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine_);
  }
  void set(const std::string& key, double value) { d_.quantities.at(key).value = value; }
  double set_within(const std::string& key, double low, double high) {
    const double x = uniform(low, high);
    set(key, x);
    return x;
  }
  double at(const std::string& key) const { return d_.quantities.at(key).value; }

 private:
  CaseDescription& d_;
  std::mt19937_64& engine_;
};

// What the drawn figure says: gap of the jack's top and of the lever to the knuckle.
struct Figure {
  double jack_gap, lever_gap;
};
Figure look_at(const CaseDescription& d) {
  action::ActionDesign design = action::design(d, d.set_ups.front());
  design.patch_grade = false;
  const action::Action a = action::assemble(design, {});
  planar::Scratch s(a.mechanism);
  s.q = a.q_drawn;
  a.mechanism.tree.calc_poses(s.q, s.v, s.poses);
  const auto& lever = a.mechanism.contacts[static_cast<std::size_t>(a.contact[action::kLeverKnuckle])];
  return {a.jack_clearance(a.q_drawn), -lever->locate(s.poses).depth};
}

}  // namespace

std::optional<CaseDescription> draw_action(const CaseDescription& model, std::mt19937_64& engine) {
  constexpr double mm = 1e-3, gf = base::kGramForce;
  CaseDescription out = model;
  out.set_ups.resize(1);
  Draw d(out, engine);
  // The stack.
  d.set_within("measured.spread", 109 * mm, 115 * mm);
  const double wippen_height = d.set_within("measured.wippen_centre_height", 95 * mm, 98 * mm);
  const double rise = d.uniform(53 * mm, 56 * mm);
  d.set("measured.hammer_centre_height", wippen_height + rise);
  // Key, capstan and heel.
  const double front = d.set_within("measured.key_front_length", 217 * mm, 265 * mm);
  d.set("key.front_punching", front - 14 * mm);
  const double rear = d.set_within("measured.key_rear_length", 125 * mm, 145 * mm);
  const double heel = d.uniform(60 * mm, 66 * mm);  // horizontally
  const double hole = d.at("measured.balance_hole_height");
  auto& profile = out.point_lists.at("wippen.heel_profile");
  const double middle_now = 0.5 * (d.at("wippen.lifting_face_start") + d.at("wippen.lifting_face_end"));
  const double shift = middle_now - (heel + d.uniform(-2 * mm, 2 * mm));
  for (double& x : profile.x) x += shift;
  d.set("wippen.lifting_face_start", d.at("wippen.lifting_face_start") - shift);
  d.set("wippen.lifting_face_end", d.at("wippen.lifting_face_end") - shift);
  double lowest = 0;
  for (const double y : profile.y) lowest = std::min(lowest, y);
  const double capstan_top = wippen_height + lowest + d.uniform(-1.0 * mm, 0.5 * mm);
  d.set("measured.capstan_top_height", capstan_top);
  const double capstan_x = std::sqrt(rear * rear - std::pow(capstan_top - hole, 2));
  const double wippen_x = capstan_x + heel;
  d.set("measured.balance_hole_to_wippen_centre", wippen_x);
  d.set("measured.heel_contact_arm", std::hypot(heel, wippen_height - capstan_top));
  // Hammer and knuckle.
  const double hanging = d.set_within("measured.hanging_distance", 15.5 * mm, 18.5 * mm);
  const double knuckle = d.set_within("measured.knuckle_diameter", 9 * mm, 11 * mm);
  const double length = d.set_within("measured.hammer_length", 126 * mm, 133 * mm);
  const double bore = d.set_within("measured.bore", 45 * mm, 59 * mm);
  const double slope = d.at("frame.shank_rest_angle");
  const double blow = d.set_within("regulation.blow", 44.5 * mm, 47.6 * mm);
  const double crown = wippen_height + rise + std::sin(slope) * length + std::cos(slope) * bore;
  d.set("measured.string_height", crown + blow);
  out.choices["regulation.policy"] = "keep blow and aftertouch";
  const double let_off = d.set_within("regulation.let_off", 1.5 * mm, 2.5 * mm);
  d.set_within("regulation.drop", 0.8 * mm, 1.6 * mm);
  d.set_within("regulation.aftertouch", 0.8 * mm, 1.5 * mm);
  // Ratio by horizontal arms.
  const double drop_to_knuckle = 0.5 * d.at("hammer.shank_height") + 0.5 * knuckle;
  const Vec2 centre(std::cos(slope) * hanging + std::sin(slope) * drop_to_knuckle,
                    std::sin(slope) * hanging - std::cos(slope) * drop_to_knuckle);
  const action::Geometry g = action::find_geometry(out);
  const double knuckle_x = g.p_H.x() + centre.x();
  const double arm_wippen = g.p_P.x() - knuckle_x;
  if (arm_wippen < 60 * mm) return std::nullopt;
  const double ratio = (capstan_x / front) * (arm_wippen / heel) * (length / centre.x());
  if (ratio < 4.6 || ratio > 6.2) return std::nullopt;
  // Jack and lever up to the knuckle.
  for (int it = 0; it < 3; ++it) {
    const Figure f = look_at(out);
    d.set("wippen.jack_length", d.at("wippen.jack_length") + f.jack_gap - 0.1 * mm);
    d.set("wippen.lever_top_y",
          d.at("wippen.lever_top_y") + f.lever_gap / std::cos(d.at("wippen.lever_top_tilt")));
  }
  if (std::abs(d.at("wippen.jack_length") - model.value("wippen.jack_length")) > 6 * mm) return std::nullopt;
  if (std::abs(d.at("wippen.lever_top_y") - model.value("wippen.lever_top_y")) > 6 * mm) return std::nullopt;
  // Button and drop screw by how far the wippen turns.
  const double hammer_turn = (blow - let_off) / length, wippen_turn = hammer_turn * centre.x() / arm_wippen;
  const auto model_turn = [&] {
    const action::Geometry m = action::find_geometry(model);
    const double l = model.value("measured.hammer_length"), h = model.value("measured.hanging_distance");
    const double down = 0.5 * (model.value("hammer.shank_height") + model.value("measured.knuckle_diameter"));
    const double x = std::cos(slope) * h + std::sin(slope) * down;
    return (model.value("regulation.blow") - model.value("regulation.let_off")) / l * x /
           (m.p_P.x() - m.p_H.x() - x);
  }();
  d.set("frame.let_off_button_y", d.at("frame.let_off_button_y") +
                                      (wippen_turn - model_turn) * std::abs(d.at("frame.let_off_button_x")));
  d.set("frame.drop_screw_y", d.at("frame.drop_screw_y") +
                                  (d.at("wippen.lever_top_y") - model.value("wippen.lever_top_y")) +
                                  (wippen_turn - model_turn) * std::abs(d.at("frame.drop_screw_x")));
  d.set("key.check_x", d.at("key.check_x") + 15 * mm);  // bent away, as before it is regulated
  // Weights and frictions.
  const double strike = d.set_within("measured.strike_weight", 8 * gf, 12 * gf);
  const double wippen = d.set_within("measured.wippen_weight", 17.5 * gf, 18.5 * gf);
  const double front_weight = ratio * strike + capstan_x / front * wippen - d.uniform(33 * gf, 42 * gf);
  if (front_weight < -10 * gf || front_weight > 45 * gf) return std::nullopt;
  d.set("measured.front_weight", front_weight);
  const double at_23 = gf * 23 * mm;
  d.set_within("friction.hammer_centre", 1 * at_23, 5 * at_23);
  d.set_within("friction.wippen_centre", 1 * at_23, 4 * at_23);
  d.set_within("friction.jack_centre", 1 * at_23, 2 * at_23);
  d.set_within("friction.lever_centre", 3 * at_23, 7 * at_23);
  const double key = d.uniform(1 * gf, 6 * gf);
  d.set("friction.key_balance", 0.5 * key);
  d.set("friction.key_front", 0.5 * key);
  const double mu = d.uniform(0.05, 0.35);
  d.set("contact.jack_knuckle.friction", mu);
  d.set("contact.lever_knuckle.friction", mu);
  d.set_within("contact.capstan_heel.friction", 0.1, 0.35);
  d.set_within("wippen.lever_spring_torque", 30e-3, 60e-3);
  return out;
}

}  // namespace leverwright::support
