#include "models/playing/least_speed.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/action/touch.h"
#include "sim/run/start_state.h"

namespace leverwright::playing {

using action::Action;
using action::Regulated;
using base::Vec2;

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

// g_eff of the hammer between where it stands in q and the string.
double calc_fall(const Action& a, const planar::VecQ& q) {
  const planar::Body& h = a.mechanism.tree.body(action::kHammer);
  const double g = -a.mechanism.gravity.y();
  const double inertia = h.inertia_cm + h.mass * h.p_cm.squaredNorm();
  const auto level_x = [](const Vec2& r, double angle) {
    return std::cos(angle) * r.x() - std::sin(angle) * r.y();
  };
  // A ring of small angle: half of the gap over the crown's level distance.
  const double at = q[action::kHammer];
  const double middle = at + 0.5 * a.string_gap(q) / level_x(a.crown(), at);
  const double x_cm = level_x(h.p_cm, middle), length = level_x(a.crown(), middle);
  const double drag = a.mechanism.pivots[action::kHammerCentre].friction.level(
      h.mass * g * (1 - h.mass * x_cm * x_cm / inertia));
  return length * (h.mass * g * x_cm + drag) / inertia;
}

}  // namespace

namespace {

// Least of sqrt(2 g_eff gap) / i over the slow path between button and let-off, and where.
void find_rigid(const Action& a, const Regulated& r, action::FrictionlessPath& path, LeastSpeed& out) {
  constexpr double kStep = 0.01e-3;  // of dip [m]
  const int steps = static_cast<int>((r.dip_let_off - r.dip_button) / kStep);
  for (int k = 0; k < steps; ++k) {
    const auto s = path.sample_at(r.dip_button + k * kStep);
    if (!s) continue;
    const double ratio = -path.gap_rate(*s), gap = a.string_gap(s->state.q);
    if (!(ratio > 0) || !(gap > 0)) continue;
    const double v = std::sqrt(2 * calc_fall(a, s->state.q) * gap) / ratio;
    if (!(v < out.rigid) && !std::isnan(out.rigid)) continue;
    out.rigid = v;
    out.rigid_gap = gap;
  }
}

// lambda; NaN where the train finds no equilibrium. `b`: where the tender meets the button, memories with it.
double find_pushed(const Action& a, const EvenKey& b, double fall) {
  constexpr double kStep = 0.01e-3, kNothing = 0.01, kHold = 1e3;  // [m], share of F_0, [N m/rad]
  constexpr int kMost = 200;
  // The hammer held by a stiff spring, whose torque is what is missing to its balance.
  Action held = action::assemble(a.design, a.screws);
  held.mechanism.springs.push_back({"hold", planar::kGround, action::kHammer, 0.0, kHold});
  run::StaticSolver train(held.mechanism, action::kKey, held.playing_point, true);
  const planar::Body& h = a.mechanism.tree.body(action::kHammer);
  const double inertia = h.inertia_cm + h.mass * h.p_cm.squaredNorm(), at_b = b.state.q[action::kHammer];
  const double length = std::cos(at_b) * a.crown().x() - std::sin(at_b) * a.crown().y();
  const double weight = fall * inertia / length;  // of the hammer about its pin, friction with it [N m]
  run::StaticState state = b.state;
  double pushed = 0, share_before = 1, gap_before = a.string_gap(state.q);
  for (int k = 1; k <= kMost; ++k) {
    const double straight = at_b + b.rates[action::kHammer] * k * kStep;
    held.mechanism.springs.back().preload = kHold * straight;
    if (!train.settle(train.driven_for(b.travel_rest + b.dip + k * kStep), state)) return kNone;
    const double share = std::max(0.0, 1 + kHold * (state.q[action::kHammer] - straight) / weight);
    const double gap = a.string_gap(state.q);
    pushed += 0.5 * (share + share_before) * (gap_before - gap);
    gap_before = gap;
    share_before = share;
    if (share < kNothing) break;
  }
  return pushed;
}

}  // namespace

EvenKey find_even_key(const Action& a, double dip) {
  constexpr double kStride = 0.1e-3, kLast = 0.02e-3;  // [m]
  EvenKey out;
  out.dip = dip;
  action::FrictionlessPath quiet(a);
  if (!quiet.rest_found()) return out;
  run::StaticSolver path(a.mechanism, action::kKey, a.playing_point, true);
  out.travel_rest = quiet.travel_rest();
  out.state = path.initial(quiet.rest().q);
  const int strides = static_cast<int>(std::floor((dip - kLast) / kStride));
  std::vector<double> dips;
  for (int k = 1; k <= strides; ++k) dips.push_back(k * kStride);
  dips.push_back(dip - kLast);
  dips.push_back(dip);
  run::StaticState before = out.state;
  for (const double y : dips) {
    before = out.state;
    if (!path.settle(path.driven_for(out.travel_rest + y), out.state)) return out;
  }
  out.rates = (out.state.q - before.q) / kLast;
  out.found = true;
  return out;
}

