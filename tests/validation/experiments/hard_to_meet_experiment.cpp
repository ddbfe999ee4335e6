// Which physical feature governs what is hard to meet: the tables of models/handbook/hard_to_meet.md.
//
//   build/tests/validation/experiments/hard_to_meet_experiment      (from the project's root, about a minute)
//
// Every row is the demo's base set-up with an option of the model switched on or numbers moved inside their
// documented ranges, regulated afresh by measure and by playing, then pressed so that the hammer meets the
// string at the stated speed.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "models/action/options.h"
#include "tests/models/action_play/played.h"

namespace leverwright::action {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
using Moves = std::vector<std::pair<std::string, double>>;  // key of the case, SI value

struct Variant {
  std::string name;
  std::vector<Option> options;
  Moves moves;
  double finger_mass = 0;  // [kg]; 0: a force without mass
};

ActionDesign design_for(const Variant& v) {
  case_file::CaseDescription d = demo_case();
  for (const Option o : v.options) d = with_option(d, o, true);
  for (const auto& [key, value] : v.moves) d.quantities.at(key).value = value;
  ActionDesign out = design(d, d.set_ups.front());
  level_key(out, {});
  return out;
}

std::string cell(double x, int digits) {
  return std::isfinite(x) ? fmt::format(" {:.{}f} |", x, digits) : std::string(" - |");
}

// The stroke at a hammer speed: force without mass, or of a finger whose mass rides on the key through its
// pad, the plateau found by halving.
StrokeResult stroke_at(const Played& p, double speed, double finger_mass, bool& found) {
  if (finger_mass == 0) {
    PressedTouch start;
    start.release_at = speed < 0.45 ? 0.9 : 0.4;
    PlayOptions options;
    options.release_at = start.release_at;
    options.duration = start.release_at + 0.3;
    const FoundTouch touch = find_pressed_touch(p.action, p.rest, speed, start, options);
    found = touch.found;
    return play(p.action, p.rest, pressed_drive(p.action, touch.touch), options);
  }
  Finger finger;
  finger.mass = finger_mass;
  const Action a = assemble(p.design, p.regulated.screws, &finger);
  const Rest rest = build_rest(a, p.regulated.rest.q);
  PlayOptions options;
  options.release_at = 0.9;
  options.duration = 1.1;
  options.stroke.output_interval = 0;
  const auto with_force = [&](double force) {
    return play(a, rest,
                finger_drive(a, std::make_shared<run::RampHistory>(
                                    run::RampShape::kHalfCosine, std::vector<double>{5e-3, 45e-3, 0.9, 0.93},
                                    std::vector<double>{0, force, force, 0})),
                options);
  };
  double low = 0.2, high = 150;
  StrokeResult r;
  for (int k = 0; k < 22; ++k) {
    const double middle = std::sqrt(low * high);
    r = with_force(middle);
    const double v = r.happened(kStringContact) ? r.measures.hammer_speed : 0.0;
    found = std::abs(v / speed - 1) < 2e-3;
    if (found) break;
    (v < speed ? low : high) = middle;
  }
  return r;
}

const std::vector<double> kSpeeds = {0.3, 0.5, 1.0, 1.4, 2.0, 2.8, 3.8, 4.5, 6.0};

void key_bottom_row(const Variant& v) {
  const Played p = regulate_and_play(design_for(v));
  std::string line = fmt::format("| {} |", v.name);
  if (!p.regulated.ok) {
    fmt::print("{} not regulated: {} |\n", line, p.regulated.failures.front().requirement);
    return;
  }
  line += cell(p.regulated.aftertouch * 1e3, 2);
  double zero = kNone, before = kNone, at_before = 0;
  for (const double speed : kSpeeds) {
    bool found = false;
    const StrokeResult r = stroke_at(p, speed, v.finger_mass, found);
    const double late = found ? r.measures.key_bottom_after_string * 1e3 : kNone;
    line += cell(late, 1);
    if (before > 0 && late <= 0 && !std::isfinite(zero))
      zero = at_before + (speed - at_before) * before / (before - late);
    before = late;
    at_before = speed;
  }
  fmt::print("{}{}\n", line, cell(zero, 1));
}

void key_bottom_table() {
  fmt::print("| what | aftertouch, mm |");
  for (const double v : kSpeeds) fmt::print(" {:.1f} m/s |", v);
  fmt::print(" zero at, m/s |\n|---|---|");
  for (std::size_t k = 0; k < kSpeeds.size(); ++k) fmt::print("---|");
  fmt::print("---|\n");
  const std::vector<Option> every = {kBalancePunching, kCheckWire, kDamperLever};
  const std::vector<Variant> rows = {
      {"no option", {}, {}, 0},
      {"balance punching", {kBalancePunching}, {}, 0},
      {"balance punching, twice as soft", {kBalancePunching}, {{"balance_punching.test_force", 1.5}}, 0},
      {"balance punching, twice as hard", {kBalancePunching}, {{"balance_punching.test_force", 6.0}}, 0},
      {"balance punching, 8 mm across", {kBalancePunching}, {{"balance_punching.diameter", 8e-3}}, 0},
      {"balance punching, dip 9.5 mm", {kBalancePunching}, {{"regulation.dip", 9.5e-3}}, 0},
      {"check wire", {kCheckWire}, {}, 0},
      {"damper", {kDamperLever}, {}, 0},
      {"these three", every, {}, 0},
      {"dip 9.9 mm", {}, {{"regulation.dip", 9.9e-3}}, 0},
      {"dip 10.7 mm", {}, {{"regulation.dip", 10.7e-3}}, 0},
      {"front punching half as hard", {}, {{"contact.key_front_punching.test_force", 10.0}}, 0},
      {"front punching half as hard again", {}, {{"contact.key_front_punching.test_force", 30.0}}, 0},
      {"finger of 50 g", {}, {}, 0.05},
      {"finger of 200 g", {}, {}, 0.2},
      {"finger of 800 g", {}, {}, 0.8},
      {"these three, finger of 200 g", every, {}, 0.2},
  };
  for (const Variant& v : rows) key_bottom_row(v);
}

// How the tail is held at ff when the key is about to be let go.
struct Held {
  double force = 0, give = 0, angle = 0, radius = 0, distance = 0;  // [N], [m], [rad], [m], [m]
};

Held find_held(const Played& p, const StrokeResult& r) {
  Held out;
  const auto& place = r.series.places[at(p.action.mechanism.group_of(p.action.contact[kTailCheck]))];
  std::size_t last = 0;
  for (std::size_t k = 0; k < r.series.time.size(); ++k)
    if (r.series.time[k] < r.facts.released_at - 1e-3) last = k;
  out.force = place.normal[last];
  const base::Vec2 arm = base::Vec2(place.x[last], place.y[last]) - p.design.p_H;
  const base::Vec2 normal(std::cos(place.direction[last]), std::sin(place.direction[last]));
  out.radius = arm.norm();
  out.angle = std::asin(std::abs(base::cross(arm / out.radius, normal)));
  out.distance = r.measures.check_distance;
  if (p.action.check_body < 0) return out;
  const auto& head = r.series.position[at(p.action.check_body)];
  const auto& key = r.series.position[at(kKey)];
  out.give = std::abs((head[last] - key[last]) - (head.front() - key.front())) *
             p.design.key_options.wire.hinge_below();
  return out;
}

// By the wedge: where the face gives way by `give`, less what the leather is squeezed less, the tail has to
// go 1 / tan(angle) of it further. Crown against tail by their distances from the hammer centre.
double wedge(const Played& p, const Held& rigid, const Held& held) {
  const planar::Cloth& leather = p.design.laws[kTailCheck].cloth;
  const double way = held.give - (leather.compression(rigid.force) - leather.compression(held.force));
  return way / std::tan(held.angle) * p.design.hammer_length / held.radius;
}

void check_row(const Variant& v) {
  static Held rigid;  // of the first row
  const Played p = regulate_and_play(design_for(v));
  std::string distance, time, peak;
  for (const double speed : {1.0, 2.0, 4.5, 6.0}) {
    bool found = false;
    const StrokeResult r = stroke_at(p, speed, 0, found);
    distance += cell(found ? r.measures.check_distance * 1e3 : kNone, 1);
    time += cell(found ? r.measures.check_time * 1e3 : kNone, 0);
    if (speed != 6.0) continue;
    peak = cell(r.peak_normal[at(p.action.mechanism.group_of(p.action.contact[kTailCheck]))], 0);
    if (!found || !std::isfinite(r.measures.check_distance)) continue;
    const Held held = find_held(p, r);
    if (rigid.force == 0) rigid = held;
    const bool wire = p.action.check_body >= 0;
    peak += cell(held.force, 0) + cell(wire ? held.give * 1e3 : kNone, 2) +
            cell(held.angle / base::kDegree, 1) +
            cell(wire ? (held.distance - rigid.distance) * 1e3 : kNone, 1) +
            cell(wire ? wedge(p, rigid, held) * 1e3 : kNone, 1);
  }
  fmt::print("| {} |{}{}{}\n", v.name, distance, time, peak);
  std::fflush(stdout);
}

void check_table() {
  fmt::print(
      "| what | p, mm | mf, mm | f, mm | ff, mm | p, ms | mf, ms | f, ms | ff, ms | ff on the check, N | "
      "held "
      "with, N | wire gives then, mm | face to the tail's way, deg | lower than rigid, mm | by the wedge, mm "
      "|\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n");
  const std::vector<Variant> rows = {
      {"no option", {}, {}, 0},
      {"check wire, 3.3 mm steel", {kCheckWire}, {}, 0},
      {"check wire, 2.8 mm", {kCheckWire}, {{"check_wire.diameter", 2.8e-3}}, 0},
      {"check wire, 3.8 mm", {kCheckWire}, {{"check_wire.diameter", 3.8e-3}}, 0},
      {"check wire, 4.5 mm (out of range)", {kCheckWire}, {{"check_wire.diameter", 4.5e-3}}, 0},
      {"check wire, 6 mm (out of range)", {kCheckWire}, {{"check_wire.diameter", 6e-3}}, 0},
      {"check wire, damping 0.1", {kCheckWire}, {{"check_wire.damping_ratio", 0.1}}, 0},
      {"balance punching", {kBalancePunching}, {}, 0},
      {"balance punching and check wire", {kBalancePunching, kCheckWire}, {}, 0},
      {"damper and check wire", {kDamperLever, kCheckWire}, {}, 0},
      {"no option, check leans 3 deg more", {}, {{"key.check_lean", 23 * base::kDegree}}, 0},
      {"no option, check leans 3 deg less", {}, {{"key.check_lean", 17 * base::kDegree}}, 0},
      {"no option, check leather friction at its low end",
       {},
       {{"contact.tail_check.friction", demo_case().quantity("contact.tail_check.friction").low}},
       0},
      {"no option, check leather friction at its high end",
       {},
       {{"contact.tail_check.friction", demo_case().quantity("contact.tail_check.friction").high}},
       0},
  };
  for (const Variant& v : rows) check_row(v);
}

void lift_row(const Variant& v) {
  const Played p = regulate_and_play(design_for(v));
  std::string line = fmt::format("| {} |", v.name);
  for (const double speed : {2.0, 6.0}) {
    bool found = false;
    const StrokeResult r = stroke_at(p, speed, 0, found);
    const auto& lift = r.series.position[at(p.action.lift_body)];
    line += cell((*std::max_element(lift.begin(), lift.end()) - lift.front()) * 1e3, 2);
    line += cell((lift.front() - *std::min_element(lift.begin(), lift.end())) * 1e3, 2);
    double open = 0;
    for (const auto& place : r.series.places)
      if (place.name == kBalancePunchingName)
        open = static_cast<double>(std::count(place.normal.begin(), place.normal.end(), 0.0)) * 0.5;
    line += cell(open, 1);
    line += cell(r.peak_normal[at(p.action.mechanism.group_of(
                     p.action.mechanism.find_contact(std::string(kBalancePunchingName) + " strip 0")))],
                 0);
    line += cell(r.measures.check_distance * 1e3, 1);
  }
  fmt::print("{}\n", line);
}

void lift_table() {
  fmt::print(
      "| what | mf: up, mm | down, mm | off, ms | greatest, N | caught, mm | ff: up, mm | down, mm | off, ms "
      "| "
      "greatest, N | caught, mm |\n|---|---|---|---|---|---|---|---|---|---|---|\n");
  const double under_finger = demo_case().value("measured.key_front_length");
  const std::vector<Variant> rows = {
      {"balance punching", {kBalancePunching}, {}, 0},
      {"twice as soft", {kBalancePunching}, {{"balance_punching.test_force", 1.5}}, 0},
      {"twice as hard", {kBalancePunching}, {{"balance_punching.test_force", 6.0}}, 0},
      {"damping 2 s/m", {kBalancePunching}, {{"balance_punching.damping", 2.0}}, 0},
      {"8 mm across", {kBalancePunching}, {{"balance_punching.diameter", 8e-3}}, 0},
      {"dip 9.5 mm", {kBalancePunching}, {{"regulation.dip", 9.5e-3}}, 0},
      {"front punching under the finger", {kBalancePunching}, {{"key.front_punching", under_finger}}, 0},
      {"and check wire, front punching under the finger",
       {kBalancePunching, kCheckWire},
       {{"key.front_punching", under_finger}},
       0},
      {"and check wire", {kBalancePunching, kCheckWire}, {}, 0},
      {"and check wire, dip 9.5 mm", {kBalancePunching, kCheckWire}, {{"regulation.dip", 9.5e-3}}, 0},
      {"and check wire, 8 mm across",
       {kBalancePunching, kCheckWire},
       {{"balance_punching.diameter", 8e-3}},
       0},
  };
  for (const Variant& v : rows) lift_row(v);
}

void let_off_row(const Variant& v) {
  const Prepared p = prepare(design_for(v));
  if (!p.regulated.ok || !p.weighing.ok) {
    fmt::print("| {} | not regulated or not weighed | |\n", v.name);
    return;
  }
  fmt::print("| {} |{}{}\n", v.name, cell(p.weighing.let_off_resistance, 3), cell(p.down(), 1));
}

void let_off_table() {
  fmt::print("| what | let-off resistance, N | down weight, gf |\n|---|---|---|\n");
  const auto& d = demo_case();
  const auto low = [&](const char* key) { return d.quantity(key).low; };
  const auto high = [&](const char* key) { return d.quantity(key).high; };
  const double button = d.value("frame.let_off_button_x"), felt = d.value("contact.tender_button.test_force");
  const double fillet = d.value("wippen.jack_edge_fillet"), knuckle = d.value("measured.knuckle_diameter");
  const double tender = d.value("wippen.jack_tender_x"), load = d.value("contact.jack_knuckle.test_force");
  const std::vector<Variant> rows = {
      {"no option", {}, {}, 0},
      {"balance punching", {kBalancePunching}, {}, 0},
      {"check wire", {kCheckWire}, {}, 0},
      {"button 4 mm nearer the player", {}, {{"frame.let_off_button_x", button - 4e-3}}, 0},
      {"button 4 mm nearer the strings", {}, {{"frame.let_off_button_x", button + 4e-3}}, 0},
      {"button and tender 6 mm further out",
       {},
       {{"frame.let_off_button_x", button - 6e-3}, {"wippen.jack_tender_x", tender - 6e-3}},
       0},
      {"button's felt a fifth as hard", {}, {{"contact.tender_button.test_force", felt / 5}}, 0},
      {"button's felt five times as hard", {}, {{"contact.tender_button.test_force", felt * 5}}, 0},
      {"jack's edges half as round", {}, {{"wippen.jack_edge_fillet", fillet / 2}}, 0},
      {"jack's edges twice as round", {}, {{"wippen.jack_edge_fillet", 2 * fillet}}, 0},
      {"jack's top rounder, 50 mm", {}, {{"wippen.jack_crown", 50e-3}}, 0},
      {"knuckle 1 mm thinner", {}, {{"measured.knuckle_diameter", knuckle - 1e-3}}, 0},
      {"knuckle 1 mm thicker", {}, {{"measured.knuckle_diameter", knuckle + 1e-3}}, 0},
      {"knuckle twice as soft", {}, {{"contact.jack_knuckle.test_force", load / 2}}, 0},
      {"jack on knuckle, friction at its low end",
       {},
       {{"contact.jack_knuckle.friction", low("contact.jack_knuckle.friction")}},
       0},
      {"jack on knuckle, friction at its high end",
       {},
       {{"contact.jack_knuckle.friction", high("contact.jack_knuckle.friction")}},
       0},
  };
  for (const Variant& v : rows) let_off_row(v);
}

}  // namespace
}  // namespace leverwright::action

int main(int count, char** words) {
  using namespace leverwright::action;
  if (count > 1 && std::string(words[1]) == "check") {
    check_table();
    return 0;
  }
  fmt::print("The key on its balance punching\n\n");
  lift_table();
  if (count > 1 && std::string(words[1]) == "lift") return 0;
  fmt::print("\n");
  fmt::print("Key bottom after the string, ms (minus: before)\n\n");
  key_bottom_table();
  fmt::print("\nCaught below the string, and when after the string\n\n");
  check_table();
  fmt::print("\nLet-off resistance\n\n");
  let_off_table();
  return 0;
}
