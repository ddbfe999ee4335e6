// What the changes of a set-up ask of the person at the bench: turned, cut, glued or weighed out, counted
// from a place that can be found on the action, with what each remedy says of itself.
#pragma once
#include <string>
#include <vector>

#include "models/action/design.h"
#include "models/case_file/remedy.h"

namespace leverwright::study {

struct RemedyLine {
  std::string kind;
  std::string hand;  // "new capstan hole 3.0 mm toward the balance rail, 121.0 mm behind the balance hole"
  const case_file::RemedyRow* spec = nullptr;  // alters, side effects, reversible, labour, worry, hazards
  int undone = 0;                              // how it can be taken back (case_file::undone_class)
};

// In the order in which the changes are carried out. `base` is the design the places are counted on (the
// case's first set-up), `changed` that of the set-up itself.
std::vector<RemedyLine> find_remedies(const case_file::SetUp& set_up, const action::ActionDesign& base,
                                      const action::ActionDesign& changed);

// Hours of all its changes together, for 88 notes (regulation not counted); high is 0 when none is known.
case_file::Labour labour_of(const case_file::SetUp& set_up);

// "yes", "partly" or "no": as little reversible as its least reversible change.
std::string reversible(const case_file::SetUp& set_up);

}  // namespace leverwright::study
