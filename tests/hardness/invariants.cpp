#include "tests/hardness/invariants.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/action/squeeze.h"
#include "models/study/quantities.h"

namespace leverwright::hardness {

using action::ContactId;
using action::kPlaceCount;
using study::SetUpResult;

namespace {

using Rules = std::vector<std::string>;

constexpr double kLedgerMisfit = 1e-6;  // of the force; compliant surfaces, models/action/weigh.h
constexpr double kEnergyMisfit = 1e-3;  // of the work; ten times what the step control aims at
constexpr double kGivenAway = 1e-9;     // [J per m, W] rounding

void hold_quantities(const SetUpResult& s, Rules& out) {
  const bool answered = s.misfit.empty() && s.weighing.ok && s.regulated.dip_let_off > 0;
  for (std::size_t k = 0; k < study::kQuantityCount; ++k) {
    const study::Quantity& q = study::kQuantities[k];
    const study::Reading r = study::read_quantity(q, s);
    if (std::isnan(r.value)) {
      if (r.why_absent.empty()) out.push_back(fmt::format("{} is absent without a reason", q.name));
      continue;
    }
    if (!std::isfinite(r.value) || r.value < q.low || r.value > q.high)
      out.push_back(
          fmt::format("{} of {} is nothing an action can have", q.name, r.value * q.display_factor));
    if (!answered && q.needs != study::Needs::kRegulated && q.needs != study::Needs::kBase)
      out.push_back(fmt::format("{} is told though nothing was weighed", q.name));
  }
}

void hold_sample(const SetUpResult& s, const run::StaticSample& x, Rules& out) {
  const auto say = [&](const std::string& what) {
    out.push_back(
        fmt::format("{} at {:.2f} mm going {}", what, x.travel * 1e3, x.direction > 0 ? "down" : "up"));
  };
  if (!std::isfinite(x.force) || !x.state.q.allFinite()) return say("no finite force");
  const auto& contacts = s.action.mechanism.contacts;
  for (int p = 0; p < kPlaceCount; ++p) {
    const int at = s.action.contact[static_cast<std::size_t>(p)];
    if (at < 0) continue;
    for (std::size_t c = 0; c < contacts.size(); ++c) {
      if (contacts[c]->group != contacts[static_cast<std::size_t>(at)]->group) continue;
      if (x.normal[c] < 0) say(contacts[c]->group + " pulls");
      if (x.contact_points[c].depth > action::most_squeeze(s.design, static_cast<ContactId>(p)))
        say(fmt::format("{} is squeezed by {:.1f} mm", contacts[c]->group, x.contact_points[c].depth * 1e3));
    }
  }
  for (const auto* rows : {&x.ledger.friction, &x.ledger.cloth, &x.ledger.pivot})
    for (std::size_t c = 0; c < rows->size(); ++c)
      if ((*rows)[c] < -kLedgerMisfit * std::max(0.05, std::abs(x.force)))
        say(fmt::format("a loss of {} N", (*rows)[c]));
}

// One sentence of a kind is enough: what recurs dip after dip is told once.
Rules first_of_each(const Rules& all) {
  Rules out;
  for (const auto& text : all) {
    const std::string head = text.substr(0, 24);
    if (std::none_of(out.begin(), out.end(), [&](const auto& o) { return o.compare(0, 24, head) == 0; }))
      out.push_back(text);
  }
  return out;
}

void hold_number(const char* name, double value, double low, double high, Rules& out) {
  if (std::isnan(value)) return;
  if (!std::isfinite(value) || value < low || value > high)
    out.push_back(fmt::format("{} of {} is nothing a stroke can have", name, value));
}

}  // namespace

Rules broken_rules(const SetUpResult& s) {
  Rules out;
  hold_quantities(s, out);
  const bool answered = s.misfit.empty() && s.weighing.ok;
  if (!answered) {
    if (study::why_no_answer(s).empty()) out.push_back("no answer and no reason");
    return first_of_each(out);
  }
  const action::Weighing& w = s.weighing;
  if (!(w.up_weight <= w.down_weight)) out.push_back("the up weight is above the down weight");
  if (!(w.worst_ledger <= kLedgerMisfit))
    out.push_back(fmt::format("the ledger misses the force by {:.1e} of it", w.worst_ledger));
  const auto& ledger = s.facts.ledger;
  double sum = 0;
  for (const auto& row : ledger.rows) sum += row.amount;
  if (std::abs(sum - ledger.half_difference) >
      kLedgerMisfit * std::max(0.05, std::abs(ledger.half_difference)))
    out.push_back(fmt::format("the ledger's rows sum to {} N, not {}", sum, ledger.half_difference));
  for (const auto* path : {&w.down, &w.up})
    for (const auto& sample : *path) hold_sample(s, sample, out);
  return first_of_each(out);
}

Rules broken_rules(const SetUpResult& s, const study::PlayedTouch& t) {
  Rules out;
  if (!t.found.found) {
    if (t.found.advice.empty()) out.push_back("a touch was not found, and nothing says why");
    return out;
  }
  const action::StrokeResult& r = t.stroke;
  if (!r.stopped.empty()) return out;  // named, kept as far as it went
  if (!(std::abs(r.audit.error()) <= kEnergyMisfit))
    out.push_back(fmt::format("the energy misses by {:.1e} of the work", r.audit.error()));
  if (r.audit.least_loss_rate < -kGivenAway)
    out.push_back(fmt::format("a loss of {:.1e} W", r.audit.least_loss_rate));
  const auto& m = r.measures;
  hold_number("hammer speed", m.hammer_speed, 0, 15, out);
  hold_number("travel time", m.travel_time, 0, 1, out);
  hold_number("key bottom after string", m.key_bottom_after_string, -1, 1, out);
  hold_number("free flight", m.free_flight, -0.1, 1, out);
  hold_number("time on the string", m.string_time, 0, 0.2, out);
  hold_number("key descent", m.key_descent_time, 0, 1, out);
  hold_number("peak key speed", m.peak_key_speed, 0, 5, out);
  hold_number("peak force", m.peak_force, 0, 500, out);
  hold_number("rebound speed", m.rebound_speed, 0, 15, out);
  hold_number("check distance", m.check_distance, -5e-3, s.regulated.blow, out);
  hold_number("check time", m.check_time, 0, 1, out);
  hold_number("jack reset", m.jack_reset_time, 0, 1, out);
  for (const double force : r.peak_normal) hold_number("peak of a contact", force, 0, 3000, out);
  for (int p = 0; p < kPlaceCount; ++p) {
    const int at = s.action.contact[static_cast<std::size_t>(p)];
    if (at < 0) continue;
    const std::string& group = s.action.mechanism.contacts[static_cast<std::size_t>(at)]->group;
    for (const auto& place : r.series.places) {
      if (place.name != group) continue;
      const double deepest =
          place.depth.empty() ? 0 : *std::max_element(place.depth.begin(), place.depth.end());
      if (!(deepest <= action::most_squeeze(s.design, static_cast<ContactId>(p))))
        out.push_back(fmt::format("{} is squeezed by {:.1f} mm", group, deepest * 1e3));
    }
  }
  return first_of_each(out);
}

Rules broken_rules(const study::Comparison& c) {
  Rules out;
  for (std::size_t k = 0; k < c.set_ups.size(); ++k) {
    const SetUpResult& s = c.set_ups[k];
    for (const auto& text : broken_rules(s)) out.push_back(s.name + ": " + text);
    for (const auto& t : s.touches)
      for (const auto& text : broken_rules(s, t)) out.push_back(s.name + ", " + t.name + ": " + text);
    const bool sound =
        c.set_ups.front().regulated_ok && c.set_ups.front().weighing.ok && s.regulated_ok && s.weighing.ok;
    if (s.verdict.empty()) out.push_back(s.name + " has no verdict");
    if (sound || k == 0) continue;
    for (std::size_t m = 0; m < study::kMeasureCount; ++m)
      if (s.results[m].judgement != study::Judgement::kNone || std::isfinite(s.results[m].nearer)) {
        out.push_back(s.name + " is judged though it has no answer");
        break;
      }
    for (const auto& advice : c.judged.advice)
      for (const auto& stage : advice.stages)
        if (stage.decision == judgement::Decision::kDo && stage.move == static_cast<int>(k) - 1)
          out.push_back(s.name + " is recommended though it has no answer");
  }
  return out;
}

}  // namespace leverwright::hardness
