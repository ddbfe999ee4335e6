#include "models/action/change.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

#include "sim/base/units.h"

namespace leverwright::action {

namespace {

using case_file::Change;

double amount(const Change& c, const char* name) { return c.quantities.at(name).value; }

double amount_or(const Change& c, const char* name, double otherwise) {
  const auto found = c.quantities.find(name);
  return found == c.quantities.end() ? otherwise : found->second.value;
}

bool says(const Change& c, const char* argument, const char* word) {
  const auto found = c.choices.find(argument);
  return found != c.choices.end() && found->second == word;
}

// +1 towards the strings, -1 towards the balance rail (and the player).
double towards_strings(const Change& c) { return says(c, "direction", "toward the strings") ? 1.0 : -1.0; }

// Mass m at the point p of a body (negative: taken away). With m_0, p_0, I_0 before:
//   m_1 = m_0 + m,  p_1 = (m_0 p_0 + m p)/m_1,  I_1 = I_0 + m_0 |p_0|^2 + m |p|^2 - m_1 |p_1|^2.
void add_mass(BodyMass& body, double m, const Vec2& p) {
  const double about_origin = body.inertia_cm + body.mass * body.p_cm.squaredNorm() + m * p.squaredNorm();
  const double mass = body.mass + m;
  body.p_cm = (body.mass * body.p_cm + m * p) / mass;
  body.mass = mass;
  body.inertia_cm = about_origin - mass * body.p_cm.squaredNorm();
}

// What is put on the wippen is weighed with it: WW C = -g sum m x.
void add_to_wippen(ActionDesign& a, double m, const Vec2& p) {
  add_mass(a.masses[1], m, p);
  if (a.wippen_weight_arm > 0) a.wippen_weight -= base::kGravity * m * p.x() / a.wippen_weight_arm;
}

// FW A = -g m x_cm.
void weigh_front(ActionDesign& a) {
  a.front_weight = -base::kGravity * a.masses[0].mass * a.masses[0].p_cm.x() / a.key_front_arm;
}

double heel_length(const ActionDesign& a) { return a.heel_x.back() - a.heel_x.front(); }

Vec2 heel_point(const ActionDesign& a, double x) {
  const double k =
      std::clamp((x - a.heel_x.front()) / kHeelSpacing, 0.0, static_cast<double>(a.heel_x.size() - 1));
  return {x, -a.heel_h[static_cast<std::size_t>(k)]};
}

double cloth_path(const ActionDesign& a) {  // length of the cloth along the profile
  double sum = 0;
  for (std::size_t k = 1; k < a.heel_x.size(); ++k)
    sum += std::hypot(a.heel_x[k] - a.heel_x[k - 1], a.heel_h[k] - a.heel_h[k - 1]);
  return sum;
}

// The cushion's law with its reference compression times `factor`: the same cloth, thinner or thicker.
void scale_cushion(ActionDesign& a, double factor) {
  planar::Cloth& cloth = a.laws[kCapstanHeel].cloth;
  cloth = planar::Cloth(cloth.reference_force(), cloth.reference_compression() * factor, cloth.exponent(),
                        cloth.hysteresis(), cloth.damping_time(), cloth.loss_time());
}

// A strip between heel cloth and under-cloth: full height over its length; the cloth drapes over its two
// ends, so the surface rises and falls over about two cloth thicknesses (raised cosine, ends of the strip at
// half height). Old cloth, held at both ends, is stretched by lambda = path after / path before; wool keeps
// its volume and width, so its thickness t becomes t/lambda: the surface lies lower by t (1 - 1/lambda), and
// the same share of compression is reached after a way 1/lambda as long.
void build_up(const Change& c, ActionDesign& a) {
  const double height = amount(c, "height"), centre = -amount(c, "centre");
  const double length = amount(c, "length");
  const double drape = std::max(2.0 * a.heel_cloth_thickness, 1e-3);
  const double before = cloth_path(a);
  for (std::size_t k = 0; k < a.heel_x.size(); ++k) {
    const double from_end = 0.5 * length - std::abs(a.heel_x[k] - centre);  // > 0 inside the strip
    const double s = std::clamp(from_end / drape + 0.5, 0.0, 1.0);
    a.heel_h[k] += height * 0.5 * (1.0 - std::cos(base::kPi * s));
  }
  if (says(c, "cloth", "stretched over it") && !a.heel_cloth_is_new) {
    const double lambda = std::max(1.0, cloth_path(a) / before);
    const double thinner = a.heel_cloth_thickness * (1.0 - 1.0 / lambda);
    for (double& h : a.heel_h) h -= thinner;
    a.heel_cloth_thickness -= thinner;
    scale_cushion(a, 1.0 / lambda);
  }
  const double mass = amount_or(c, "density", 0) * amount_or(c, "width", 0) * length * height;
  add_to_wippen(a, mass, heel_point(a, centre));
}

// A felt under the whole cushion. Two felts of one exponent p and reference force F_r, one upon the other:
// d = (d_1 + d_2) (F/F_r)^(1/p), so their reference compressions add.
void bolster(const Change& c, ActionDesign& a) {
  const double thickness = amount(c, "thickness");
  for (double& h : a.heel_h) h += thickness;
  scale_cushion(a, 1.0 + amount_or(c, "give", 1.0) * thickness / a.heel_cloth_thickness);
  const double mass = amount_or(c, "density", 0) * amount_or(c, "width", 0) * heel_length(a) * thickness;
  add_to_wippen(a, mass, heel_point(a, 0.5 * (a.heel_x.front() + a.heel_x.back())));
}

// Upper hull of the heel's heights (as a thread stretched over the cushion): hollows worn into old cloth.
std::vector<double> without_hollows(const std::vector<double>& h) {
  std::vector<std::size_t> hull;
  const auto falls_short = [&](std::size_t i, std::size_t j, std::size_t k) {  // j below the line i..k
    const double share = static_cast<double>(j - i) / static_cast<double>(k - i);
    return h[j] <= h[i] + share * (h[k] - h[i]);
  };
  for (std::size_t k = 0; k < h.size(); ++k) {
    while (hull.size() > 1 && falls_short(hull[hull.size() - 2], hull.back(), k)) hull.pop_back();
    hull.push_back(k);
  }
  std::vector<double> out = h;
  for (std::size_t n = 1; n < hull.size(); ++n)
    for (std::size_t k = hull[n - 1]; k < hull[n]; ++k) {
      const double share = static_cast<double>(k - hull[n - 1]) / static_cast<double>(hull[n] - hull[n - 1]);
      out[k] = h[hull[n - 1]] + share * (h[hull[n]] - h[hull[n - 1]]);
    }
  return out;
}

// New cloth on the old heel; its law and friction came with its file. A worn hollow goes with the old cloth.
void cover_heel(const Change& c, ActionDesign& a) {
  const double thicker = amount(c, "thickness") - a.heel_cloth_thickness;
  if (says(c, "groove", "in the old cloth")) a.heel_h = without_hollows(a.heel_h);
  for (double& h : a.heel_h) h += thicker;
  a.heel_cloth_thickness += thicker;
  a.heel_cloth_is_new = true;
  const double mass = amount_or(c, "density", 0) * amount_or(c, "width", 0) * heel_length(a) * thicker;
  add_to_wippen(a, mass, heel_point(a, 0.5 * (a.heel_x.front() + a.heel_x.back())));
}

// The capstan's own mass moves with it, the plug's wood the other way: front weight and key inertia follow.
void move_capstan(const Change& c, ActionDesign& a) {
  const double shift = towards_strings(c) * amount(c, "distance");
  const double mass = a.capstan_mass - amount_or(c, "plug_mass", 0);
  BodyMass& key = a.masses[0];
  const Vec2 old_apex = a.cap_apex;
  a.cap_apex.x() += shift;
  a.cap_lean += amount_or(c, "lean_drilled", 0);
  const double inertia_origin = key.inertia_cm + key.mass * key.p_cm.squaredNorm() +
                                mass * (a.cap_apex.squaredNorm() - old_apex.squaredNorm());
  key.p_cm.x() += mass * shift / key.mass;
  key.inertia_cm = inertia_origin - key.mass * key.p_cm.squaredNorm();
  a.front_weight -= mass * base::kGravity * shift / a.key_front_arm;
}

void lean_capstan(const Change& c, ActionDesign& a) {
  const double angle = amount(c, "angle");
  if (says(c, "about", "centre of its dome")) {
    const auto axis = [](double lean) { return Vec2(std::sin(lean), std::cos(lean)); };
    const Vec2 centre = a.cap_apex - a.cap_dome_radius * axis(a.cap_lean);
    a.cap_apex = centre + a.cap_dome_radius * axis(angle);
  }
  a.cap_lean = angle;
}

// The cap's shape came by its values; a taller cap stands higher along the capstan, another mass sits in the
// key where the capstan is.
void change_cap(const Change& c, ActionDesign& a) {
  const Vec2 at = a.cap_apex;
  a.cap_apex += amount_or(c, "height", 0) * Vec2(std::sin(a.cap_lean), std::cos(a.cap_lean));
  if (c.quantities.count("mass") == 0) return;
  add_mass(a.masses[0], amount(c, "mass") - a.capstan_mass, at);
  a.capstan_mass = amount(c, "mass");
  weigh_front(a);
}

// The wood of the heel becomes a piece of its own, cut off along the straight line between the two corners of
// the outline where it leaves the wippen's body: the first and last of the run of corners within the cloth.
// No run like that (an outline drawn without a heel): nothing is cut.
void cut_heel_off(ActionDesign& a, const Vec2& foot) {
  constexpr double kBeside = 0.5e-3;
  const std::vector<Vec2>& old = a.wippen_outline;
  const std::size_t n = old.size();
  if (n < 6 || !a.heel_outline.empty()) return;
  const auto is_of_heel = [&](std::size_t k) {
    const double x = old[k % n].x();
    return x > a.heel_x.front() - kBeside && x < a.heel_x.back() + kBeside;
  };
  std::size_t first = 0;
  for (std::size_t k = 1; k < n; ++k)
    if ((old[k] - foot).norm() < (old[first] - foot).norm()) first = k;
  if (!is_of_heel(first)) return;
  std::size_t last = first += n;
  while (last - first < n && is_of_heel(first - 1)) --first;
  while (last - first < n && is_of_heel(last + 1)) ++last;
  const std::size_t count = last - first + 1;
  if (count < 3 || count + 2 > n) return;
  std::vector<Vec2> body;
  for (std::size_t k = first; k <= last; ++k) a.heel_outline.push_back(old[k % n]);
  for (std::size_t k = last; k <= first + n; ++k) body.push_back(old[k % n]);
  a.wippen_outline = body;
}

// The whole heel moves along the wippen and down by the shim; the lifting face goes with it, and so do the
// heel's mass and the shim's. Its wood is drawn with the shim on top.
void reglue_heel(const Change& c, ActionDesign& a) {
  const double shift = towards_strings(c) * amount(c, "shift"), shim = amount(c, "shim");
  const double middle = 0.5 * (a.heel_x.front() + a.heel_x.back()), tilt = amount_or(c, "tilt", 0);
  const double mass = amount_or(c, "heel_mass", 0);
  const Vec2 p_old = heel_point(a, middle);
  cut_heel_off(a, p_old);
  for (std::size_t k = 0; k < a.heel_outline.size(); ++k) {
    const bool at_cut = k == 0 || k + 1 == a.heel_outline.size();
    Vec2& p = a.heel_outline[k];
    p += Vec2(shift, at_cut ? 0.0 : -shim - std::tan(tilt) * (p.x() - middle));
  }
  for (std::size_t k = 0; k < a.heel_x.size(); ++k)
    a.heel_h[k] += shim + std::tan(tilt) * (a.heel_x[k] - middle);
  for (double& x : a.heel_x) x += shift;
  for (double& s : a.heel_mu.s) s += shift;
  a.lifting_face_from += shift;
  a.lifting_face_to += shift;
  add_to_wippen(a, -mass, p_old);
  add_to_wippen(a, mass, p_old + Vec2(shift, -shim));
  const double area = amount_or(c, "width", 0) * heel_length(a);
  add_to_wippen(a, amount_or(c, "shim_density", 0) * area * shim, p_old + Vec2(shift, 0));
}

// Mass off the head acts at the strike line, in the middle of the head's outline; the strike weight changes
// by just its weight (SW F = g m x_cm).
void lighten_head(const Change& c, ActionDesign& a) {
  const double weight = amount(c, "amount");
  double y = 0;
  for (const Vec2& p : a.head_outline) y += p.y() / static_cast<double>(a.head_outline.size());
  add_mass(a.masses[4], weight / base::kGravity, Vec2(a.hammer_length, y));
  a.strike_weight += weight;
}

// Centres moved along the line that joins them, so the spread changes by the shim. The drop screw sits in the
// hammer's flange; rails and let-off button stay.
void shim_spread(const Change& c, ActionDesign& a) {
  const double wider = (says(c, "direction", "wider") ? 1.0 : -1.0) * amount(c, "thickness");
  const Vec2 away = (a.p_H - a.p_P).normalized();  // from the wippen centre to the hammer centre
  if (says(c, "rail", "hammer rail")) {
    a.p_H += wider * away;
    a.drop_screw += wider * away;
  } else {
    a.p_P -= wider * away;
  }
}

void fit_assist_spring(const Change& c, ActionDesign& a) {
  const double torque = amount(c, "strength") * a.key_front_arm;
  const double usual_dip = a.dip > 0 ? a.dip : 10e-3;  // where a policy leaves the dip open
  a.assist_torque += torque;
  a.assist_rate += torque * amount_or(c, "fade", 0) * a.key_front_arm / usual_dip;
}

// The key turns about another point of the same stick: every place on the key is measured from there.
void move_balance(ActionDesign& a, double shift) {
  if (a.options.has(kBalancePunching)) {
    // The punching itself is in the model: the key turns where the half that is left, or shimmed, bears it.
    BalancePunching& p = a.key_options.punching;
    (shift > 0 ? p.bears_from : p.bears_to) = 0;
    return;
  }
  const Vec2 d(shift, 0);
  a.p_balance += d;
  for (Vec2* p : {&a.playing_point, &a.front_punching, &a.back_rail, &a.check_centre, &a.cap_apex}) *p -= d;
  a.key_front_x -= shift;
  a.key_rear_x -= shift;
  BodyMass& key = a.masses[0];
  key.p_cm -= d;
  // Front weight as it would be weighed on a knife edge at the new balance point.
  a.key_front_arm += shift;
  weigh_front(a);
}

// The key as a whole stands higher where it turns; half a shim carries it on that half.
void shim_punching(const Change& c, ActionDesign& a) {
  a.p_balance.y() += amount(c, "thickness");
  if (says(c, "under", "the player's half")) move_balance(a, -amount_or(c, "shift", 0));
  if (says(c, "under", "the strings' half")) move_balance(a, amount_or(c, "shift", 0));
}

using Step = void (*)(const Change&, ActionDesign&);

const std::map<std::string, Step>& steps() {
  static const std::map<std::string, Step> table = {
      {"heel build-up", build_up},
      {"heel bolstered", bolster},
      {"heel re-covered", cover_heel},
      {"heel re-glued", reglue_heel},
      {"capstan moved", move_capstan},
      {"capstan lean", lean_capstan},
      {"cap", change_cap},
      {"hammer weight", lighten_head},
      {"spread shim", shim_spread},
      {"balance punching halved",
       [](const Change& c, ActionDesign& a) { move_balance(a, towards_strings(c) * amount(c, "shift")); }},
      {"balance punching shimmed", shim_punching},
      {"assist spring", fit_assist_spring},
  };
  return table;
}

}  // namespace

bool also_geometric(const Change& c) {
  return c.kind == "heel re-covered" ||
         (c.kind == "cap" && c.quantities.count("height") + c.quantities.count("mass") > 0);
}

void apply_change(const Change& c, ActionDesign& a) {
  const auto step = steps().find(c.kind);
  assert(step != steps().end() && "a change kind without an effect");
  step->second(c, a);
}

}  // namespace leverwright::action
