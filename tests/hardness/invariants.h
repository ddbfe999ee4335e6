// What holds of every answer, whatever went in: a list of what does not, empty when all is well.
#pragma once
#include <string>
#include <vector>

#include "models/study/compare.h"

namespace leverwright::hardness {

// Of one set-up solved, without its touches:
//   every quantity of the catalogue is a number an action can have or is absent with its reason
//   without an answer there is a reason; U <= D; the rows of the ledger add up to the force, at every dip and over the
//   window; nothing gives energy away; no force pulls; no surface is squeezed beyond its cloth
std::vector<std::string> broken_rules(const study::SetUpResult& set_up);
// Of one touch: the energy adds up, nothing gives energy away, every measure is a number a stroke can have or is
// absent, a touch that was not found says why, no surface is squeezed beyond its cloth.
std::vector<std::string> broken_rules(const study::SetUpResult& set_up, const study::PlayedTouch& touch);
// Of a comparison, besides: what is not regulated is not judged and not recommended.
std::vector<std::string> broken_rules(const study::Comparison& comparison);

}  // namespace leverwright::hardness
