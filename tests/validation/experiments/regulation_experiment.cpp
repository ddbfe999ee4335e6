// Regulation on random actions, along scans of a measurement, and against a slow finger played in time.
//
//   regulation_experiment regulate COUNT [SEED]           random actions (tests/support/random_action.h) regulated
//                                                         and weighed
//   regulation_experiment slow COUNT [SEED [SPEED]]       let-off, aftertouch and drop against a key led at SPEED
//                                                         (3 mm/s) and at half of it
//   regulation_experiment slow-rate-free COUNT [SEED [SPEED]]   the same, all laws without their part that grows with speed
//   regulation_experiment scan CASE KEY FROM TO STEP      one measurement of a case's base varied (mm)
// Prints counts, every failure's requirement, times and the worst. Run by hand; the tests run short versions.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <ctime>
#include <map>
#include <random>

#include "models/action/weigh.h"
#include "models/remedies/read_case.h"
#include "sim/base/error.h"
#include "sim/base/units.h"
#include "tests/support/random_action.h"
#include "tests/support/slow_finger.h"

namespace {

using namespace leverwright;
using action::ActionDesign;
using action::Regulated;

// Processor time: other programs on the machine do not count.
double now() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

constexpr const char* kModel = "cases/missed_heel/case.toml";

struct Tally {
  std::map<std::string, int> failures;
  std::vector<double> seconds;
  int tried = 0, regulated = 0, weighed = 0;

