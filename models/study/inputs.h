// The uncertain inputs of a case, one after another: what each is called, by how much it may be wrong, and
// the case with that one input moved. Inputs common to all set-ups are moved for all of them, so that only
// what a change brings in adds to the uncertainty of a difference.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::study {

struct Input {
  enum class Kind { kQuantity, kHeelAlong, kHeelAcross, kLeadMass, kLeadDistance, kChange };
  Kind kind = Kind::kQuantity;
  std::string key;   // "measured.spread", or the argument's name of a change
  std::string name;  // for people: "spread", "heel build-up: height"
  double sigma = 0;  // one standard deviation, SI
  int set_up = -1;   // changes only: which set-up
  int change = 0;
  int lead = 0;
  // An estimate with a range is uniform over it: `from` to `to` standard deviations from its value. Else
  // normal.
  bool uniform = false;
  double from = 0, to = 0;
  // True for what is measured, or done, anew on every note (the bench's own readings, a change's amount):
  // such errors average out over sample notes. False for what all notes share (estimated constants, where the
  // stack stands).
  bool per_note = false;
  // Where readings tell of a combination (CaseDescription::told), an input moved by one standard deviation
  // takes the others of the combination along, so that what was read stays as read. See inputs.cpp,
  // tie_together.
  double weight = 1;        // share of the amount by which it moves itself
  std::vector<Input> also;  // moved with it, each by its own weight
};

// Name of an input in CaseDescription::told; unlike its key it is its own.
std::string id_of(const Input& input);

// Every input with an uncertainty that the statics can feel; `moving`: and those that only a moving action
// feels. Independent of each other, also where readings tied their values together. As-found readings,
// specifications and targets are no inputs.
std::vector<Input> find_inputs(const case_file::CaseDescription& description, bool moving = false);

// The case with one input, and what goes with it, moved by `amount` standard deviations.
case_file::CaseDescription move_input(const case_file::CaseDescription& description, const Input& input,
                                      double amount);

}  // namespace leverwright::study
