// The demo's note under the theory of machines: pitch points, virtual work, the
// friction ledger.
#include <gtest/gtest.h>

#include <cmath>

#include "models/action/path_facts.h"
#include "sim/analysis/pitch_point.h"
#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

using analysis::find_pitch_point;

// Rigid kinematics at a pose: body a turns at 1 rad/s (the jack with the wippen), body b so that the contact
// neither opens nor sinks in. Returns by how much |slip| misses |omega_rel| times the distance from contact
// to pitch point, relative to |omega_rel| times the contact's distance from the nearer pivot, and on which
// side of the line of centres the contact is.
struct Miss {
  double relative, line_distance;
};
Miss miss_of_sliding_speed(const Action& a, const planar::VecQ& q, int place, int body_a, int body_b) {
  const auto c = static_cast<std::size_t>(a.contact[static_cast<std::size_t>(place)]);
  planar::Scratch s(a.mechanism);
  s.q = q;
  a.mechanism.calc_geometry(s);
  if (s.contact_points[c].depth <= 0) return {-1, 0};
  planar::VecQ driver = planar::VecQ::Zero(kBodyCount);
  driver[body_a] = 1;
  if (body_a == kWippen) driver[kJack] = 1;  // angles are absolute: the jack rests on the wippen
  const double omega_b = -s.J_d[c].dot(driver) / s.J_d[c][body_b];
  s.v = driver;
  s.v[body_b] = omega_b;
  const double slip = s.J_t[c].dot(s.v), relative = omega_b - 1;
  const auto& t = s.contact_points[c];
  const Vec2 c_a = s.poses[static_cast<std::size_t>(body_a)].o,
             c_b = s.poses[static_cast<std::size_t>(body_b)].o;
  const auto pitch = find_pitch_point(c_a, c_b, t.p, t.n);
  const double nearer = std::min((t.p - c_a).norm(), (t.p - c_b).norm());
  return {
      std::abs(std::abs(slip) - std::abs(relative) * (pitch.p - t.p).norm()) / (std::abs(relative) * nearer),
      pitch.line_distance};
}

TEST(Demo, CapstanSlidesByTheDistanceToThePitchPointOnBothSidesOfTheCrossing) {
  const Prepared& p = as_found();
  FrictionlessPath path(p.action);
  int above = 0, below = 0;
  for (double dip = 0.2e-3; dip < p.regulated.dip; dip += 0.2e-3) {
    const auto state = path.at(dip);
    ASSERT_TRUE(state);
    const Miss m = miss_of_sliding_speed(p.action, state->q, kCapstanHeel, kKey, kWippen);
    ASSERT_GE(m.relative, 0);
    EXPECT_LT(m.relative, 1e-6);
    (m.line_distance > 0 ? above : below)++;
  }
  EXPECT_GT(above, 5);
  EXPECT_GT(below, 5);
}

// C4 while the jack rests on the wippen: the wippen turns through the stroke, the jack stands at its stop,
// the hammer is set down on the jack's top until the leather is pressed by 20 micrometres. The lever is left
// out of it: this is kinematics.
TEST(Demo, KnuckleSlidesByTheDistanceToThePitchPoint) {
  const Prepared& p = as_found();
  const Action& a = p.action;
  const auto c = static_cast<std::size_t>(a.contact[kJackKnuckle]);
  const double from = p.weighing.down.front().state.q[kWippen], to = p.weighing.down.back().state.q[kWippen];
  planar::Scratch s(a.mechanism);
  int above = 0, below = 0;
  for (int k = 0; k <= 60; ++k) {
    s.q = p.weighing.down.front().state.q;
    // This note's knuckle comes up to the line of centres without crossing it; the kinematics are followed
    // beyond the stroke.
    const double turn = (to - from) * 2.0 * k / 60;
    s.q[kWippen] = from + turn;
    s.q[kJack] += turn;
    double low = s.q[kHammer] - 0.3, high = s.q[kHammer] + 0.6;
    for (int it = 0; it < 60; ++it) {
      s.q[kHammer] = 0.5 * (low + high);
      a.mechanism.calc_geometry(s);
      (s.contact_points[c].depth > 20e-6 ? low : high) = s.q[kHammer];
    }
    const Miss m = miss_of_sliding_speed(a, s.q, kJackKnuckle, kWippen, kHammer);
    ASSERT_GE(m.relative, 0);
    EXPECT_LT(m.relative, 1e-6);
    (m.line_distance > 0 ? above : below)++;
  }
  EXPECT_GT(above, 5);
  EXPECT_GT(below, 5);
}