  void print() {
    std::sort(seconds.begin(), seconds.end());
    fmt::print("tried {}, regulated {} ({:.2f} %), of these weighed {}\n", tried, regulated,
               100.0 * regulated / tried, weighed);
    if (!seconds.empty())
      fmt::print("processor time each: median {:.0f} ms, 99 % {:.0f} ms, longest {:.0f} ms\n",
                 1e3 * seconds[seconds.size() / 2], 1e3 * seconds[seconds.size() * 99 / 100],
                 1e3 * seconds.back());
    for (const auto& [what, count] : failures) fmt::print("  {:5d}  {}\n", count, what);
  }
};

void try_one(const case_file::CaseDescription& d, Tally& tally, const std::string& name) {
  ++tally.tried;
  const double start = now();
  std::string failure;
  try {
    ActionDesign design = action::design(d, d.set_ups.front());
    const Regulated r = action::regulate_base(design, {}, design.policy);
    if (!r.ok) {
      const auto& f = r.failures.empty() ? action::Failure{"nothing named", 0, 0, ""} : r.failures.front();
      failure = "not regulated: " + f.requirement;
      fmt::print("{}: {} wanted {:.4f} mm, best {:.4f} mm; {}\n", name, failure, f.wanted * 1e3, f.best * 1e3,
                 f.advice);
    } else {
      ++tally.regulated;
      const action::Weighing w = action::weigh(action::assemble(design, r.screws), r);
      if (w.ok) {
        ++tally.weighed;
        if (!(w.down_weight >= w.up_weight) || !std::isfinite(w.down_weight)) failure = "weighed: no sense";
      } else {
        failure = "not weighed: " + (w.jam.jammed ? "jams at " + w.jam.place : w.failure);
      }
      if (!failure.empty()) fmt::print("{}: {}\n", name, failure);
    }
  } catch (const base::UserError& e) {
    failure = "refused: " + e.problems().front().what;
    fmt::print("{}: {}\n", name, failure);
  }
  tally.seconds.push_back(now() - start);
  if (tally.seconds.back() > 1) fmt::print("{}: {:.1f} s\n", name, tally.seconds.back());
  if (!failure.empty()) ++tally.failures[failure];
  std::fflush(stdout);
}

int regulate_many(int count, std::uint64_t seed) {
  const auto model = remedies::read_case(kModel);
  std::mt19937_64 engine(seed);
  Tally tally;
  int drawn = 0;
  while (tally.tried < count) {
    const auto d = support::draw_action(model, engine);
    ++drawn;
    if (d) try_one(*d, tally, fmt::format("draw {}", drawn));
  }
  fmt::print("seed {}, drawn {}, rejected by geometry {} ({:.1f} %)\n", seed, drawn, drawn - tally.tried,
             100.0 * (drawn - tally.tried) / drawn);
  tally.print();
  return 0;
}

// One draw, looked at closely.
int look_at_one(int wanted, std::uint64_t seed) {
  const auto model = remedies::read_case(kModel);
  std::mt19937_64 engine(seed);
  std::optional<case_file::CaseDescription> d;
  for (int k = 0; k < wanted; ++k) d = support::draw_action(model, engine);
  if (!d) return 1;
  for (const char* key : {"measured.spread", "measured.key_front_length", "measured.key_rear_length",
                          "measured.hanging_distance", "measured.knuckle_diameter", "measured.hammer_length",
                          "measured.bore", "wippen.jack_length", "wippen.lever_top_y",
                          "wippen.lever_spring_torque", "measured.strike_weight", "measured.front_weight",
                          "frame.let_off_button_y", "frame.drop_screw_y", "contact.jack_knuckle.friction"})
    fmt::print("{} {}\n", key, d->value(key) * 1e3);
  ActionDesign design = action::design(*d, d->set_ups.front());
  const Regulated r = action::regulate_base(design, {}, design.policy);
  fmt::print(
      "regulated {}, let-off {:.3f} at {:.3f}, drop {:.3f} at {:.3f}, dip {:.3f}, button {:.3f}, drop screw "
      "{:.3f} mm\n",
      r.ok, r.let_off * 1e3, r.dip_let_off * 1e3, r.drop * 1e3, r.dip_drop * 1e3, r.dip * 1e3,
      r.dip_button * 1e3, r.dip_drop_screw * 1e3);
  const action::Action a = action::assemble(design, r.screws);
  run::StaticSolver solver(a.mechanism, action::kKey, a.playing_point, true);
  run::StaticState s = solver.initial(r.rest.q);
  const double step = 0.05e-3;
  int way = 1;
  for (double dip = 0; dip >= 0;) {
    run::StaticState n = s;
    if (!solver.settle(solver.driven_for(r.travel_rest + dip), n)) {
      fmt::print("{} lost at {:.3f}, residual {}\n", way > 0 ? "down" : "up", dip * 1e3,
                 solver.last_residual());
      break;
    }
    const auto sample = solver.sample(solver.last_from(), n);
    s = n;
    fmt::print("{} {:.3f} gap {:.4f} force {:.2f}", way > 0 ? "down" : "up", dip * 1e3,
               a.string_gap(s.q) * 1e3, sample.force / base::kGramForce);
    for (std::size_t i = 0; i < sample.normal.size(); ++i)
      if (sample.normal[i] != 0) fmt::print(" {}:{:.3f}", a.mechanism.contacts[i]->name, sample.normal[i]);
    fmt::print("\n");
    if (dip >= r.dip) way = -1;
    dip += way * step;
  }
  return 0;
}

// The action without what grows with speed: loss of cloths and bushings in quick motion. Hysteresis and dry friction
// stay, so the quasi-static path is the same.
ActionDesign without_speed(ActionDesign d) {
  for (auto& law : d.laws) {
    const auto& c = law.cloth;
    const auto& f = law.friction;
    law.cloth =
        planar::Cloth(c.reference_force(), c.reference_compression(), c.exponent(), c.hysteresis(), 0.0, 0.0);
    law.friction = planar::DryFriction(f.mu(), f.shear_share(), c.exponent(), f.nap_shear(), 0.0);
  }
  for (auto& p : d.pivots) p = planar::PivotFriction(p.coulomb(), p.load_radius(), 0.0, p.yield_angle());
  return d;
}

int slow_many(int count, std::uint64_t seed, bool rate_free, double speed) {
  const auto model = remedies::read_case(kModel);
  std::mt19937_64 engine(seed);
  std::vector<double> let_off, after, drop, let_off_2, after_2, drop_2;
  int missing = 0;
  for (int done = 0; done < count;) {
    const auto d = support::draw_action(model, engine);
    if (!d) continue;
    ActionDesign design = action::design(*d, d->set_ups.front());
    const Regulated r = action::regulate_base(design, {}, design.policy);
    if (!r.ok) continue;
    ++done;
    const action::Action a = action::assemble(rate_free ? without_speed(design) : design, r.screws);
    const support::SlowFinger s = support::play_slow_finger(a, r, speed),
                              t = support::play_slow_finger(a, r, 0.5 * speed);
    if (!s.let_off_found || !t.let_off_found) {
      ++missing;
      continue;
    }
    let_off.push_back(std::abs(s.let_off - r.let_off));
    after.push_back(std::abs(s.dip_let_off - r.dip_let_off));
    drop.push_back(std::abs(s.drop - r.drop));
    let_off_2.push_back(std::abs(s.let_off - t.let_off));
    after_2.push_back(std::abs(s.dip_let_off - t.dip_let_off));
    drop_2.push_back(std::abs(s.drop - t.drop));
    fmt::print("let-off {:.3f} {:.3f} {:.3f}  dip there {:.3f} {:.3f} {:.3f}  drop {:.3f} {:.3f} {:.3f} mm\n",
               r.let_off * 1e3, s.let_off * 1e3, t.let_off * 1e3, r.dip_let_off * 1e3, s.dip_let_off * 1e3,
               t.dip_let_off * 1e3, r.drop * 1e3, s.drop * 1e3, t.drop * 1e3);
    std::fflush(stdout);
  }
  const auto say = [](const std::string& what, std::vector<double> x, double limit) {
    std::sort(x.begin(), x.end());
    if (x.empty()) return;
    fmt::print("{:34} median {:.4f}, 95 % {:.4f}, worst {:.4f} mm; within {:.3f}: {} of {}\n", what,
               x[x.size() / 2] * 1e3, x[x.size() * 95 / 100] * 1e3, x.back() * 1e3, limit * 1e3,
               std::count_if(x.begin(), x.end(), [&](double v) { return v <= limit; }), x.size());
  };
  fmt::print("seed {}, {} actions, {} without let-off when played\n", seed, count, missing);
  say(fmt::format("let-off, {:.2g} mm/s against regulation", speed * 1e3), let_off, 0.05e-3);
  say("aftertouch", after, 0.05e-3);
  say("drop", drop, 0.15e-3);
  say(fmt::format("let-off, {:.2g} against {:.2g} mm/s", speed * 1e3, speed * 500), let_off_2, 0.025e-3);
  say("aftertouch", after_2, 0.025e-3);
  say("drop", drop_2, 0.075e-3);
  return 0;
}

int scan(const std::string& path, const std::string& key, double from, double to, double step) {
  auto d = remedies::read_case(path);
  Tally tally;
  for (int k = 0; from + k * step <= to + 1e-9; ++k) {
    d.quantities.at(key).value = (from + k * step) * 1e-3;
    try_one(d, tally, fmt::format("{} {:.2f} mm", key, from + k * step));
  }
  tally.print();
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  const auto seed = [&](int at) { return argc > at ? std::stoull(argv[at]) : 20261128ull; };
  const auto speed = [&](int at) { return argc > at ? std::stod(argv[at]) * 1e-3 : 3e-3; };
  if (argc > 2 && !std::strcmp(argv[1], "regulate")) return regulate_many(std::stoi(argv[2]), seed(3));
  if (argc > 2 && !std::strcmp(argv[1], "look")) return look_at_one(std::stoi(argv[2]), seed(3));
  if (argc > 2 && !std::strcmp(argv[1], "slow"))
    return slow_many(std::stoi(argv[2]), seed(3), false, speed(4));
  if (argc > 2 && !std::strcmp(argv[1], "slow-rate-free"))
    return slow_many(std::stoi(argv[2]), seed(3), true, speed(4));
  if (argc > 6 && !std::strcmp(argv[1], "scan"))
    return scan(argv[2], argv[3], std::stod(argv[4]), std::stod(argv[5]), std::stod(argv[6]));
  fmt::print(
      "regulate COUNT [SEED] | slow COUNT [SEED [SPEED]] | slow-rate-free COUNT [SEED [SPEED]] | scan CASE KEY FROM TO STEP\n");
  return 2;
}
