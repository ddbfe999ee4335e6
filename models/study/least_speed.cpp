#include "models/study/least_speed.h"

#include <cmath>
#include <limits>

#include "models/action/finger_touch.h"
#include "models/action/touch.h"

namespace leverwright::study {

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

LeastSpeed find_least_speed(const Action& a, const Regulated& r) {
  constexpr double kStep = 0.01e-3;  // of dip [m]
  LeastSpeed out;
  out.closed = out.plain = out.leaves_gap = out.ratio = out.fall = kNone;
  action::QuietPath path(a);
  if (!path.rest_found()) return out;
  const auto before = path.sample_at(r.dip_button), at_let_off = path.sample_at(r.dip_let_off);
  if (!before || !at_let_off) return out;
  out.ratio = -path.gap_rate(*before);
  out.fall = calc_fall(a, at_let_off->state.q);
  out.plain = std::sqrt(2 * out.fall * a.string_gap(at_let_off->state.q)) / out.ratio;
  const int steps = static_cast<int>((r.dip_let_off - r.dip_button) / kStep);
  for (int k = 0; k < steps; ++k) {
    const auto s = path.sample_at(r.dip_button + k * kStep);
    if (!s) continue;
    const double ratio = -path.gap_rate(*s), gap = a.string_gap(s->state.q);
    if (!(ratio > 0) || !(gap > 0)) continue;
    const double v = std::sqrt(2 * calc_fall(a, s->state.q) * gap) / ratio;
    if (!(v < out.closed)) {
      if (!std::isnan(out.closed)) continue;
    }
    out.closed = v;
    out.leaves_gap = gap;
  }
  return out;
}

namespace {

// Gently enough that the hammer stays on the jack: at 0.1 m/s the crown gains 6 m/s2.
constexpr double kRunUp = 5e-3;  // [m]

// A key that goes down at this speed.
action::StrokeResult play_evenly(const Action& a, const Regulated& r, double speed) {
  const action::Rest rest = action::build_rest(a, r.rest.q);
  action::FingerTouch way;
  way.struck = false;
  way.run_up = kRunUp;
  way.over = 0;
  way.dip = r.dip;
  way.stop = 1e-3;
  way.speed = speed;
  action::PlayOptions o;
  o.duration = way.stops_at() + 0.02;
  o.release_at = 1e3;
  o.stop_at_string = true;
  o.stroke.output_interval = 0;
  return action::play(a, rest, action::key_motion_drive(a, rest, action::hand_history(way)), o);
}

}  // namespace

double play_least_speed(const Action& a, const Regulated& r) {
  constexpr double kMost = 0.1, kLeast = 3e-3, kStep = 1.03, kExact = 1.002;
  const auto sounds = [&](double speed) { return play_evenly(a, r, speed).happened(action::kStringContact); };
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
  constexpr double kCreeps = 5e-3;  // [m/s]
  return r.let_off - play_evenly(a, r, kCreeps).facts.least_gap;
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
    const Action smooth = action::assemble(d, r.screws);
    out.push_back({r.let_off, find_least_speed(a, r), play_least_speed(a, r), find_kick(a, r),
                   play_least_speed(smooth, r), find_kick(smooth, r)});
  }
  return out;
}

}  // namespace leverwright::study
