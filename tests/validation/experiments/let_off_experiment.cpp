// What makes the let-off resistance of the demo's note: the tables of models/handbook/let_off_experiment.md.
//
//   build/tests/validation/experiments/let_off_experiment      (from the project's root)
//
// Every row is the demo's base set-up with one or several numbers moved inside their documented ranges,
// regulated afresh and weighed slowly. Let-off resistance as in models/action/weigh.h: greatest downward
// force between the tender's contact and let-off, less the force just before that contact. The second table
// splits that difference by virtual work: every spring, weight, cloth and rubbing place by its own force and
// rate.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "sim/base/units.h"
#include "tests/models/action/prepared.h"

namespace leverwright::action {
namespace {

using Moves = std::vector<std::pair<std::string, double>>;  // key of the case, SI value

struct Outcome {
  bool ok = false;
  std::string why;
  double before = 0, peak = 0, resistance = 0;                           // gf
  double dip_button = 0, dip_screw = 0, dip_peak = 0, gap_at_screw = 0;  // mm
  double to_screw = 0;  // rise of the force until the drop screw is met [gf]
  double support = 0;   // lever spring's torque over what it needs to carry the hammer
  Prepared prepared;
  std::size_t k_before = 0, k_peak = 0;
};

std::size_t contact_of(const Prepared& p, ContactId place) {
  return static_cast<std::size_t>(p.action.contact[static_cast<std::size_t>(place)]);
}

Outcome run(const Moves& moves) {
  Outcome o;
  case_file::CaseDescription d = demo_case();
  for (const auto& [key, value] : moves) d.quantities.at(key).value = value;
  ActionDesign design_moved = design(d, d.set_ups.front());
  design_moved.back_rail_offset = design_with({}).back_rail_offset;
  o.prepared = prepare(design_moved);
  const Prepared& p = o.prepared;
  if (!p.regulated.ok || !p.weighing.ok) {
    o.why = !p.regulated.failures.empty() ? "not regulated: " + p.regulated.failures.front().requirement
            : p.weighing.failure.empty()  ? "not regulated"
                                          : "not weighed";
    return o;
  }
  const auto& down = p.weighing.down;
  const auto screw = contact_of(p, kLeverDropScrew);
  std::size_t k_screw = 0;
  for (std::size_t k = 0; k < down.size(); ++k) {
    if (down[k].travel <= p.regulated.dip_button) o.k_before = k;
    if (k_screw == 0 && down[k].normal[screw] > 0) k_screw = k;
  }
  o.k_peak = o.k_before;
  for (std::size_t k = o.k_before; k < down.size(); ++k)
    if (down[k].travel <= p.regulated.dip_let_off + 0.1e-3 && down[k].force > down[o.k_peak].force)
      o.k_peak = k;
  o.before = down[o.k_before].force / kGf;
  o.peak = down[o.k_peak].force / kGf;
  o.resistance = p.weighing.let_off_resistance / kGf;
  o.dip_button = p.regulated.dip_button * 1e3;
  o.dip_peak = down[o.k_peak].travel * 1e3;
  if (k_screw > 0) {
    o.dip_screw = down[k_screw].travel * 1e3;
    o.gap_at_screw = p.action.string_gap(down[k_screw].state.q) * 1e3;
    o.to_screw = std::max(0.0, down[k_screw - 1].force / kGf - o.before);
  }
  // What the lever spring has left on the lever's stop just before: its own torque against the knuckle's.
  const auto& s = down[o.k_before];
  const double stop = s.normal[contact_of(p, kLeverStopFelt)] * p.design.lever_stop_radius;
  const double torque =
      p.design.lever_spring.torque + p.design.lever_spring.rate * (s.state.q[kLever] - s.state.q[kWippen]);
  o.support = torque / std::max(1e-6, torque - stop);
  o.ok = true;
  return o;
}

void write_row(const std::string& name, const Moves& moves) {
  const Outcome o = run(moves);
  if (!o.ok) {
    fmt::print("| {} | {} | | | | | | | |\n", name, o.why);
    return;
  }
  fmt::print("| {} | {:.0f} | {:.2f} | {:.0f} | {:.0f} | {:.0f} | {:.2f} | {:.1f} | {:.2f} |\n", name,
             o.resistance, o.resistance * kGf, o.before, o.peak, o.to_screw, o.dip_screw - o.dip_button,
             o.gap_at_screw, o.support);
}

// Rates per unit of downward travel [N] by origin; friction and hysteresis from the sample's own ledger.
std::map<std::string, double> find_parts(const Prepared& p, const run::StaticSample& s) {
  std::map<std::string, double> out;
  const auto& m = p.action.mechanism;
  planar::Scratch w(m);
  w.q = s.state.q;
  m.calc_geometry(w);
  for (int i = 0; i < kBodyCount; ++i) {
    const auto& body = m.tree.body(i);
    planar::VecQ row = planar::VecQ::Zero(m.n());
    m.tree.add_velocity_row(w.poses, i, w.poses[static_cast<std::size_t>(i)].to_W(body.p_cm),
                            -body.mass * m.gravity, 1.0, row);
    out[i == kHammer ? "hammer's weight" : "weight of key, wippen, jack, lever"] += row.dot(s.dq);
  }
  const double lever = s.state.q[kLever] - s.state.q[kWippen], jack = s.state.q[kJack] - s.state.q[kWippen];
  const double jack_drawn = p.action.q_drawn[kJack];
  out["repetition spring"] += (p.design.lever_spring.torque + p.action.screws[kRepetitionSpring] +
                               p.design.lever_spring.rate * lever) *
                              (s.dq[kLever] - s.dq[kWippen]);
  out["jack spring"] += (p.design.jack_spring.torque + p.design.jack_spring.rate * (jack - jack_drawn)) *
                        (s.dq[kJack] - s.dq[kWippen]);
  for (std::size_t i = 0; i < m.contacts.size(); ++i) {
    if (s.ledger.friction[i] > 0) out["rubbing: " + m.contacts[i]->group] += s.ledger.friction[i];
    if (s.ledger.cloth[i] > 0) out["cloths and felts: not given back"] += s.ledger.cloth[i];
  }
  for (std::size_t i = 0; i < m.pivots.size(); ++i) out["centre: " + m.pivots[i].name] += s.ledger.pivot[i];
  double sum = 0;
  for (const auto& [name, amount] : out) sum += amount;
  out["cloths, felts and surfaces: stored"] = s.force - sum;  // shown, and checked against the ledger below
  return out;
}

void write_parts(const Outcome& o) {
  const auto before = find_parts(o.prepared, o.prepared.weighing.down[o.k_before]);
  const auto peak = find_parts(o.prepared, o.prepared.weighing.down[o.k_peak]);
  fmt::print("| origin | before, gf | at the peak, gf | difference |\n|---|---|---|---|\n");
  std::vector<std::string> names;
  for (const auto& part : peak) names.push_back(part.first);
  for (const auto& part : before)
    if (peak.count(part.first) == 0) names.push_back(part.first);
  const auto of = [](const std::map<std::string, double>& list, const std::string& name) {
    const auto found = list.find(name);
    return found == list.end() ? 0.0 : found->second / kGf;
  };
  std::sort(names.begin(), names.end(), [&](const std::string& a, const std::string& b) {
    return std::abs(of(peak, a) - of(before, a)) > std::abs(of(peak, b) - of(before, b));
  });
  double sum_before = 0, sum_peak = 0;
  for (const auto& name : names) {
    sum_before += of(before, name);
    sum_peak += of(peak, name);
    if (std::abs(of(peak, name)) < 0.05 && std::abs(of(before, name)) < 0.05) continue;
    fmt::print("| {} | {:.1f} | {:.1f} | {:+.1f} |\n", name, of(before, name), of(peak, name),
               of(peak, name) - of(before, name));
  }
  fmt::print("| sum | {:.1f} | {:.1f} | {:+.1f} |\n", sum_before, sum_peak, sum_peak - sum_before);
}

Moves joined(Moves a, const Moves& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

void write_tables() {
  const double nmm = 1e-3, mm = 1e-3, gf23 = kGf * 23e-3;
  const Moves jack_low = {{"wippen.jack_spring_torque", 3 * nmm}, {"wippen.jack_spring_rate", 0.003}};
  const Moves jack_high = {{"wippen.jack_spring_torque", 9 * nmm}, {"wippen.jack_spring_rate", 0.02}};
  const Moves knuckle_low = {{"contact.jack_knuckle.friction", 0.12},
                             {"contact.lever_knuckle.friction", 0.12}};
  const Moves knuckle_high = {{"contact.jack_knuckle.friction", 0.3},
                              {"contact.lever_knuckle.friction", 0.3}};
  const Moves button_low = {{"contact.tender_button.friction", 0.1},
                            {"contact.lever_drop_screw.friction", 0.1}};
  const Moves button_high = {{"contact.tender_button.friction", 0.3},
                             {"contact.lever_drop_screw.friction", 0.3}};
  const Moves centres_low = {{"friction.jack_centre", 1 * gf23}, {"friction.lever_centre", 3 * gf23}};
  const Moves centres_high = {{"friction.jack_centre", 2 * gf23}, {"friction.lever_centre", 7 * gf23}};
  const Moves lever_low = {{"wippen.lever_spring_torque", 33 * nmm}, {"wippen.lever_spring_rate", 0.03}};
  const double core = demo_case().value("hammer.knuckle_core");
  const double tender = demo_case().value("wippen.jack_tender_x"),
               button = demo_case().value("frame.let_off_button_x"),
               tender_y = demo_case().value("wippen.jack_tender_y"),
               button_y = demo_case().value("frame.let_off_button_y"),
               drop_x = demo_case().value("frame.drop_screw_x"),
               lever_drop = demo_case().value("wippen.lever_drop_x"),
               lever_drop_y = demo_case().value("wippen.lever_drop_y");
  fmt::print(
      "| what is moved | let-off resistance, gf | N | force before, gf | peak, gf | rise until the drop "
      "screw is met, "
      "gf | "
      "screw after button, mm of dip | crown to string then, mm | spring over what carries the hammer |\n"
      "|---|---|---|---|---|---|---|---|---|\n");
  write_row("as found, spring 40 N mm", {});
  write_row("jack spring 3 N mm, 0.003 N m/rad", jack_low);
  write_row("jack spring 9 N mm, 0.02 N m/rad", jack_high);
  for (const double t : {30.0, 31.0, 33.0, 36.0, 45.0, 50.0, 60.0})
    write_row(fmt::format("repetition spring {:.0f} N mm", t), {{"wippen.lever_spring_torque", t * nmm}});
  write_row("repetition spring rate 0.03 N m/rad", {{"wippen.lever_spring_rate", 0.03}});
  write_row("repetition spring rate 0.12 N m/rad", {{"wippen.lever_spring_rate", 0.12}});
  write_row("knuckle friction 0.12", knuckle_low);
  write_row("knuckle friction 0.30", knuckle_high);
  write_row("button and drop-screw friction 0.1", button_low);
  write_row("button and drop-screw friction 0.3", button_high);
  write_row("jack centre 1 gf, lever centre 3 gf", centres_low);
  write_row("jack centre 2 gf, lever centre 7 gf", centres_high);
  write_row("hammer centre 2 gf", {{"friction.hammer_centre", 2 * gf23}});
  // The jack's face is regulated to the edge of the knuckle's core; a narrower core puts it less deep.
  write_row("jack 0.75 mm less deep under the knuckle", {{"hammer.knuckle_core", core - 1.5 * mm}});
  write_row("jack 0.75 mm deeper", {{"hammer.knuckle_core", core + 1.5 * mm}});
  write_row("jack's edge fillet 0.4 mm", {{"wippen.jack_edge_fillet", 0.4 * mm}});
  write_row("jack's edge fillet 1.6 mm", {{"wippen.jack_edge_fillet", 1.6 * mm}});
  write_row("jack's crown 50 mm", {{"wippen.jack_crown", 50 * mm}});
  write_row("jack's crown 500 mm", {{"wippen.jack_crown", 500 * mm}});
  for (const double drop : {0.3, 0.6, 1.0, 2.0})
    write_row(fmt::format("drop {:.1f} mm (screw later or earlier)", drop), {{"regulation.drop", drop * mm}});
  write_row("let-off 1.5 mm", {{"regulation.let_off", 1.5 * mm}});
  write_row("let-off 2.5 mm", {{"regulation.let_off", 2.5 * mm}});
  write_row("jack clearance 0.02 mm", {{"regulation.jack_clearance", 0.02 * mm}});
  write_row("button 4 mm further out on a longer tender",
            {{"wippen.jack_tender_x", tender - 4 * mm}, {"frame.let_off_button_x", button - 4 * mm}});
  write_row("button 4 mm further in on a shorter tender",
            {{"wippen.jack_tender_x", tender + 4 * mm}, {"frame.let_off_button_x", button + 4 * mm}});
  write_row("tender and button 4 mm higher",
            {{"wippen.jack_tender_y", tender_y + 4 * mm}, {"frame.let_off_button_y", button_y + 4 * mm}});
  write_row("drop screw 4 mm further out on the lever", {{"wippen.lever_drop_x", lever_drop - 4 * mm},
                                                         {"wippen.lever_drop_y", lever_drop_y + 0.7 * mm},
                                                         {"frame.drop_screw_x", drop_x - 4 * mm}});
  write_row("strike weight 1 gf less",
            {{"measured.strike_weight", demo_case().value("measured.strike_weight") - kGf}});
  const Moves least = joined(joined(joined(jack_low, knuckle_low), joined(button_low, centres_low)),
                             {{"friction.hammer_centre", 2 * gf23}});
  const Moves less_deep = {{"hammer.knuckle_core", core - 1.5 * mm}};
  write_row("together: jack spring and every friction here at its least", least);
  write_row("the same and repetition spring 33 N mm, 0.03 N m/rad", joined(least, lever_low));
  write_row("the same and drop 0.6 mm", joined(joined(least, lever_low), {{"regulation.drop", 0.6 * mm}}));
  write_row("the same and jack 0.75 mm less deep",
            joined(joined(joined(least, lever_low), less_deep), {{"regulation.drop", 0.6 * mm}}));
  const Moves no_friction = {{"contact.jack_knuckle.friction", 0},
                             {"contact.lever_knuckle.friction", 0},
                             {"contact.tender_button.friction", 0},
                             {"contact.lever_drop_screw.friction", 0},
                             {"contact.capstan_heel.friction", 0},
                             {"friction.jack_centre", 0},
                             {"friction.lever_centre", 0},
                             {"friction.hammer_centre", 0},
                             {"friction.wippen_centre", 0},
                             {"friction.centre_load", 0},
                             {"friction.balance_load", 0},
                             {"friction.key_balance", 0},
                             {"friction.key_front", 0}};
  write_row("no friction anywhere (out of range, to divide the sum)", no_friction);
  write_row("no friction, repetition spring 33 N mm", joined(no_friction, lever_low));
  fmt::print("\nAs found:\n\n");
  write_parts(run({}));
  fmt::print("\nJack spring, repetition spring and every friction at its least, drop as found:\n\n");
  write_parts(run(joined(least, lever_low)));
}

}  // namespace
}  // namespace leverwright::action

int main() { leverwright::action::write_tables(); }