// C5, and C4 once the jack turns on the wippen: lever and jack ride on a moving centre, so the absolute
// instantaneous centre of each stands in for a fixed pivot (Kennedy: it, the hammer's centre and the pitch
// point are in line). The hammer's speed follows from the contact that neither opens nor sinks in.
double miss_on_moving_centre(const Action& a, const planar::VecQ& q, int place, int body, double wippen_speed,
                             double body_speed) {
  const auto c = static_cast<std::size_t>(a.contact[static_cast<std::size_t>(place)]);
  planar::Scratch s(a.mechanism);
  s.q = q;
  a.mechanism.calc_geometry(s);
  if (s.contact_points[c].depth <= 0) return -1;
  s.v = planar::VecQ::Zero(kBodyCount);
  s.v[kWippen] = wippen_speed;
  s.v[body] = body_speed;
  s.v[kHammer] = -s.J_d[c].dot(s.v) / s.J_d[c][kHammer];
  const Vec2 centre = s.poses[static_cast<std::size_t>(body)].o, c_H = s.poses[kHammer].o;
  const Vec2 v_centre = wippen_speed * base::perp(Vec2(centre - s.poses[kWippen].o));
  const Vec2 instantaneous = centre + base::perp(v_centre) / body_speed;
  const auto& t = s.contact_points[c];
  const auto pitch = find_pitch_point(instantaneous, c_H, t.p, t.n);
  const double relative = s.v[kHammer] - body_speed;
  const double nearer = std::min((t.p - centre).norm(), (t.p - c_H).norm());
  return std::abs(std::abs(s.J_t[c].dot(s.v)) - std::abs(relative) * (pitch.p - t.p).norm()) /
         (std::abs(relative) * nearer);
}

TEST(Demo, LeverAndEscapingJackSlideByTheirInstantaneousCentres) {
  const Prepared& p = as_found();
  int lever = 0, jack = 0;
  for (const auto& s : p.weighing.down) {
    // Turning with the wippen, against it, and faster: general numbers.
    for (const double share : {1.0, -0.43, 2.7}) {
      const double on_lever = miss_on_moving_centre(p.action, s.state.q, kLeverKnuckle, kLever, -1, -share);
      const double on_jack = miss_on_moving_centre(p.action, s.state.q, kJackKnuckle, kJack, -1, -share);
      if (on_lever >= 0) {
        EXPECT_LT(on_lever, 1e-6) << "at " << s.travel;
        ++lever;
      }
      if (on_jack >= 0) {
        EXPECT_LT(on_jack, 1e-6) << "at " << s.travel;
        ++jack;
      }
    }
  }
  EXPECT_GT(lever, 300);
  EXPECT_GT(jack, 50);
}

double potential(const Action& a, const run::StaticSample& s) {
  planar::Scratch w(a.mechanism);
  w.q = s.state.q;
  a.mechanism.calc_geometry(w);
  double e = a.mechanism.tree.gravity_energy(w.poses, a.mechanism.gravity) + a.mechanism.spring_energy(w.q);
  for (std::size_t i = 0; i < a.mechanism.contacts.size(); ++i)
    e += a.mechanism.contacts[i]->cloth.elastic_energy(w.contact_points[i].depth);
  return e;
}

