#include "models/action/weigh.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case/static_balance.h"
#include "sim/base/units.h"

namespace leverwright::action {

namespace {

// From the edge of a branch to where something has fallen, a little way towards `dip`; `here` and `state` go
// there.
bool go_over(run::StaticSolver& solver, double travel_rest, double dip, double& here,
             run::StaticState& state) {
  for (double h = 4e-6; h < 2e-4; h *= 3.0) {
    const double next = std::abs(dip - here) <= h ? dip : here + (dip > here ? h : -h);
    run::StaticState trial = state;
    if (!solver.settle(solver.driven_for(travel_rest + next), trial)) {
      if (next == dip) return false;
      continue;
    }
    state = trial;
    here = next;
    return true;
  }
  return false;
}

// Leads the key through the dips given, in order; appends a sample for each when `out` is there. Above
// `smooth_to` the search for an equilibrium starts on the straight line through the two before it.
bool lead(run::StaticSolver& solver, double travel_rest, double smooth_to, const std::vector<double>& dips,
          run::StaticState& state, std::vector<run::StaticSample>* out, double& lost_at) {
  constexpr double kLeast = 2e-6;
  planar::VecQ slope = planar::VecQ::Zero(state.q.size());
  for (const double dip : dips) {
    double here = solver.travel_of(state.q) - travel_rest;
    run::StaticState previous = state;
    double stride = std::abs(dip - here);
    while (here != dip) {
      const double next = std::abs(dip - here) <= stride ? dip : here + (dip > here ? stride : -stride);
      run::StaticState trial = state;
      if (std::max(here, next) > smooth_to) slope.setZero();
      if (!solver.settle_from(state.q + (next - here) * slope, solver.driven_for(travel_rest + next),
                              trial)) {
        slope.setZero();
        stride = 0.5 * std::abs(next - here);
        if (stride >= kLeast) continue;
        // The edge of a branch: further on it is steeper, and the fall's start is clear.
        if (!go_over(solver, travel_rest, dip, here, state)) {
          lost_at = next;
          return false;
        }
        previous = solver.last_from();
        stride = std::abs(dip - here);
        continue;
      }
      previous = solver.last_from();
      slope = (trial.q - state.q) / (next - here);
      state = trial;
      here = next;
    }
    if (out) {
      run::StaticSample s = solver.sample(previous, state);
      s.travel = dip;
      out->push_back(std::move(s));
    }
  }
  return true;
}

// The samples of one contact place: strips of a patch are taken together, weighted by their force.
struct PlaceState {
  double normal = 0, s_a = 0, s_b = 0, depth = 0;
  Vec2 p = Vec2::Zero();
  bool on_edge = false;
};
PlaceState place_state(const Action& a, const run::StaticSample& s, int place) {
  PlaceState out;
  const std::string group = kPlaceNames[static_cast<std::size_t>(place)];
  for (std::size_t i = 0; i < s.normal.size(); ++i) {
    if (a.mechanism.contacts[i]->group != group || s.normal[i] <= 0) continue;
    const double n = s.normal[i];
    out.normal += n;
    out.s_a += n * s.touches[i].s_a;
    out.s_b += n * s.touches[i].s_b;
    out.p += n * s.touches[i].p;
    out.depth = std::max(out.depth, s.touches[i].depth);
    out.on_edge = out.on_edge || s.touches[i].zone != planar::CapZone::kDome;
  }
  if (out.normal > 0) {
    out.s_a /= out.normal;
    out.s_b /= out.normal;
    out.p /= out.normal;
  }
  return out;
}

void warn_of_heel(const Action& a, Weighing& w) {
  double edge_at = -1, off_at = -1, wood_at = -1;
  for (const auto& s : w.down) {
    const PlaceState c = place_state(a, s, kCapstanHeel);
    if (c.normal < 0.02) continue;
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
}

// How far the heel's cloth leans over under the capstan up to let-off, going down and coming up: most |u| z_y
// (sim/planar/dry_friction.h); strips by their force.
struct Lean {
  bool bears = false, slides = false;
  double most = 0;  // [m]
};
Lean find_lean(const Action& a, const Weighing& w, double dip_let_off) {
  constexpr double kBears = 0.02, kSome = 0.1;  // [N]; share of the force that slides
  Lean out;
  const std::string group = kPlaceNames[kCapstanHeel];
  for (const auto* way : {&w.down, &w.up})
    for (const run::StaticSample& s : *way) {
      if (s.travel > dip_let_off) continue;
      double normal = 0, sliding = 0, lean = 0;
      for (std::size_t i = 0; i < s.normal.size(); ++i) {
        const planar::Contact& c = *a.mechanism.contacts[i];
        if (c.group != group || s.normal[i] <= 0 || !c.friction.acts()) continue;
        const planar::Touch& touch = s.touches[i];
        const double z = c.friction.yield_displacement(c.mu_factor(touch.s_b) * touch.depth);
        const double u = std::abs(s.state.u[i]);
        normal += s.normal[i];
        if (u >= 1) sliding += s.normal[i];
        lean += s.normal[i] * u * z;
      }
      if (normal < kBears) continue;
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

double lever_product(const Action& a, const run::StaticSample& half) {
  planar::Scratch s(a.mechanism);
  s.q = half.state.q;
  a.mechanism.tree.calc_poses(s.q, s.v, s.poses);
  const PlaceState heel = place_state(a, half, kCapstanHeel);
  PlaceState knuckle = place_state(a, half, kJackKnuckle);
  if (knuckle.normal <= 0) knuckle = place_state(a, half, kLeverKnuckle);
  const auto from = [&](const PlaceState& c, int body) {
    return (c.p - s.poses[static_cast<std::size_t>(body)].o).norm();
  };
  const double strike = Vec2(a.design.hammer_length, a.design.bore).norm();
  return case_file::lever_product_of({a.design.key_front_arm, from(heel, kKey), from(heel, kWippen),
                                      from(knuckle, kWippen), from(knuckle, kHammer), strike});
}

}  // namespace

Weighing weigh(const Action& a, const Regulated& r, const WeighOptions& options) {
  if (a.damper_body >= 0 && !a.design.key_options.damper.weighed && !a.design.key_options.damper.lifted) {
    ActionDesign lifted = a.design;  // as technicians weigh: dampers lifted
    lifted.key_options.damper.lifted = true;
    return weigh(assemble(lifted, a.screws), r, options);
  }
  Weighing w;
  w.window_from = options.window_from;
  w.window_to = r.dip_free();
  if (w.window_to <= w.window_from) {
    w.failure =
        "the tender meets its button, or the lever its drop screw, before 1 mm of dip: there is no stroke to "
        "weigh";
    return w;
  }
  // Dips: an even grid plus both ends of the window and half stroke.
  // A short weighing still turns round well beyond the window, so that everything rubs the other way when it
  // is entered.
  constexpr double kBeyond = 0.8e-3;
  const double end = options.whole_stroke ? r.dip : std::min(r.dip, w.window_to + kBeyond);
  std::vector<double> dips;
  const int count = static_cast<int>(std::ceil(end / options.step));
  for (int k = 0; k <= count; ++k) dips.push_back(end * k / count);
  for (const double extra : {w.window_from, w.window_to, 0.5 * r.dip_let_off})
    if (std::none_of(dips.begin(), dips.end(), [&](double d) { return std::abs(d - extra) < 1e-9; }))
      dips.push_back(extra);
  std::sort(dips.begin(), dips.end());
  std::vector<double> back(dips.rbegin(), dips.rend());
  // The path turns a little beyond both ends so that the first sample of a stroke has a direction.
  constexpr double kTurn = 5e-6;
  run::StaticSolver solver(a.mechanism, kKey, a.playing_point, true);
  run::StaticState state = solver.initial(r.rest.q);
  double lost = 0;
  std::vector<run::StaticSample> up;
  const bool done = lead(solver, r.travel_rest, w.window_to, dips, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, back, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, {-kTurn}, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, dips, state, &w.down, lost) &&
                    lead(solver, r.travel_rest, w.window_to, {end + kTurn}, state, nullptr, lost) &&
                    lead(solver, r.travel_rest, w.window_to, back, state, &up, lost);
  if (!done) {
    w.failure = fmt::format(
        "no equilibrium with friction was found at {:.2f} mm of dip: a part is blocked or jammed there",
        lost * 1e3);
    w.jam = find_jam(a, w.down, r.dip_let_off);
    return w;
  }
  std::reverse(up.begin(), up.end());
  w.up = std::move(up);
  w.jam = find_jam(a, w.down, r.dip_let_off);
  if (w.jam.jammed) {
    w.failure = fmt::format(
        "{} jams (self-locking) at {:.1f} mm of dip: with its friction the force there no longer turns the driven part, so "
        "the weights are meaningless. Ease that surface, or change its slope",
        w.jam.place, w.jam.dip * 1e3);
    return w;
  }

  double sum_down = 0, sum_up = 0, length = 0;
  w.down_weight = -1e9;
  w.up_weight = 1e9;
  for (std::size_t k = 0; k < w.down.size(); ++k) {
    const double dip = w.down[k].travel;
    if (dip < w.window_from - 1e-9 || dip > w.window_to + 1e-9) continue;
    if (w.down[k].force > w.down_weight) {
      w.down_weight = w.down[k].force;
      w.dip_of_down_weight = dip;
    }
    if (w.up[k].force < w.up_weight) {
      w.up_weight = w.up[k].force;
      w.dip_of_up_weight = dip;
    }
    if (k > 0 && w.down[k - 1].travel >= w.window_from - 1e-9) {
      const double h = dip - w.down[k - 1].travel;
      sum_down += 0.5 * h * (w.down[k].force + w.down[k - 1].force);
      sum_up += 0.5 * h * (w.up[k].force + w.up[k - 1].force);
      length += h;
    }
  }
  for (const auto* list : {&w.down, &w.up})
    for (const auto& s : *list) {
      double rows = 0;
      for (double x : s.ledger.friction) rows += x;
      for (double x : s.ledger.cloth) rows += x;
      for (double x : s.ledger.pivot) rows += x;
      w.worst_ledger = std::max(w.worst_ledger, std::abs(s.force - s.ledger.stored - s.direction * rows) /
                                                    std::max(0.05, std::abs(s.force)));
    }
  w.balance_weight = case_file::balance_weight_of(w.down_weight, w.up_weight);
  w.friction = case_file::friction_of(w.down_weight, w.up_weight);
  w.mean_down = sum_down / length;
  w.mean_up = sum_up / length;
  w.distance_ratio = case_file::distance_ratio_of(r.blow - r.let_off, r.dip_let_off);
  w.key_ratio = a.design.cap_apex.x() / a.design.key_front_arm;
  // A spring that helps the key down stands in the balance like weight at the key's front.
  const double helped = a.design.front_weight + a.design.assist_torque / a.design.key_front_arm;
  w.weight_ratio = case_file::weight_ratio_of(
      w.balance_weight, {helped, a.design.strike_weight, a.design.wippen_weight, w.key_ratio});
  if (options.whole_stroke) {
    double before = 0, top = -1e9;
    for (const auto& s : w.down) {
      if (s.travel <= w.window_to)
        before = s.force;
      else if (s.travel <= r.dip_let_off + 0.1e-3)
        top = std::max(top, s.force);
    }
    w.let_off_resistance = top - before;
    const auto half = std::min_element(w.down.begin(), w.down.end(), [&](const auto& x, const auto& y) {
      return std::abs(x.travel - 0.5 * r.dip_let_off) < std::abs(y.travel - 0.5 * r.dip_let_off);
    });
    w.lever_product = lever_product(a, *half);
    warn_of_heel(a, w);
    tell_of_stuck_capstan(a, r.dip_let_off, w);
  }
  w.ok = true;
  return w;
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
  const run::StaticSample* half = &w.down.front();
  for (const auto& s : w.down) {
    const PlaceState c = place_state(a, s, kCapstanHeel);
    if (c.normal < 0.02) continue;
    b.cap_edge_margin = std::min(b.cap_edge_margin, cap.dome_half_width() - std::abs(c.s_a));
    b.face_margin = std::min({b.face_margin, c.s_b - d.lifting_face_from, d.lifting_face_to - c.s_b});
    if (std::abs(s.travel - 0.5 * r.dip_let_off) < std::abs(half->travel - 0.5 * r.dip_let_off)) half = &s;
  }
  const PlaceState c = place_state(a, *half, kCapstanHeel);
  planar::Scratch scratch(a.mechanism);
  scratch.q = half->state.q;
  a.mechanism.tree.calc_poses(scratch.q, scratch.v, scratch.poses);
  const Vec2 line = scratch.poses[kWippen].o - scratch.poses[kKey].o;
  b.line_distance_half = base::cross(line, c.p - scratch.poses[kKey].o) / line.norm();
  // Both edges of the cap as seen along the heel, against the two ends of the traced cloth.
  const double centre = c.s_b - c.s_a;
  b.cap_to_cloth_edge = std::min(centre - d.cap_half_width - (d.heel_x.front() + 1e-3),
                                 (d.heel_x.back() - 1e-3) - (centre + d.cap_half_width));
  const auto shares = find_reflected_mass(a, *half);
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
