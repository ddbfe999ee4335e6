#include "models/action/stroke_watcher.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/action/crown.h"

namespace leverwright::action {

using planar::Scratch;

namespace {
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kKeyStarted = 0.05e-3;  // [m]
constexpr double kKeyIsBack = 0.1e-3;    // [m]
constexpr double kUnderWay = 1e-3;       // [m] of dip: the jack must be under the knuckle from here on
constexpr double kBottomForce = 0.5;     // [N]
constexpr double kCaughtSlip = 5e-3;     // [m/s]
constexpr double kSameBlow =
    5e-3;  // [s] a yielding string may throw the hammer off, come back and push again
constexpr double kTripShare = 0.05;  // of the jack's peak force on the knuckle
constexpr std::size_t index(int i) { return static_cast<std::size_t>(i); }

double gap_of(const Action& action, const Rest& rest) {
  const auto& m = action.mechanism;
  planar::VecQ q(m.n());
  for (int i = 0; i < m.n(); ++i) q[i] = rest.state[index(m.at_q(i))];
  return action.string_gap(q);
}
}  // namespace

StrokeWatcher::StrokeWatcher(const Action& action, const Rest& rest, const run::Drive& drive,
                             const PlayOptions& options)
    : hammer_speed(kNone),
      rebound_speed(kNone),
      knuckle_left(kNone),
      action_(action),
      drive_(drive),
      options_(options),
      guard_(action),
      travel_rest_(rest.travel),
      gap_at_rest_(gap_of(action, rest)),
      place_of_group_(action.mechanism.groups().size(), -1) {
  time.fill(kNone);
  for (int place = 0; place < kPlaceCount; ++place)
    place_of_group_[index(action.mechanism.group_of(action.contact[index(place)]))] = place;
}

double StrokeWatcher::travel_at_key(const Scratch& s) const { return travel_at(action_, s.q).travel; }

double StrokeWatcher::jack_force(const Scratch& s) const {
  return s.normal[index(action_.contact[kJackKnuckle])];
}

double StrokeWatcher::sliding_on_check(const double* x, const Scratch& s) const {
  const int check = action_.contact[kTailCheck];
  const planar::Contact& c = *action_.mechanism.contacts[index(check)];
  const int u = action_.mechanism.at_u(check);
  const double slip = s.slip[index(check)];
  return std::abs(u < 0
                      ? slip
                      : c.friction.sliding(
                            c.press(s.contact_points[index(check)], s.reversible[index(check)]), slip, x[u]));
}

double StrokeWatcher::finger_force(double t, const Scratch& s) const {
  if (action_.finger_contact >= 0) return s.normal[index(action_.finger_contact)];
  if (drive_.leads_point()) return s.prescribed_force;
  if (drive_.moved_coordinate() == kKey) return s.prescribed_force / travel_at(action_, s.q).slope;
  return drive_.pressing_force(t);
}

void StrokeWatcher::watch(run::Stroke& stroke) {
  using run::Crossing;
  const auto add = [&stroke](StrokeEvent e, Crossing crossing, bool once, auto value) {
    stroke.watch({kStrokeEventNames[e],
                  [value](double t, const double*, const Scratch& s) { return value(t, s); }, crossing, once,
                  false});
  };
  add(kKeyStart, Crossing::kRising, true, [this](double, const Scratch& s) { return dip(s) - kKeyStarted; });
  add(kKeyBack, Crossing::kFalling, false, [this](double, const Scratch& s) { return dip(s) - kKeyIsBack; });
  add(kJackTrips, Crossing::kFalling, true, [this](double, const Scratch& s) {
    if (time[kTenderMeetsButton] != time[kTenderMeetsButton]) return 1.0;
    const double carried = jack_force(s) - kTripShare * peak_jack_force_;
    const double rising = crown_speed(action_, s.q, s.v);
    return std::min(carried, rising);  // their signs count, not their sizes
  });
  add(kJackClear, Crossing::kRising, true, [this](double, const Scratch& s) {
    return knuckle_in_jack(action_, s).x() - action_.design.jack_half_width;
  });
  const int punching = action_.contact[kKeyFrontPunching], check = action_.contact[kTailCheck];
  add(kKeyBottom, Crossing::kRising, true,
      [punching](double, const Scratch& s) { return s.normal[index(punching)] - kBottomForce; });
  stroke.watch({kStrokeEventNames[kCheck],
                [this, check](double, const double* x, const Scratch& s) {
                  return s.contact_points[index(check)].depth > 0 ? sliding_on_check(x, s) - kCaughtSlip
                                                                  : 1.0;
                },
                Crossing::kFalling, false, false});
  add(kJackReset, Crossing::kRising, false, [this](double, const Scratch& s) {
    const bool on_stop = s.contact_points[index(action_.contact[kJackStopFelt])].depth > 0;
    const double inside = action_.design.jack_half_width - std::abs(knuckle_in_jack(action_, s).x());
    return on_stop ? inside : -1.0;
  });
  const double release_at = options_.release_at;
  stroke.watch({"release", [release_at](double t, const double*, const Scratch&) { return t - release_at; },
                Crossing::kRising, true, false});
}

void StrokeWatcher::on_start(const planar::Mechanism& m) {
  const auto room =
      static_cast<std::size_t>(options_.stroke.output_interval > 0
                                   ? options_.duration / options_.stroke.output_interval + 3 + kRoomForBlows
                                   : 0);
  const auto set_aside = [room](std::vector<double>& v) { v.reserve(room); };
  series.position.resize(index(m.n()));
  series.speed.resize(index(m.n()));
  series.places.resize(m.groups().size());
  series.loss_names = m.audit_names();
  series.losses.resize(series.loss_names.size());
  for (std::size_t g = 0; g < m.groups().size(); ++g) series.places[g].name = m.groups()[g];
  series.centres.clear();
  for (const auto& p : m.pivots) series.centres.push_back({p.name, p.body, {}});
  for (auto* v : {&series.time, &series.kinetic, &series.gravity, &series.springs, &series.cloth,
                  &series.bristles, &series.pivots, &series.strings, &series.work, &series.finger_force,
                  &series.dip, &series.key_speed, &series.string_gap, &series.hammer_speed})
    set_aside(*v);
  for (auto* list : {&series.position, &series.speed, &series.losses})
    std::for_each(list->begin(), list->end(), set_aside);
  for (auto& p : series.places)
    for (auto* v : {&p.normal, &p.friction, &p.depth, &p.slip, &p.x, &p.y, &p.direction}) set_aside(*v);
  for (auto& c : series.centres) set_aside(c.torque);
  if (!m.strings.empty()) set_aside(series.string_rise);
  peak_normal.assign(m.groups().size(), 0.0);
}

void StrokeWatcher::on_sample(double t, const double* x, const Scratch& s) {
  const auto& m = action_.mechanism;
  series.time.push_back(t);
  for (int i = 0; i < m.n(); ++i) {
    series.position[index(i)].push_back(s.q[i]);
    series.speed[index(i)].push_back(s.v[i]);
  }
  for (auto& p : series.places) {
    p.normal.push_back(0);
    p.friction.push_back(0);
    p.depth.push_back(-1);
    p.slip.push_back(0);
    p.x.push_back(0);
    p.y.push_back(0);
    p.direction.push_back(kNone);
  }
  for (std::size_t i = 0; i < m.contacts.size(); ++i) {
    auto& p = series.places[index(m.group_of(static_cast<int>(i)))];
    p.normal.back() += s.normal[i];
    p.friction.back() += s.tangential[i];
    p.depth.back() = std::max(p.depth.back(), s.contact_points[i].depth);
    p.slip.back() += s.normal[i] * s.slip[i];
    p.x.back() += s.normal[i] * s.contact_points[i].p.x();
    p.y.back() += s.normal[i] * s.contact_points[i].p.y();
    // The strips of a patch share their normal to within the heel's slope under the cap: that of the last.
    if (s.normal[i] > 0 && !m.contacts[i]->is_angular()) {
      const Vec2 n = action_.shown_sign(*m.contacts[i]) * s.contact_points[i].n;
      p.direction.back() = std::atan2(n.y(), n.x());
    }
  }
  for (auto& p : series.places) {
    const double n = p.normal.back();
    if (n > 0) p.slip.back() /= n;
    const bool placed = p.direction.back() == p.direction.back();
    p.x.back() = placed ? p.x.back() / n : kNone;
    p.y.back() = placed ? p.y.back() / n : kNone;
  }
  for (std::size_t i = 0; i < series.centres.size(); ++i)
    series.centres[i].torque.push_back(-s.pivot_torque[i]);
  if (!m.strings.empty()) series.string_rise.push_back(s.strings.front().y);
  const run::StoredEnergy e = run::calc_stored(m, x, s);
  series.kinetic.push_back(e.kinetic);
  series.gravity.push_back(e.gravity);
  series.springs.push_back(e.springs);
  series.cloth.push_back(e.cloth);
  series.bristles.push_back(e.bristles);
  series.pivots.push_back(e.pivots);
  series.strings.push_back(e.strings);
  series.work.push_back(x[m.at_audit()]);
  for (std::size_t k = 0; k < series.losses.size(); ++k)
    series.losses[k].push_back(x[index(m.at_audit()) + 1 + k]);
  series.finger_force.push_back(finger_force(t, s));
  series.dip.push_back(dip(s));
  series.key_speed.push_back(travel_speed(action_, s.q, s.v));
  series.string_gap.push_back(action_.string_gap(s.q));
  series.hammer_speed.push_back(crown_speed(action_, s.q, s.v));
}

// Blows of a millisecond or two slip through even samples: each of their first milliseconds' steps is kept.
void StrokeWatcher::sample_short_contacts(double t, const double* x, const Scratch& s) {
  if (options_.stroke.output_interval <= 0) return;
  bool keep = false;
  for (std::size_t k = 0; k < kBlows.size(); ++k) {
    const bool closed = s.contact_points[index(action_.contact[kBlows[k]])].depth > 0;
    if (closed && !blow_closed_[k]) blow_since_[k] = t;
    keep = keep || ((closed || blow_closed_[k]) && t - blow_since_[k] < kBlowLasts);
    blow_closed_[k] = closed;
  }
  if (keep && (series.time.empty() || t > series.time.back())) on_sample(t, x, s);
}

void StrokeWatcher::on_step(double t, const double* x, const Scratch& s) {
  sample_short_contacts(t, x, s);
  guard_.hold(t, s);
  const auto& m = action_.mechanism;
  std::size_t i = 0;
  while (i < m.contacts.size()) {  // the contacts of one group stand together
    const int group = m.group_of(static_cast<int>(i));
    double sum = 0;
    for (; i < m.contacts.size() && m.group_of(static_cast<int>(i)) == group; ++i) sum += s.normal[i];
    peak_normal[index(group)] = std::max(peak_normal[index(group)], sum);
  }
  // A jack that is out from the start passes no edge on the way.
  if (time[kTenderMeetsButton] != time[kTenderMeetsButton] && dip(s) > kUnderWay &&
      knuckle_in_jack(action_, s).x() > action_.design.jack_half_width)
    cheating = true;
  peak_force = std::max(peak_force, finger_force(t, s));
  peak_jack_force_ = std::max(peak_jack_force_, jack_force(s));
  if (time[kKeyBottom] != time[kKeyBottom])
    peak_key_speed = std::max(peak_key_speed, travel_speed(action_, s.q, s.v));
  const double gap = action_.string_gap(s.q);
  if (!(facts.least_gap <= gap)) facts.least_gap = gap;
  if (!released_) {
    double& check = facts.string_contacts > 0 ? facts.check_force : facts.check_force_before;
    check = std::max(check, s.normal[index(action_.contact[kTailCheck])]);
  }
  if (facts.string_contacts > 0 && !released_) {
    // Between the blow and the release: how far the hammer falls, how near it then comes again.
    if (gap > facts.farthest_after) {
      facts.farthest_after = gap;
      facts.nearest_after_turn = gap;
    } else {
      facts.nearest_after_turn = std::min(facts.nearest_after_turn, gap);
    }
  }
}

void StrokeWatcher::note_contact(int place, bool closes, double t, const Scratch& s) {
  bears_[index(place)] = closes;
  const auto first = [&](StrokeEvent e) {
    if (time[e] != time[e]) time[e] = t;
  };
  switch (place) {
    case kTenderButton:
      if (closes && time[kTenderMeetsButton] != time[kTenderMeetsButton]) {
        facts.gap_at_tender = action_.string_gap(s.q);
        facts.dip_at_tender = dip(s);
      }
      if (closes) first(kTenderMeetsButton);
      break;
    case kLeverDropScrew:
      if (closes) first(kLeverMeetsDropScrew);
      break;
    case kHammerString:
      if (closes) {
        if (facts.string_contacts == 0) {
          hammer_speed = crown_speed(action_, s.q, s.v);
          time[kStringContact] = t;
        }
        const bool again = time[kStringLeft] == time[kStringLeft];
        if (!released_ && !(again && t - time[kStringLeft] < kSameBlow)) {
          if (facts.string_contacts == 1) {
            facts.second_contact = t;
            facts.dip_at_second = dip(s);
          }
          ++facts.string_contacts;
        }
      } else if (facts.string_contacts == 1 && !(t - time[kStringLeft] > kSameBlow)) {
        rebound_speed = -crown_speed(action_, s.q, s.v);
        time[kStringLeft] = t;
      }
      break;
    case kJackKnuckle:
    case kLeverKnuckle:
      if (facts.string_contacts == 0)
        knuckle_left = closes || bears(kJackKnuckle) || bears(kLeverKnuckle) ? kNone : t;
      break;
    default:
      break;
  }
}

void StrokeWatcher::note_release(const double* x, const Scratch& s) {
  released_ = true;
  facts.released_at = options_.release_at;
  facts.gap_at_release = action_.string_gap(s.q);
  facts.dip_at_release = dip(s);
  on_string_at_release = bears(kHammerString);
  const auto check = index(action_.contact[kTailCheck]);
  // Held below the height it rests at, a hammer has fallen past the check and is wedged there, not caught.
  caught_at_release = s.contact_points[check].depth > 0 && sliding_on_check(x, s) < kCaughtSlip &&
                      facts.gap_at_release < gap_at_rest_;
}

void StrokeWatcher::on_event(const run::Event& event, const double* x, const Scratch& s) {
  if (event.kind != run::EventKind::kCaller) {
    const int place = place_of_group_[index(event.index)];
    if (place >= 0) note_contact(place, event.kind == run::EventKind::kCloses, event.t, s);
    return;
  }
  if (*event.name == "release") {
    note_release(x, s);
    return;
  }
  const auto it = std::find(kStrokeEventNames.begin(), kStrokeEventNames.end(), *event.name);
  const auto which = static_cast<StrokeEvent>(it - kStrokeEventNames.begin());
  const auto first = [&] {
    if (time[which] != time[which]) time[which] = event.t;
  };
  switch (which) {
    case kCheck:  // the last one before the release
      if (!released_ && time[kStringContact] == time[kStringContact]) time[kCheck] = event.t;
      break;
    case kJackReset:
    case kKeyBack:
      if (released_) first();
      break;
    case kJackClear:
      if (time[kTenderMeetsButton] != time[kTenderMeetsButton]) cheating = true;
      facts.gap_at_jack_clear = action_.string_gap(s.q);
      facts.dip_at_jack_clear = dip(s);
      first();
      break;
    default:
      first();
  }
}

}  // namespace leverwright::action
