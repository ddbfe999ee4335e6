#include "models/playing/feel.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "sim/analysis/curves.h"

namespace leverwright::playing {

using action::StrokeResult;
using analysis::Curve;

namespace {

constexpr double kInterval = 1e-4;       // [s] between samples of a stroke
constexpr double kNoLoad = 0.01;         // [N]: the knuckle is off
constexpr double kBorne = 0.05;          // [N]: it bears again
constexpr double kPunchingBears = 0.05;  // [N]: here the key's bottom begins
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

Curve slow_curve(const study::SetUpResult& s) {
  Curve c;
  for (const auto& sample : s.weighing.down) {
    c.x.push_back(sample.travel);
    c.y.push_back(sample.force);
  }
  return c;
}

std::size_t group_of(const study::SetUpResult& s, action::ContactId place) {
  return static_cast<std::size_t>(action::group_of(s.action, place));
}

// Reflected mass over dip on the path without friction.
Curve mass_curve(const study::SetUpResult& s, double to) {
  Curve c;
  action::FrictionlessPath path(s.action);
  if (!path.rest_found()) return c;
  constexpr double kStep = 0.25e-3;
  for (double dip = kStep; dip <= to; dip += kStep)
    if (const auto sample = path.sample_at(dip)) {
      const auto shares = action::find_reflected_mass(s.action, *sample);
      c.x.push_back(dip);
      c.y.push_back(std::accumulate(shares.begin(), shares.end(), 0.0));
    }
  return c;
}

std::vector<ReflectedMass> find_reflected(const study::SetUpResult& s) {
  std::vector<ReflectedMass> out;
  action::FrictionlessPath path(s.action);
  if (!path.rest_found()) return out;
  for (const auto& [where, dip] :
       {std::pair{"near rest", 1e-3}, std::pair{"half stroke", 0.5 * s.regulated.dip_let_off},
        std::pair{"before the button", s.regulated.dip_button - 0.1e-3}})
    if (const auto sample = path.sample_at(dip))
      out.push_back({where, dip, action::find_reflected_mass(s.action, *sample)});
  return out;
}

void find_bump(const study::SetUpResult& s, Feel& out) {
  out.bump_height = s.weighing.let_off_resistance;
  double before = 0;
  out.bump_from = out.bump_to = kNone;
  for (const auto& sample : s.weighing.down) {
    if (sample.travel <= s.regulated.dip_button) {
      before = sample.force;
      continue;
    }
    if (sample.travel > s.regulated.dip_let_off + 0.6e-3) break;  // the punching is near
    if (sample.force < before + 0.5 * out.bump_height) continue;
    if (std::isnan(out.bump_from)) out.bump_from = sample.travel;
    out.bump_to = sample.travel;
  }
  out.bump_width = out.bump_to - out.bump_from;
}

// Value of a series when the key first passes `dip` on its way down; NaN when it does not.
double when_passing(const action::StrokeSeries& s, const std::vector<double>& values, double dip) {
  for (std::size_t k = 1; k < s.dip.size(); ++k)
    if (s.dip[k - 1] <= dip && dip < s.dip[k])
      return values[k - 1] + (values[k] - values[k - 1]) * (dip - s.dip[k - 1]) / (s.dip[k] - s.dip[k - 1]);
  return kNone;
}

// Mean force of every row of the audit over the window of a slow path going down, in the audit's order. What
// only a motion loses (viscous pivots, strings), which comes last there, stays zero.
std::vector<double> slow_losses(const study::SetUpResult& s) {
  const auto& m = s.action.mechanism;
  const std::size_t groups = m.groups().size(), pivots = m.pivots.size();
  std::vector<double> out(m.audit_names().size(), 0.0);
  double length = 0;
  const auto& down = s.weighing.down;
  for (std::size_t k = 1; k < down.size(); ++k) {
    const auto& sample = down[k];
    if (sample.travel < s.weighing.window_from || sample.travel > s.weighing.window_to) continue;
    const double h = sample.travel - down[k - 1].travel;
    length += h;
    for (std::size_t i = 0; i < m.contacts.size(); ++i) {
      const auto g = static_cast<std::size_t>(m.group_of(static_cast<int>(i)));
      out[g] += h * sample.ledger.cloth[i];
      out[groups + g] += h * sample.ledger.friction[i];
    }
    for (std::size_t i = 0; i < pivots; ++i) out[2 * groups + i] += h * sample.ledger.pivot[i];
  }
  for (double& x : out) x /= std::max(length, 1e-9);
  return out;
}

// Where neither jack nor lever bears on the knuckle, from key start until `end`.
std::vector<KnuckleOff> find_off(const study::SetUpResult& s, const StrokeResult& r, double end) {
  const auto& series = r.series;
  const auto &jack = series.places[group_of(s, action::kJackKnuckle)].normal,
             &lever = series.places[group_of(s, action::kLeverKnuckle)].normal;
  std::vector<KnuckleOff> out;
  bool off = false;
  double since = 0;
  for (std::size_t k = 0; k < series.time.size(); ++k) {
    const double t = series.time[k];
    if (!(t >= r.event[action::kKeyStart] && t < end)) continue;
    const bool now = jack[k] + lever[k] < kNoLoad;
    if (now && !off) {
      out.push_back({series.dip[k], series.dip[k], 0});
      since = t;
    }
    off = now;
    if (!off) continue;
    out.back().dip_to = series.dip[k];
    out.back().lasting = t - since;
  }
  return out;
}

void find_knuckle(const study::SetUpResult& s, const StrokeResult& r, PlayedFriction& out) {
  const auto& series = r.series;
  const auto &jack = series.places[group_of(s, action::kJackKnuckle)].normal,
             &lever = series.places[group_of(s, action::kLeverKnuckle)].normal;
  const double let_off = r.event[action::kJackTrips], string = r.event[action::kStringContact];
  out.loaded_again = kNone;
  for (std::size_t k = 0; k < series.time.size(); ++k) {
    const double t = series.time[k], load = jack[k] + lever[k];
    if (t > string && load > kBorne && std::isnan(out.loaded_again)) out.loaded_again = t - string;
    if (t >= r.event[action::kKeyStart] && t < let_off) out.most_load = std::max(out.most_load, load);
  }
  out.off = find_off(s, r, let_off);
  // At the slow path's half stroke.
  const auto& down = s.weighing.down;
  const auto half = std::min_element(down.begin(), down.end(), [&](const auto& a, const auto& b) {
    const double at = 0.5 * s.regulated.dip_let_off;
    return std::abs(a.travel - at) < std::abs(b.travel - at);
  });
  for (std::size_t i = 0; i < half->normal.size(); ++i) {
    const auto g = static_cast<std::size_t>(s.action.mechanism.group_of(static_cast<int>(i)));
    if (g == group_of(s, action::kJackKnuckle) || g == group_of(s, action::kLeverKnuckle))
      out.slow_load += half->normal[i];
  }
}

PlayedFriction find_played(const study::SetUpResult& s, const study::PlayedTouch& touch,
                           const action::Rest& rest) {
  PlayedFriction out;
  out.touch = touch.name;
  out.found = touch.found.found;
  if (!out.found) return out;
  action::PlayOptions options;
  options.duration = options.release_at = 0.2;
  options.stroke.output_interval = kInterval;
  const StrokeResult r =
      action::play(s.action, rest, action::pressed_drive(s.action, touch.found.touch), options);
  out.hammer_speed = r.measures.hammer_speed;
  const double from = s.weighing.window_from, to = s.weighing.window_to;
  const auto slow = slow_losses(s);
  for (std::size_t k = 0; k < r.series.losses.size(); ++k) {
    const double lost =
        when_passing(r.series, r.series.losses[k], to) - when_passing(r.series, r.series.losses[k], from);
    out.rows.push_back({r.series.loss_names[k], slow[k], lost / (to - from)});
    out.slow_sum += out.rows.back().slow;
    out.played_sum += out.rows.back().played;
  }
  std::stable_sort(out.rows.begin(), out.rows.end(),
                   [](const auto& a, const auto& b) { return a.played > b.played; });
  find_knuckle(s, r, out);
  return out;
}

}  // namespace

double ReflectedMass::sum() const { return std::accumulate(shares.begin(), shares.end(), 0.0); }

KeyMotionForce find_key_motion_force(const study::SetUpResult& s, double down_time) {
  KeyMotionForce out;
  out.down_time = down_time;
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  action::KeyMotion motion;
  motion.down_time = down_time;
  motion.dip = s.regulated.dip;
  motion.release_at = motion.start + down_time + 0.05;
  action::PlayOptions options;
  options.duration = options.release_at = motion.release_at;
  options.stroke.output_interval = kInterval;
  const StrokeResult r =
      action::play(s.action, rest, action::key_motion_drive(s.action, rest, motion), options);
  if (r.happened(action::kStringContact)) out.hammer_speed = r.measures.hammer_speed;
  const double down_at = motion.start + down_time;
  out.off = find_off(
      s, r,
      r.happened(action::kStringContact) ? std::min(down_at, r.event[action::kStringContact]) : down_at);
  const Curve slow = slow_curve(s);
  const auto& punching = r.series.places[group_of(s, action::kKeyFrontPunching)].normal;
  const double from = s.weighing.window_from, to = s.weighing.window_to;
  const Curve mass = mass_curve(s, to);
  const auto& d = r.series;
  double squares = 0, length = 0;
  for (std::size_t k = 0; k < d.time.size(); ++k) {
    if (d.time[k] < motion.start) continue;
    if (punching[k] > kPunchingBears) break;
    const double dip = d.dip[k], slow_force = analysis::interpolate(slow, dip);
    out.time.push_back(d.time[k] - motion.start);
    out.dip.push_back(dip);
    out.force.push_back(d.finger_force[k]);
    out.slow.push_back(slow_force);
    if (dip <= s.regulated.dip_let_off && d.finger_force[k] > out.peak) {
      out.peak = d.finger_force[k];
      out.peak_dip = dip;
    }
    if (dip < from || dip > to || k == 0 || mass.x.size() < 3) continue;
    const double h = dip - d.dip[k - 1];
    // The ramp's own acceleration; m' by differences a quarter of a millimetre wide.
    const double x = (d.time[k] - motion.start) / down_time;
    const double a = motion.dip / (down_time * down_time) * (60 * x - 180 * x * x + 120 * x * x * x);
    const double slope =
        (analysis::interpolate(mass, dip + 0.125e-3) - analysis::interpolate(mass, dip - 0.125e-3)) / 0.25e-3;
    const double simple =
        slow_force + analysis::interpolate(mass, dip) * a + 0.5 * slope * d.key_speed[k] * d.key_speed[k];
    squares += h * std::pow(d.finger_force[k] - simple, 2);
    out.mean += h * d.finger_force[k];
    out.slow_mean += h * slow_force;
    length += h;
  }
  if (length > 0) {
    out.mean /= length;
    out.slow_mean /= length;
    out.simple_rms = std::sqrt(squares / length);
  }
  const auto at = [&](double share, double& force, double& slow_force) {
    const double dip = share * s.regulated.dip_let_off;
    force = when_passing(d, d.finger_force, dip);
    slow_force = analysis::interpolate(slow, dip);
  };
  at(0.25, out.early, out.slow_early);
  at(0.5, out.half, out.slow_half);
  at(0.75, out.late, out.slow_late);
  return out;
}

Feel find_feel(const case_file::CaseDescription& d, const study::SetUpResult& s, const FeelOptions& options) {
  Feel out;
  out.set_up = s.name;
  out.down_weight = s.weighing.down_weight;
  out.up_weight = s.weighing.up_weight;
  out.mean_down = s.weighing.mean_down;
  out.mean_up = s.weighing.mean_up;
  out.reflected = find_reflected(s);
  find_bump(s, out);
  const double jobs = static_cast<double>(options.down_times.size() + options.touches.size());
  double done = 0;
  const auto go_on = [&] { return !options.progress || options.progress(std::min(1.0, done++ / jobs)); };
  for (const double t : options.down_times) {
    if (!go_on()) return out;
    out.motions.push_back(find_key_motion_force(s, t));
  }
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  const auto touches = study::play_touches(d, s.action, rest, options.touches);
  for (const study::PlayedTouch& touch : touches) {
    if (!go_on()) return out;
    out.played.push_back(find_played(s, touch, rest));
  }
  return out;
}

}  // namespace leverwright::playing
