// What the slowest even key that still sounds owes to which feature: the tables of
// models/handbook/least_speed.md.
//
//   build/tests/validation/experiments/least_speed_experiment      (from the project's root, about a minute)
//
// The demo's note as found, let-off set by the button alone.
#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "models/action/finger_touch.h"
#include "models/playing/least_speed.h"
#include "tests/models/action_play/played.h"

namespace leverwright::study {
namespace {

using action::Action;
using action::ActionDesign;
using action::Regulated;

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kLetOffs[] = {1e-3, 2e-3, 3e-3, 5e-3};

struct At {
  ActionDesign design;
  Regulated regulated;
  Action build() const { return action::assemble(design, regulated.screws); }
};

At with_let_off(double let_off) {
  const action::Played& p = action::played_as_found();
  At out{p.design, {}};
  out.design.let_off = let_off;
  out.regulated = action::regulate(out.design, p.regulated.screws, out.design.policy);
  return out;
}

At smooth(At a) {
  for (action::ContactLaw& law : a.design.laws) law.friction = planar::DryFriction();
  return a;
}

At elastic(At a) {
  for (action::ContactLaw& law : a.design.laws) law.cloth = law.cloth.elastic_only();
  return a;
}

At without_centres(At a) {
  for (planar::PivotFriction& pivot : a.design.pivots) pivot = planar::PivotFriction();
  return a;
}

// The hammer as one mass on a train without mass: I omega_dot = torque of the slow train held at its angle,
// by velocity Verlet.
bool sounds_alone(const At& at, double speed) {
  constexpr double kBefore = 1e-3, kStep = 1e-4, kHold = 1e3;  // [m], [s], [N m/rad]
  const Action a = at.build();
  Action held = at.build();
  held.mechanism.springs.push_back({"hold", planar::kGround, action::kHammer, 0.0, kHold});
  run::StaticSolver train(held.mechanism, action::kKey, held.playing_point, true);
  const playing::EvenKey from = playing::find_even_key(a, at.regulated.dip_button - kBefore);
  const planar::Body& h = a.mechanism.tree.body(action::kHammer);
  const double inertia = h.inertia_cm + h.mass * h.p_cm.squaredNorm();
  run::StaticState state = from.state;
  double angle = state.q[action::kHammer], omega = from.rates[action::kHammer] * speed, dip = from.dip;
  const auto acceleration = [&] {
    held.mechanism.springs.back().preload = kHold * angle;
    if (!train.settle(train.driven_for(from.travel_rest + dip), state)) return kNone;
    return kHold * (state.q[action::kHammer] - angle) / inertia;
  };
  double turn = acceleration();
  while (std::isfinite(turn)) {
    omega += 0.5 * kStep * turn;
    angle += kStep * omega;
    dip += kStep * speed;
    if (dip > at.regulated.dip) return false;
    turn = acceleration();
    omega += 0.5 * kStep * turn;
    planar::VecQ q = state.q;
    q[action::kHammer] = angle;
    if (a.string_gap(q) < 0) return true;
  }
  return false;
}

// A key set off from rest, even after `run_up`.
double least_from_rest(const At& at, double run_up) {
  const Action a = at.build();
  const action::Rest rest = action::build_rest(a, at.regulated.rest.q);
  return playing::find_slowest([&](double speed) {
    action::FingerTouch way;
    way.struck = false;
    way.run_up = run_up;
    way.over = 0;
    way.dip = at.regulated.dip;
    way.stop = 1e-3;
    way.speed = speed;
    action::PlayOptions o;
    o.duration = way.stops_at() + 0.02;
    o.release_at = 1e3;
    o.stop_at_string = true;
    o.stroke.output_interval = 0;
    return action::play(a, rest, action::key_motion_drive(a, rest, action::hand_history(way)), o)
        .happened(action::kStringContact);
  });
}

std::string cell(double metres_per_second) {
  return std::isfinite(metres_per_second) ? fmt::format(" {:.1f} |", metres_per_second * 1e3)
                                          : std::string(" - |");
}

template <class F>
void row(const std::string& name, const F& value) {
  std::string line = "| " + name + " |";
  for (const double let_off : kLetOffs) line += cell(value(with_let_off(let_off)));
  fmt::print("{}\n", line);
  std::fflush(stdout);
}

void write_tables() {
  fmt::print(
      "## What each step adds\n\nmm/s.\n\n| road | 1 mm | 2 mm | 3 mm | 5 mm |\n|---|---|---|---|---|\n");
  const auto form = [](const At& at) { return playing::find_least_speed(at.build(), at.regulated); };
  row("plain: ratio up to let-off, then free", [&](const At& at) { return form(smooth(at)).plain; });
  row("rigid slow path, thrown off where it pleases", [&](const At& at) { return form(smooth(at)).rigid; });
  row("thrown at the button, nothing pushes after", [&](const At& at) {
    const playing::LeastSpeed f = form(smooth(at));
    return std::sqrt(2 * f.fall * f.gap_button) / f.ratio;
  });
  row("closed: pushed on over lambda, no loss in cloths",
      [&](const At& at) { return form(elastic(smooth(at))).closed; });
  row("closed, cloths with their loss", [&](const At& at) { return form(smooth(at)).closed; });
  row("hammer alone on the slow train, integrated", [&](const At& at) {
    return playing::find_slowest([s = smooth(at)](double speed) { return sounds_alone(s, speed); });
  });
  const auto played = [](const At& at) { return playing::play_least_speed(at.build(), at.regulated); };
  row("**played, no friction between surfaces**", [&](const At& at) { return played(smooth(at)); });
  row("the same without friction in centres and bushings",
      [&](const At& at) { return played(without_centres(smooth(at))); });
  row("closed for that", [&](const At& at) { return form(without_centres(smooth(at))).closed; });
  row("**played, every friction**", [&](const At& at) { return played(at); });
  row("closed, every friction", [&](const At& at) { return form(at).closed; });

  fmt::print("\n| at the button | 1 mm | 2 mm | 3 mm | 5 mm |\n|---|---|---|---|---|\n");
  std::string gap = "| gap(b), mm |", pushed = "| lambda, mm |", ratio = "| i(b) |",
              rigid = "| rigid path: thrown at a gap of, mm |";
  for (const double let_off : kLetOffs) {
    const playing::LeastSpeed f = form(smooth(with_let_off(let_off)));
    gap += fmt::format(" {:.2f} |", f.gap_button * 1e3);
    pushed += fmt::format(" {:.2f} |", f.pushed * 1e3);
    ratio += fmt::format(" {:.2f} |", f.ratio);
    rigid += fmt::format(" {:.2f} |", f.rigid_gap * 1e3);
  }
  fmt::print("{}\n{}\n{}\n{}\n", gap, pushed, ratio, rigid);

  fmt::print(
      "\n## The ratio pauses while the jack trips\n\nLet-off 1 mm, slow path.\n\n| dip after the button, mm "
      "| gap, mm | ratio |\n|---|---|---|\n");
  const At one = with_let_off(1e-3);
  const Action a = one.build();
  action::FrictionlessPath path(a);
  for (const double after : {-0.2, 0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1}) {
    const auto s = path.sample_at(one.regulated.dip_button + after * 1e-3);
    if (s)
      fmt::print("| {:.1f} | {:.2f} | {:.2f} |\n", after, a.string_gap(s->state.q) * 1e3, -path.gap_rate(*s));
  }

  fmt::print(
      "\n## Where the even key starts\n\nmm/s; without friction between surfaces / with every friction.\n\n| "
      "before the button, mm | 1 mm | 2 mm | 3 mm | 5 mm |\n|---|---|---|---|---|\n");
  for (const double before : {0.5e-3, 1e-3, 2e-3, 3e-3}) {
    std::string line = fmt::format("| {:.1f} |", before * 1e3);
    for (const double let_off : kLetOffs) {
      const At at = with_let_off(let_off);
      line += fmt::format(" {:.1f} / {:.1f} |",
                          playing::play_least_speed(smooth(at).build(), at.regulated, before) * 1e3,
                          playing::play_least_speed(at.build(), at.regulated, before) * 1e3);
    }
    fmt::print("{}\n", line);
    std::fflush(stdout);
  }

  fmt::print(
      "\n## A key that sets off from rest\n\nmm/s; without friction between surfaces / with every "
      "friction.\n\n| run-up, mm | 1 mm | 2 mm | 3 mm | 5 mm |\n|---|---|---|---|---|\n");
  for (const double run_up : {3e-3, 4e-3, 5e-3, 6e-3, 6.5e-3}) {
    std::string line = fmt::format("| {:.1f} |", run_up * 1e3);
    for (const double let_off : kLetOffs) {
      const At at = with_let_off(let_off);
      line += fmt::format(" {:.1f} / {:.1f} |", least_from_rest(smooth(at), run_up) * 1e3,
                          least_from_rest(at, run_up) * 1e3);
    }
    fmt::print("{}\n", line);
    std::fflush(stdout);
  }
}

}  // namespace
}  // namespace leverwright::study

int main() {
  leverwright::study::write_tables();
  return 0;
}