// F dy = dV without friction, from 1 mm to just before the tender meets its button.
TEST(Demo, VirtualWorkEqualsPotentialEnergy) {
  const Prepared& p = as_found();
  FrictionlessPath path(p.action);
  const int steps = 400;
  const double from = 1e-3, to = p.regulated.dip_button - 0.05e-3, h = (to - from) / steps;
  double work = 0, first = 0, last = 0;
  for (int k = 0; k <= steps; ++k) {
    const auto s = path.sample_at(from + h * k);
    ASSERT_TRUE(s);
    const double weight = k == 0 || k == steps ? 1 : k % 2 ? 4 : 2;
    work += weight * s->force * h / 3;
    if (k == 0) first = potential(p.action, *s);
    if (k == steps) last = potential(p.action, *s);
    EXPECT_NEAR(s->force, s->ledger.stored, 1e-6 * s->force);
  }
  EXPECT_NEAR(work, last - first, 1e-6 * std::abs(last - first));
}

void expect_ledger_adds_up(const Prepared& p, double tolerance) {
  ASSERT_TRUE(p.weighing.ok) << p.weighing.failure;
  int checked = 0;
  for (std::size_t k = 0; k < p.weighing.down.size(); ++k) {
    const auto &down = p.weighing.down[k], &up = p.weighing.up[k];
    if (down.travel < p.weighing.window_from || down.travel > p.weighing.window_to) continue;
    const auto l = analysis::find_ledger(p.action.mechanism, down, up);
    EXPECT_LT(std::abs(l.misfit), tolerance) << "at " << down.travel;
    ++checked;
  }
  EXPECT_GT(checked, 100);
}

TEST(Demo, LedgerAddsUpOnCompliantSurfaces) { expect_ledger_adds_up(as_found(), 1e-6); }

TEST(Demo, LedgerAddsUpOnRigidSurfaces) {
  ActionDesign d = design_with({});
  for (ContactLaw& law : d.laws) law.cloth = law.cloth.scaled(1e4);
  level_key(d, {});
  expect_ledger_adds_up(prepare(d), 1e-9);
}

TEST(Demo, LedgerNoticesAPlantedError) {
  const Prepared& p = as_found();
  const std::size_t k = p.weighing.down.size() / 2;
  run::StaticSample wrong = p.weighing.down[k];
  wrong.ledger.pivot[kHammerCentre] *= 1.001;
  EXPECT_GT(std::abs(analysis::find_ledger(p.action.mechanism, wrong, p.weighing.up[k]).misfit), 1e-5);
}

// The hammer's centre: torque times how fast it turns, the greatest single row of this note.
TEST(Demo, LedgerRowsAreInTheirPlaces) {
  const Prepared& p = as_found();
  const std::size_t k = p.weighing.down.size() / 2;
  const auto l = analysis::find_ledger(p.action.mechanism, p.weighing.down[k], p.weighing.up[k]);
  const auto row = [&](const std::string& name, analysis::LedgerKind kind) {
    for (const auto& r : l.rows)
      if (r.name == name && r.kind == kind) return r.amount / kGf;
    ADD_FAILURE() << "no row " << name;
    return 0.0;
  };
  EXPECT_GT(row("hammer centre", analysis::LedgerKind::kPivot), 2);
  EXPECT_GT(row("wippen centre", analysis::LedgerKind::kPivot), 0.1);
  EXPECT_LT(row("hammer on string", analysis::LedgerKind::kFriction), 1e-12);
  double sum = 0;
  for (const auto& r : l.rows) sum += r.amount / kGf;
  EXPECT_NEAR(sum, 0.5 * (p.weighing.down[k].force - p.weighing.up[k].force) / kGf, 1e-5);
}

TEST(Demo, SlidePathOfTheCapstan) {
  const Prepared& p = as_found();
  const auto path =
      analysis::find_slide_path(p.action.mechanism, p.weighing.down, group_of(p.action, kCapstanHeel));
  // On a dome the contact wanders over the heel mostly by rolling: the way is several times the slide.
  EXPECT_GT(path.path_b, 3 * path.slide);
  EXPECT_GT(path.slide, 0.03e-3);
  EXPECT_LT(path.slide, 0.5e-3);
  EXPECT_GE(path.mark_from, heel_profile(p.design).x_start());
  EXPECT_LE(path.mark_to, heel_profile(p.design).x_end());
  EXPECT_EQ(path.reversals, static_cast<int>(path.crossings.size()));
  EXPECT_EQ(path.travel_on_edge, 0);
}

}  // namespace
}  // namespace leverwright::action
