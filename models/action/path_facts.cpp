#include "models/action/path_facts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/static_balance.h"
#include "sim/analysis/pitch_point.h"

namespace leverwright::action {

namespace {

using analysis::SlidePoint;

SlidePoint point_at(const Action& a, const run::StaticSample& s, ContactId place, planar::Scratch& scratch) {
  return analysis::find_slide_point(a.mechanism, s, group_of(a, place), scratch, kLeastNormal);
}

// How far the heel's cloth leans over under the capstan up to let-off, going down and coming up: most |u| z_y
// (sim/planar/dry_friction.h); strips by their force.
struct Lean {
  bool bears = false, slides = false;
  double most = 0;  // [m]
};
Lean find_lean(const Action& a, const Weighing& w, double dip_let_off) {
  constexpr double kSome = 0.1;  // share of the force that slides
  Lean out;
  const int group = group_of(a, kCapstanHeel);
  for (const auto* way : {&w.down, &w.up})
    for (const run::StaticSample& s : *way) {
      if (s.travel > dip_let_off) continue;
      double normal = 0, sliding = 0, lean = 0;
      for (std::size_t i = 0; i < s.normal.size(); ++i) {
        const planar::Contact& c = *a.mechanism.contacts[i];
        if (a.mechanism.group_of(static_cast<int>(i)) != group || s.normal[i] <= 0 || !c.friction.acts())
          continue;
        const planar::ContactPoint& touch = s.contact_points[i];
        const double z = c.friction.yield_displacement(c.mu_factor(touch.s_b) * touch.depth);
        const double u = std::abs(s.state.u[i]);
        normal += s.normal[i];
        if (u >= 1) sliding += s.normal[i];
        lean += s.normal[i] * u * z;
      }
      if (normal < kLeastNormal) continue;
      out.slides = out.slides || sliding > kSome * normal;
      out.most = std::max(out.most, lean / normal);
      out.bears = true;
    }
  return out;
}

// models/handbook/leaning_capstan.md, "When it does not slide at all".
void tell_of_stuck_capstan(const Action& a, double dip_let_off, Weighing& w) {
  const Lean lean = find_lean(a, w, dip_let_off);
  if (!lean.bears || lean.slides) return;
  w.warnings.push_back(fmt::format(
      "the capstan does not slide on its cloth between rest and let-off: the cloth leans over with it by up "
      "to {:.2f} mm. Its friction takes no slide loss from these weights, but it may creep or squeak: "
      "measure "
      "it, or weigh again with the capstan polished, before judging this place",
      lean.most * 1e3));
}

}  // namespace

int group_of(const Action& a, ContactId place) {
  return a.mechanism.group_of(a.contact[static_cast<std::size_t>(place)]);
}

PathFacts find_path_facts(const Action& a, const Regulated& r, const Weighing& w) {
  PathFacts out;
  if (!w.ok) return out;
  out.ledger = analysis::find_mean_ledger(a.mechanism, w.down, w.up, w.window_from, w.window_to);
  for (std::size_t k = 0; k < kRubbingContacts.size(); ++k)
    out.slides[k] =
        analysis::find_slide_path(a.mechanism, w.down, group_of(a, kRubbingContacts[k]), kLeastNormal);
  out.capstan_friction = analysis::friction_of_group(out.ledger, group_of(a, kCapstanHeel));
  const analysis::SlidePath& capstan = out.slides[0];
  out.slide_to_let_off = analysis::slide_to(capstan, r.dip_let_off);
  out.slide_to_end = capstan.slide;
  return out;
}

std::optional<double> line_distance(const Action& a, const planar::VecQ& q, ContactId place, const Vec2& p) {
  BodyIndex from = kKey;  // to the wippen, so that above is on the left
  if (place == kJackKnuckle || place == kLeverKnuckle)
    from = kHammer;
  else if (place != kCapstanHeel)
    return std::nullopt;
  planar::Scratch scratch(a.mechanism);
  scratch.q = q;
  a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
  return analysis::line_distance(scratch.poses[static_cast<std::size_t>(from)].o, scratch.poses[kWippen].o,
                                 p);
}

const run::StaticSample& sample_near(const std::vector<run::StaticSample>& samples, double dip) {
  return *std::min_element(samples.begin(), samples.end(), [&](const auto& x, const auto& y) {
    return std::abs(x.travel - dip) < std::abs(y.travel - dip);
  });
}

void warn_of_heel(const Action& a, double dip_let_off, Weighing& w) {
  double edge_at = -1, off_at = -1, wood_at = -1;
  planar::Scratch scratch(a.mechanism);
  for (const auto& s : w.down) {
    const SlidePoint c = point_at(a, s, kCapstanHeel, scratch);
    if (!c.touching) continue;
    if (c.on_edge && edge_at < 0) edge_at = s.travel;
    if ((c.s_b < a.design.lifting_face_from || c.s_b > a.design.lifting_face_to) && off_at < 0)
      off_at = s.travel;
    if (c.depth > a.design.heel_cloth_thickness && wood_at < 0) wood_at = s.travel;
  }
  if (edge_at >= 0)
    w.warnings.push_back(
        fmt::format("the capstan's cap rides on its edge from {:.1f} mm of dip: lean it, move it, or fit a "
                    "rounder or wider cap",
                    edge_at * 1e3));
  if (off_at >= 0)
    w.warnings.push_back(
        fmt::format("the contact leaves the heel's lifting face at {:.1f} mm of dip: build the heel up under "
                    "the contact, or bring heel and capstan together",
                    off_at * 1e3));
  if (wood_at >= 0)
    w.warnings.push_back(fmt::format(
        "the capstan presses through the heel cloth to the wood at {:.1f} mm of dip: renew the cloth",
        wood_at * 1e3));
  tell_of_stuck_capstan(a, dip_let_off, w);
}

double find_lever_product(const Action& a, const run::StaticSample& half) {
  planar::Scratch s(a.mechanism);
  const SlidePoint heel = point_at(a, half, kCapstanHeel, s);
  SlidePoint knuckle = point_at(a, half, kJackKnuckle, s);
  if (!knuckle.touching) knuckle = point_at(a, half, kLeverKnuckle, s);
  s.q = half.state.q;
  a.mechanism.tree.calc_poses(s.q, s.v, s.poses);
  const auto from = [&](const SlidePoint& c, int body) {
    return (c.p - s.poses[static_cast<std::size_t>(body)].o).norm();
  };
  const double strike = Vec2(a.design.hammer_length, a.design.bore).norm();
  return case_file::lever_product_of({a.design.key_front_arm, from(heel, kKey), from(heel, kWippen),
                                      from(knuckle, kWippen), from(knuckle, kHammer), strike});
}

BenchNotes find_bench_notes(const Action& a, const Regulated& r, const Weighing& w) {
  BenchNotes b;
  b.shank_rest_gap = a.shank_rest_gap(r.rest.q);
  const ActionDesign& d = a.design;
  if (w.down.empty()) return b;
  const planar::VecQ& q_end = w.down.back().state.q;
  b.jack_depth_at_dip =
      a.jack_offset(q_end) - 2.0 * d.core_half_width;  // core's player-side edge past the jack's face
  b.jack_clearance_at_dip = a.jack_clearance(q_end);
  const planar::Cap cap = capstan_cap(d, a.screws[kCapstan]);
  b.cap_edge_margin = b.face_margin = 1e9;
  planar::Scratch scratch(a.mechanism);
  for (const auto& s : w.down) {
    const SlidePoint c = point_at(a, s, kCapstanHeel, scratch);
    if (!c.touching) continue;
    b.cap_edge_margin = std::min(b.cap_edge_margin, cap.dome_half_width() - std::abs(c.s_a));
    b.face_margin = std::min({b.face_margin, c.s_b - d.lifting_face_from, d.lifting_face_to - c.s_b});
  }
  const run::StaticSample& half = sample_near(w.down, 0.5 * r.dip_let_off);
  const SlidePoint c = point_at(a, half, kCapstanHeel, scratch);
  b.line_distance_half = *line_distance(a, half.state.q, kCapstanHeel, c.p);
  // Both edges of the cap as seen along the heel, against the two ends of the traced cloth.
  const double centre = c.s_b - c.s_a;
  b.cap_to_cloth_edge = std::min(centre - d.cap_half_width - (d.heel_x.front() + 1e-3),
                                 (d.heel_x.back() - 1e-3) - (centre + d.cap_half_width));
  const auto shares = find_reflected_mass(a, half);
  for (double m : shares) b.key_mass_reflected += m;
  return b;
}

std::array<double, kBodyCount> find_reflected_mass(const Action& a, const run::StaticSample& s) {
  std::array<double, kBodyCount> out{};
  planar::Scratch scratch(a.mechanism);
  scratch.q = s.state.q;
  a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
  for (int i = 0; i < a.mechanism.n(); ++i) {
    int owner = i;  // a bent shank's pieces count as the hammer
    while (owner >= kBodyCount && owner != planar::kGround) owner = a.mechanism.tree.body(owner).parent;
    if (owner == planar::kGround) continue;
    const auto& body = a.mechanism.tree.body(i);
    const Vec2 cm = scratch.poses[static_cast<std::size_t>(i)].to_W(body.p_cm);
    planar::VecQ x = planar::VecQ::Zero(a.mechanism.n()), y = x;
    a.mechanism.tree.add_velocity_row(scratch.poses, i, cm, Vec2(1, 0), 1.0, x);
    a.mechanism.tree.add_velocity_row(scratch.poses, i, cm, Vec2(0, 1), 1.0, y);
    const double vx = x.dot(s.dq), vy = y.dot(s.dq), omega = s.dq[i];
    out[static_cast<std::size_t>(owner)] += body.mass * (vx * vx + vy * vy) + body.inertia_cm * omega * omega;
  }
  return out;
}

}  // namespace leverwright::action