LeastSpeed find_least_speed(const Action& a, const Regulated& r) {
  LeastSpeed out;
  out.closed = out.plain = out.rigid = out.rigid_gap = out.ratio = out.gap_button = out.pushed = out.fall =
      kNone;
  action::FrictionlessPath path(a);
  if (!path.rest_found()) return out;
  find_rigid(a, r, path, out);  // goes to let-off in small steps: just after it the path falls off
  const auto at_let_off = path.at(r.dip_let_off);
  const EvenKey b = find_even_key(a, r.dip_button);
  if (!at_let_off || !b.found) return out;
  out.gap_button = a.string_gap(b.state.q);
  out.ratio = -a.string_gap_rate(b.state.q, b.rates);
  out.fall = calc_fall(a, at_let_off->q);
  out.plain = std::sqrt(2 * out.fall * r.let_off) / out.ratio;
  out.pushed = find_pushed(a, b, out.fall);
  out.closed = std::sqrt(2 * out.fall * (out.gap_button - out.pushed)) / out.ratio;
  return out;
}

namespace {

// The playing point below its rest, at a constant speed.
class EvenWay : public run::History {
 public:
  EvenWay(double from, double speed) : from_(from), speed_(speed) {}
  run::Instant at(double t) const override { return {from_ + speed_ * t, speed_, 0}; }
  void add_breakpoints(std::vector<double>&) const override {}

 private:
  double from_, speed_;
};

action::StrokeResult play_evenly(const Action& a, const Regulated& r, const EvenKey& from, double speed) {
  action::Rest start;
  start.state = run::start_state(a.mechanism, from.state);
  start.travel = from.travel_rest;
  for (int i = 0; i < a.mechanism.n(); ++i) start.state[a.mechanism.at_v(i)] = from.rates[i] * speed;
  action::PlayOptions o;
  o.duration = (r.dip - from.dip) / speed;
  o.release_at = 1e3;
  o.stop_at_string = true;
  o.stroke.output_interval = 0;
  const auto way = std::make_shared<EvenWay>(from.dip, speed);
  return action::play(a, start, action::key_motion_drive(a, start, way), o);
}

}  // namespace

double play_least_speed(const Action& a, const Regulated& r, double before) {
  const EvenKey from = find_even_key(a, r.dip_button - before);
  if (!from.found) return kNone;
  return find_slowest(
      [&](double speed) { return play_evenly(a, r, from, speed).happened(action::kStringContact); });
}

double find_slowest(const std::function<bool(double speed)>& sounds) {
  constexpr double kMost = 0.12, kLeast = 3e-3, kStep = 1.03, kExact = 1.002;
  double high = kMost, low = kMost;
  if (!sounds(high)) return kNone;
  for (; low > kLeast; high = low) {
    low = high / kStep;
    if (!sounds(low)) break;
  }
  while (high / low > kExact) {
    const double middle = std::sqrt(low * high);
    (sounds(middle) ? high : low) = middle;
  }
  return high;
}

double find_kick(const Action& a, const Regulated& r) {
  constexpr double kCreeps = 5e-3, kBefore = 1e-3;  // [m/s], [m]
  const EvenKey from = find_even_key(a, r.dip_button - kBefore);
  return from.found ? r.let_off - play_evenly(a, r, from, kCreeps).facts.least_gap : kNone;
}

std::vector<LeastSpeedAt> find_least_speeds(const action::ActionDesign& design, const Regulated& regulated,
                                            const std::vector<double>& let_offs) {
  std::vector<LeastSpeedAt> out;
  for (const double let_off : let_offs) {
    action::ActionDesign d = design;
    d.let_off = let_off;
    const Regulated r = action::regulate(d, regulated.screws, d.policy);
    if (!r.failures.empty()) continue;
    const Action a = action::assemble(d, r.screws);
    for (action::ContactLaw& law : d.laws) law.friction = planar::DryFriction();
    // Regulated to the same let-off: with other friction the same screws would let off elsewhere.
    const Regulated s = action::regulate(d, regulated.screws, d.policy);
    if (!s.failures.empty()) continue;
    const Action smooth = action::assemble(d, s.screws);
    out.push_back({r.let_off, find_least_speed(a, r), find_least_speed(smooth, s), play_least_speed(a, r),
                   find_kick(a, r), play_least_speed(smooth, s), find_kick(smooth, s)});
  }
  return out;
}

}  // namespace leverwright::playing
