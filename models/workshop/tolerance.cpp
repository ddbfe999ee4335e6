#include "models/workshop/tolerance.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/case_file/quantity.h"
#include "models/case_file/remedy.h"
#include "models/case_file/schema.h"
#include "sim/base/units.h"

namespace leverwright::workshop {

using case_file::Dimension;
using search::Trial;

namespace {

struct Answer {
  std::size_t number;
  double allowed;
  const char* name;
};

std::vector<Answer> answers_of(const case_file::CaseDescription& d, const Allowed& allowed) {
  std::vector<Answer> out = {{study::kDownWeight, allowed.down_weight, "down weight"},
                             {study::kFriction, allowed.friction, "friction"}};
  const std::string policy = d.choice("regulation.policy");
  if (policy == "keep dip and blow") out.push_back({study::kAftertouch, allowed.length, "aftertouch"});
  if (policy == "keep blow and aftertouch") out.push_back({study::kDip, allowed.length, "dip"});
  if (policy == "keep dip and aftertouch") out.push_back({study::kBlow, allowed.blow, "blow"});
  return out;
}

// Wide enough for the small jumps of regulation not to show, small enough for a straight line.
double least_step(Dimension d, double value) {
  switch (d) {
    case Dimension::kLength:
      return 0.2e-3;
    case Dimension::kAngle:
      return 0.5 * base::kDegree;
    case Dimension::kMass:
      return 0.5e-3;
    case Dimension::kWeight:
      return 0.5 * base::kGramForce;
    default:
      return 0.1 * std::abs(value);
  }
}

struct Bounds {
  double low = -std::numeric_limits<double>::infinity(), high = std::numeric_limits<double>::infinity();
};

Bounds bounds_of(const case_file::Change& change, const std::string& argument, Dimension d) {
  std::string range;
  for (const auto& a : change.remedy->row.arguments)
    if (a.name == argument) range = a.range;
  if (const auto* key = case_file::schema().find_key(argument)) range = key->range;
  if (range.empty()) return {};
  const auto r = case_file::read_range(range, d);
  return {r.low, r.high};
}

double difference(const Trial& a, const Trial& b, std::size_t number) {
  return a.numbers[number] - b.numbers[number];
}

struct Work {
  const case_file::CaseDescription& d;
  const case_file::SetUp& set_up;
  const study::SetUpSolver& solver;
  const action::ScrewSettings& start;
  const std::vector<Answer>& answers;
  const Trial& as_asked;

  Trial at(const Tolerance& t, double value) const {
    case_file::SetUp moved = set_up;
    moved.changes[t.change].quantities.at(t.argument).value = value;
    return search::try_set_up(solver, d, moved, start);
  }
  // The largest share of what is allowed that an answer moves by; infinite where there is none.
  double worst(const Trial& trial) const {
    if (!trial.ok) return std::numeric_limits<double>::infinity();
    double out = 0;
    for (const Answer& a : answers)
      out = std::max(out, std::abs(difference(trial, as_asked, a.number)) / a.allowed);
    return out;
  }
};

void find_one(const Work& work, Tolerance& t) {
  const Bounds bounds = bounds_of(work.set_up.changes[t.change], t.argument, t.dimension);
  const double h = std::max(t.scatter, least_step(t.dimension, t.value));
  const double low = std::max(t.value - h, bounds.low), high = std::min(t.value + h, bounds.high);
  if (!(high > low)) return;
  const Trial less = low < t.value ? work.at(t, low) : work.as_asked,
              more = high > t.value ? work.at(t, high) : work.as_asked;
  if (!less.ok || !more.ok) {
    t.why_not = less.ok ? more.why : less.why;
    return;
  }
  const double span = high - low;
  t.slope_down = difference(more, less, study::kDownWeight) / span;
  t.slope_up = difference(more, less, study::kUpWeight) / span;
  t.slope_friction = difference(more, less, study::kFriction) / span;
  t.slope_aftertouch = difference(more, less, study::kAftertouch) / span;
  double cap = std::max(t.value - bounds.low, bounds.high - t.value);
  if (t.value != 0) cap = std::min(cap, 0.5 * std::abs(t.value));
  double found = std::numeric_limits<double>::infinity();
  for (const Answer& a : work.answers) {
    const double slope = std::abs(difference(more, less, a.number)) / span;
    if (slope > 0 && a.allowed / slope < found) {
      found = a.allowed / slope;
      t.decided_by = a.name;
    }
  }
  t.critical = found < cap;
  found = std::min(found, cap);
  for (int round = 0; round < 6; ++round) {
    const double worst = std::max(work.worst(work.at(t, std::max(t.value - found, bounds.low))),
                                  work.worst(work.at(t, std::min(t.value + found, bounds.high))));
    if (worst <= kOver) break;
    t.critical = true;
    found *= std::isfinite(worst) ? std::max(0.4, 1 / worst) : 0.5;
  }
  t.tolerance = two_digits_down(found);
}

}  // namespace

double two_digits_down(double value) {
  if (!(value > 0)) return value;
  const double power = std::pow(10.0, std::floor(std::log10(value)) - 1);
  return std::floor(value / power * (1 + 1e-12)) * power;
}

std::vector<Tolerance> find_tolerances(const case_file::CaseDescription& d, std::size_t index,
                                       const Allowed& allowed, const std::function<bool(double)>& progress) {
  const case_file::SetUp& set_up = d.set_ups.at(index);
  std::vector<Tolerance> out;
  for (std::size_t c = 0; c < set_up.changes.size(); ++c)
    for (const auto& [name, q] : set_up.changes[c].quantities) {
      if (!set_up.changes[c].remedy->is_set_by_hand(q)) continue;
      Tolerance t;
      t.change = c;
      t.argument = name;
      t.dimension = q.dimension;
      t.value = q.value;
      t.scatter = q.sigma;
      out.push_back(t);
    }
  const study::SetUpSolver solver(d);
  const action::ScrewSettings start = search::find_trial_start(solver, d);
  const Trial as_asked = search::try_set_up(solver, d, set_up, start);
  if (!as_asked.ok) {
    for (Tolerance& t : out) t.why_not = as_asked.why;
    return out;
  }
  const std::vector<Answer> answers = answers_of(d, allowed);
  const Work work{d, set_up, solver, start, answers, as_asked};
  for (std::size_t k = 0; k < out.size(); ++k) {
    if (progress && !progress(static_cast<double>(k) / static_cast<double>(out.size()))) break;
    find_one(work, out[k]);
  }
  return out;
}

}  // namespace leverwright::workshop
