// When the hammer is in the check after a soft blow, and what governs it: the tables of
// models/handbook/check_experiment.md.
//
//   build/tests/validation/experiments/check_experiment      (from the project's root, some minutes)
//
// Every row is the demo's base set-up with one thing different, regulated afresh by measure and by playing,
// and played at p, 1 m/s.
#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

#include "models/playing/finger_touches.h"
#include "models/playing/stroke_spread.h"
#include "models/remedies/read_case.h"

namespace leverwright::study {
namespace {

using case_file::CaseDescription;

CaseDescription demo() {
  CaseDescription d = remedies::read_case("cases/missed_heel/case.toml");
  d.set_ups.resize(1);
  return d;
}

SetUpResult solve(const CaseDescription& d) {
  CompareOptions options;
  options.uncertainty = false;
  return std::move(compare(d, options).set_ups.front());
}

std::string cell(double x, int digits) {
  return std::isfinite(x) ? fmt::format(" {:.{}f} |", x, digits) : std::string(" - |");
}

// Times after the string, ms.
struct Seen {
  double meets = NAN;                               // tail first on the check
  double held_half = NAN, held_fifth = NAN;         // within 0.5 and 0.2 mm of where it stays
  double slides_50 = NAN, slides_20 = NAN;          // last above 50, 20 mm/s
  double check = NAN;                               // last above 5 mm/s, without the leather's own shear
  double key_back = 0;                              // how far the key comes up again after its bottom [mm]
  double force = NAN, caught = NAN, rebound = NAN;  // of the finger when checked [N]; [mm]; [m/s]
};

Seen look_at(const action::Action& a, const action::StrokeResult& r, double release_at) {
  Seen out;
  const double string = r.event[action::kStringContact];
  const auto& s = r.series;
  const int contact = a.contact[action::kTailCheck];
  const auto& tail = s.places[static_cast<std::size_t>(a.mechanism.group_of(contact))];
  out.caught = r.measures.check_distance * 1e3;
  out.check = r.measures.check_time * 1e3;
  out.rebound = r.measures.rebound_speed;
  double deepest = 0;
  for (std::size_t k = 0; k < s.time.size(); ++k) {
    const double t = s.time[k];
    if (t < string || t > release_at) continue;
    const double after = (t - string) * 1e3;
    if (tail.normal[k] > 0 && std::isnan(out.meets)) out.meets = after;
    if (tail.normal[k] > 0 && std::abs(tail.slip[k]) > 0.05) out.slides_50 = after;
    if (tail.normal[k] > 0 && std::abs(tail.slip[k]) > 0.02) out.slides_20 = after;
    if (std::abs(s.string_gap[k] * 1e3 - out.caught) > 0.5) out.held_half = after;
    if (std::abs(s.string_gap[k] * 1e3 - out.caught) > 0.2) out.held_fifth = after;
    if (after < 60) {
      deepest = std::max(deepest, s.dip[k]);
      out.key_back = std::max(out.key_back, (deepest - s.dip[k]) * 1e3);
    }
    if (t <= r.event[action::kCheck]) out.force = s.finger_force[k];
  }
  return out;
}

action::PlayOptions finely() {
  action::PlayOptions o;
  o.stroke.output_interval = 1e-4;
  return o;
}

Seen press(const SetUpResult& s, double speed, double grows_to = 0, double within = 10e-3) {
  const action::Rest rest = action::build_rest(s.action, s.regulated.rest.q);
  const auto found = action::find_pressed_touch(s.action, rest, speed);
  const auto& t = found.touch;
  if (grows_to == 0)
    return look_at(s.action, action::play(s.action, rest, action::pressed_drive(s.action, t), finely()),
                   t.release_at);
  // The same force until the key is at its bottom, more from there on.
  const auto first = action::play(s.action, rest, action::pressed_drive(s.action, t), finely());
  const double bottom = first.event[action::kKeyBottom];
  run::Drive drive;
  drive.press(action::kKey, s.action.playing_point.r, base::Vec2(0, -1),
              std::make_shared<run::RampHistory>(
                  run::RampShape::kHalfCosine,
                  std::vector<double>{t.start, t.start + t.rise, bottom, bottom + within, t.release_at,
                                      t.release_at + t.fall},
                  std::vector<double>{0, t.plateau, t.plateau, grows_to, grows_to, 0}));
  return look_at(s.action, action::play(s.action, rest, drive, finely()), t.release_at);
}

void write_head(const std::string& first) {
  fmt::print(
      "| {} | leaves the string, m/s | tail meets check, ms | held within 0.5 mm, ms | check, ms | key comes "
      "up "
      "again, mm | finger then, N | caught, mm |\n|---|---|---|---|---|---|---|---|\n",
      first);
}
void write_row(const std::string& name, const Seen& x) {
  fmt::print("| {} |{}{}{}{}{}{}{}\n", name, cell(x.rebound, 2), cell(x.meets, 1), cell(x.held_half, 1),
             cell(x.check, 1), cell(x.key_back, 2), cell(x.force, 1), cell(x.caught, 1));
}

void write_touches(const SetUpResult& s, const CaseDescription& d) {
  fmt::print("\n## What the finger does\n\n");
  write_head("played at p");
  write_row("a bare force that stays as it is", press(s, 1.0));
  for (const double force : {2.0, 3.0, 5.0, 10.0})
    write_row(fmt::format("the same, growing to {:g} N within 10 ms of the key's bottom", force),
              press(s, 1.0, force));
  write_row("growing to 5 N within 3 ms", press(s, 1.0, 5.0, 3e-3));
  for (const bool struck : {false, true}) {
    const PlayedTouch t = playing::play_finger_touch(d, s, "p", struck);
    Seen x = look_at(s.action, t.stroke, t.stroke.facts.released_at);
    write_row(struck ? "a finger that strikes from above" : "a finger that presses, with flesh and arm", x);
  }
}

void write_definitions(const SetUpResult& s) {
  fmt::print(
      "\n## What counts as checked\n\nPressed by a bare force.\n\n| touch | tail meets check, ms | last "
      "above 50 "
      "mm/s | above 20 mm/s | above 5 mm/s, the program's | held within 0.5 mm | within 0.2 mm "
      "|\n|---|---|---|---|---|---|---|\n");
  for (const double speed : {1.0, 1.2, 1.4, 2.0, 4.5, 6.0}) {
    const Seen x = press(s, speed);
    fmt::print("| {:.1f} m/s |{}{}{}{}{}{}\n", speed, cell(x.meets, 1), cell(x.slides_50, 1),
               cell(x.slides_20, 1), cell(x.check, 1), cell(x.held_half, 1), cell(x.held_fifth, 1));
  }
}

void write_variants(const CaseDescription& d) {
  fmt::print("\n## Leather, distance, inertia, spring\n\nPressed by a bare force at p.\n\n");
  write_head("changed");
  const auto with = [&](const std::string& name, const std::vector<std::pair<std::string, double>>& moves) {
    CaseDescription changed = d;
    for (const auto& [key, value] : moves) changed.quantities.at(key).value = value;
    const SetUpResult s = solve(changed);
    if (!s.weighing.ok) {
      fmt::print("| {} | not regulated | | | | | | |\n", name);
      return;
    }
    write_row(name, press(s, 1.0));
  };
  with("nothing", {});
  for (const auto& [key, q] : d.quantities) {
    if (key.rfind("contact.tail_check.", 0) != 0 || q.knowledge == case_file::Knowledge::kExact) continue;
    const std::string name = "leather " + key.substr(19);
    const double low = q.high > q.low ? q.low : q.value - q.sigma;
    const double high = q.high > q.low ? q.high : q.value + q.sigma;
    with(fmt::format("{} at the low end, {:.3g} for {:.3g}", name, low, q.value), {{key, low}});
    with(fmt::format("{} at the high end, {:.3g}", name, high), {{key, high}});
  }
  for (const double mm : {16.5, 14.5, 13.5, 12.0})
    with(fmt::format("checking at {:g} mm instead of 15.5", mm), {{"regulation.checking", mm * 1e-3}});
  for (const std::string key : {"hammer.gyration", "measured.strike_weight"}) {
    if (d.quantities.count(key) == 0) continue;
    const auto& q = d.quantity(key);
    with(fmt::format("{} 5 % less", key), {{key, 0.95 * q.value}});
    with(fmt::format("{} 5 % more", key), {{key, 1.05 * q.value}});
  }
  with("spring so that the released hammer rises with 50 to 80 mm/s",
       {{"regulation.spring_rise_low", 0.05}, {"regulation.spring_rise_high", 0.08}});
  with("spring so that it rises with 250 to 300 mm/s",
       {{"regulation.spring_rise_low", 0.25}, {"regulation.spring_rise_high", 0.3}});
}

void write_spread(const CaseDescription& d) {
  playing::SpreadOptions options;
  options.touches = {"p", "mf", "f", "ff"};
  const auto spread = playing::find_stroke_spread(
      d, 0,
      [](const SetUpResult& s) {
        playing::Answers out;
        for (const PlayedTouch& t : s.touches) {
          if (!t.found.found) continue;
          out[t.name + ", check"] = t.stroke.measures.check_time * 1e3;
          out[t.name + ", held within 0.5 mm"] = find_held_time(t) * 1e3;
        }
        return out;
      },
      options);
  fmt::print(
      "\n## What the measurements leave open\n\nEvery uncertain input moved by one standard deviation, "
      "everything "
      "regulated and played again.\n\n| answer | standard deviation, ms | largest share | of the variance, % "
      "| inputs "
      "that leave none |\n|---|---|---|---|---|\n");
  for (const auto& [name, s] : spread)
    fmt::print("| {} | {:.1f} | {} | {:.0f} | {} |\n", name, s.sigma, s.dominant, 100 * s.dominant_share,
               s.lost);
}

}  // namespace
}  // namespace leverwright::study

int main() {
  using namespace leverwright::study;
  const auto d = demo();
  const SetUpResult s = solve(d);
  write_touches(s, d);
  write_definitions(s);
  write_variants(d);
  write_spread(d);
  return 0;
}
