#include "models/workshop/order.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/case_file/quantity.h"
#include "models/case_file/remedy.h"
#include "models/judgement/sentences.h"
#include "sim/base/error.h"
#include "sim/base/units.h"

namespace leverwright::workshop {

using case_file::CaseDescription;

namespace {

std::string sentence(std::string text) {
  if (text.empty()) return text;
  if (text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  if (text.back() != '.') text += '.';
  return text;
}

[[noreturn]] void refuse(const case_file::SetUp& set_up, const std::string& why, const std::string& advice) {
  throw base::UserError(
      {{set_up.place.file, set_up.place.line, set_up.place.line_text,
        fmt::format("no work order for \"{}\": {}", set_up.name, why), "a set-up that works",
        advice.empty() ? "change its amounts; leverwright compare shows what gives" : advice}});
}

// Found out in a moment, before the long work begins.
void refuse_what_does_not_work(const CaseDescription& d) {
  const study::SetUpSolver solver(d);
  solver.require_base(d);
  const search::Trial trial = search::try_set_up(solver, d, d.set_ups.back(), solver.base_screws());
  if (trial.ok) return;
  const auto& failures = trial.regulated.failures;
  refuse(d.set_ups.back(), trial.why, failures.empty() ? "" : failures.front().advice);
}

void describe(const CaseDescription& d, WorkOrder& o) {
  o.title = d.title;
  o.note = d.choice("note.name");
  o.instrument = d.instrument;
  o.invented = d.invented;
  o.base = d.set_ups.front().name;
  o.set_up = d.set_ups.back().name;
  o.description = d.set_ups.back().description;
  o.policy = d.choice("regulation.policy");
}

std::string write_scatter(const Tolerance& t) {
  std::string amount = t.argument;
  std::replace(amount.begin(), amount.end(), '_', ' ');
  std::replace(amount.begin(), amount.end(), '.', ' ');
  const std::string unit = mark_unit_of(t.dimension);
  return fmt::format(
      "The case lets the {} scatter by +- {:.2g}{}{} (one standard deviation), so that at least one note "
      "in twenty falls outside the tolerance: notes will differ by {:.1f} gf in down weight unless it is "
      "done better than that.",
      amount, t.scatter / mark_unit_in_si(unit), unit.empty() ? "" : " ", unit,
      std::abs(t.slope_down) * t.scatter / base::kGramForce);
}

void say_what_and_why(WorkOrder& o) {
  std::string hands;
  for (const OrderTask& t : o.tasks) hands += (hands.empty() ? "" : "; ") + t.hand;
  o.what = sentence(o.description.empty() ? hands : o.description);
  o.why = fmt::format("Against \"{}\": {}", o.base, o.result().verdict);
  const auto& judged = o.comparison.judged;
  for (const auto& advice : judged.advice) {
    const auto& first = advice.stages.front();
    if (first.decision == judgement::Decision::kDo &&
        first.move + 1 == static_cast<int>(judged.moves.size())) {
      o.why = sentence(first.why) + " " + o.why;
      continue;
    }
    o.cautions.push_back("Not advised now. Instead: " +
                         judgement::answer_words(o.comparison.question, advice) + " " + sentence(first.why));
  }
}

}  // namespace

const case_file::Quantity* find_capstan_hole(const CaseDescription& d) {
  const auto found = d.quantities.find("screws.capstan.hole_diameter");
  return found == d.quantities.end() ? nullptr : &found->second;
}

std::vector<OrderTask> list_tasks(const case_file::SetUp& set_up, const study::SetUpResult& base,
                                  const study::SetUpResult& changed, const std::vector<Tolerance>& tolerances,
                                  const case_file::Quantity* capstan_hole) {
  remedies::Outcome outcome;
  outcome.capstan_turned = changed.regulated.screws[action::kCapstan];
  outcome.friction = changed.measures[study::kFriction];
  outcome.balance_weight = changed.measures[study::kBalanceWeight];
  outcome.key_height_change = changed.key_height_change;
  std::vector<OrderTask> out;
  for (const std::size_t k : case_file::in_order(set_up)) {
    const case_file::Change& change = set_up.changes[k];
    const case_file::Remedy& remedy = *change.remedy;
    std::vector<const remedies::Exactness*> exactness;
    for (const Tolerance& t : tolerances)
      if (t.change == k) exactness.push_back(&t);
    const remedies::Hand hand{change, base.design, changed.design};
    remedies::Work work(hand, outcome, exactness, capstan_hole);
    remedy.fill(work);
    OrderTask task;
    task.kind = remedy.row.kind;
    task.hand = remedy.hand(hand);
    task.spec = &remedy.row;
    task.undone = remedy.undone(change);
    task.marks = std::move(work.marks);
    task.steps = std::move(work.steps);
    task.tools = std::move(work.tools);
    task.no_way_back = std::move(work.no_way_back);
    for (const Tolerance& t : tolerances)
      if (t.change == k && t.critical && t.tolerance > 0 && t.tolerance < 1.96 * t.scatter &&
          !remedy.row.bought_amounts)
        task.notes.push_back(write_scatter(t));
    out.push_back(std::move(task));
  }
  return out;
}

WorkOrder write_order(const CaseDescription& d, const OrderOptions& options) {
  if (d.set_ups.size() < 2 || d.set_ups.back().changes.empty()) {
    const auto& place = d.set_ups.back().place;
    throw base::UserError(
        {{place.file, place.line, place.line_text,
          fmt::format("\"{}\" changes nothing: there is nothing to order", d.set_ups.back().name),
          "a set-up with a [[set_up.change]]", ""}});
  }
  WorkOrder o;
  refuse_what_does_not_work(d);
  describe(d, o);
  o.allowed = options.allowed;
  bool go_on = true;
  const auto tell = [&](const std::string& doing, double share) {
    if (options.progress && !options.progress(doing, share)) go_on = false;
    return go_on;
  };
  study::CompareOptions compare;
  compare.progress = [&](const study::Progress& p) { return tell(p.doing, 0.6 * p.share); };
  CaseDescription all = d;
  all.set_ups.insert(all.set_ups.end() - 1, options.beside.begin(), options.beside.end());
  o.comparison = study::compare(all, compare);
  if (o.comparison.set_ups.size() < all.set_ups.size() || o.comparison.inputs.empty()) o.stopped = true;
  if (o.stopped) return o;
  if (!o.result().weighing.ok) refuse(d.set_ups.back(), o.result().weighing.failure, "");
  const auto before = options.notes.empty() ? note_as_found(d) : options.notes;
  for (const auto& row : before) o.with_before = o.with_before || !row.readings.empty();
  o.after_file = write_after_file(d, before);
  try {
    o.expected = expect_readings(d, before,
                                 [&](double share) { return tell("expected readings", 0.6 + 0.2 * share); });
    adopt_prediction(o.expected, o.note, o.comparison.set_ups.back());
  } catch (const calibrate::Stopped&) {
    go_on = false;
  }
  o.tolerances = find_tolerances(
      d, 1, options.allowed, [&](double share) { return go_on && tell("tolerances", 0.8 + 0.2 * share); });
  o.tasks = list_tasks(d.set_ups.back(), o.base_result(), o.result(), o.tolerances, find_capstan_hole(d));
  say_what_and_why(o);
  o.stopped = !go_on;
  return o;
}

}  // namespace leverwright::workshop
