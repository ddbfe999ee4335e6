// A work order: what a set-up of a case asks of the person at the bench, in the order of the work, with marks
// to measure from, how exactly each has to come out, what must be found afterwards, and when to stop.
//
// Places on a key count from the balance hole along the key's top; places on a wippen from its centre, level,
// wippen at rest; both are found on the action without taking anything apart.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "models/calibrate/afterwards.h"
#include "models/case_file/schema.h"
#include "models/remedies/work.h"
#include "models/study/compare.h"
#include "models/workshop/tolerance.h"

namespace leverwright::workshop {

using OrderMark = remedies::Mark;

struct OrderTask {         // one change
  std::string kind, hand;  // hand: the remedy in one line (study/remedies.h)
  std::vector<OrderMark> marks;
  std::vector<std::string> steps, tools, notes;
  std::vector<std::size_t> no_way_back;  // steps after which the old state cannot be had again, from 0
  const case_file::RemedyRow* spec = nullptr;
  int undone = 0;  // how it can be taken back (Remedy::undone)
  bool is_no_way_back(std::size_t step) const {
    for (const std::size_t s : no_way_back)
      if (s == step) return true;
    return false;
  }
  bool irreversible() const { return undone == case_file::kNotReversible; }
};

struct ExpectedReading {
  std::string note, key, name, unit;  // key: the reading's column, or "friction"
  int decimals = 1;
  // In `unit`; NaN: not known. band: 1.96 standard deviations of the prediction; low to high adds the
  // reading's own error: outside it the work did not come out as predicted.
  double before = 0, predicted = 0, band = 0, low = 0, high = 0;
  bool as_found = false;  // `before` was read before a screw was turned
};

struct WorkOrder {
  std::string title, note, instrument, base, set_up, description;
  bool invented = false;
  std::string what, why;  // a sentence each
  // What the judgement says instead where it does not recommend this set-up; empty when it does.
  std::vector<std::string> cautions;
  std::vector<OrderTask> tasks;
  std::vector<Tolerance> tolerances;
  Allowed allowed;
  std::string policy;
  study::Comparison comparison;  // the base first, this set-up last, between them what it was judged beside
  std::vector<ExpectedReading> expected;
  bool with_before = false;  // readings before the work were at hand
  std::string after_file;    // measurements file: before filled in, after blank
  bool stopped = false;      // some of it was not worked out
  const study::SetUpResult& base_result() const { return comparison.set_ups.front(); }
  const study::SetUpResult& result() const { return comparison.set_ups.back(); }
};

struct OrderOptions {
  Allowed allowed;
  std::vector<calibrate::NoteRow> notes;  // sample notes measured before the work; may be empty
  std::vector<case_file::SetUp> beside;   // other set-ups of the case it is to be judged beside
  std::function<bool(const std::string& doing, double share)> progress;  // false stops
};

// `description` holds the base and the set-up, nothing else. Throws base::UserError when the set-up is the
// base, changes nothing, or cannot be regulated and weighed: nobody should drill for it.
WorkOrder write_order(const case_file::CaseDescription& description, const OrderOptions& options);

using remedies::mark_unit_in_si;
using remedies::mark_unit_of;

// Diameter of the capstan's hole as the case says it; nullptr when it does not.
const case_file::Quantity* find_capstan_hole(const case_file::CaseDescription& description);

// Tasks in the order in which they are carried out.
std::vector<OrderTask> list_tasks(const case_file::SetUp& set_up, const study::SetUpResult& base,
                                  const study::SetUpResult& changed, const std::vector<Tolerance>& tolerances,
                                  const case_file::Quantity* capstan_hole = nullptr);

// The measurements file with the readings before the work in it and blank lines for those after it.
std::string write_after_file(const case_file::CaseDescription& description,
                             const std::vector<calibrate::NoteRow>& before);

// One prediction for the whole order: what is expected of the case's own note (else of the first), with the
// readings before the work taken into account, put in place of what the set-up computes by itself.
void adopt_prediction(const std::vector<ExpectedReading>& expected, const std::string& note,
                      study::SetUpResult& result);

// Predictions for each sample note after the work, with those read before taken into account.
std::vector<ExpectedReading> expect_readings(const case_file::CaseDescription& description,
                                             const std::vector<calibrate::NoteRow>& before,
                                             const std::function<bool(double share)>& progress);

// The case's own note as read before the work, as far as the case says.
std::vector<calibrate::NoteRow> note_as_found(const case_file::CaseDescription& description);

}  // namespace leverwright::workshop
