// One change said in words, as at the bench, made into the lines of a case file:
//
//   "capstan 3 mm toward the balance rail"   kind = "capstan moved", distance = "3 mm", direction = ...
//   "lead 14 g at 110 mm"                    kind = "lead", mass = "14 g", distance = "110 mm"
//   "heel build-up height 0.7 mm length 5 mm centre 61 mm"
//
// The rows of the schema decide what can be said. The first word of a kind has to be there. A number with its unit
// fills the argument whose name stands before it, else the first one open of its dimension. Words of a choice stand as
// the case format has them ("towards" is "toward"). Small words (at, by, the, of, to ...) are free. When several kinds
// take a phrase, the one most of whose words are said counts.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/remedy.h"

namespace leverwright::case_file {

// The lines of one [[set_up.change]]. Throws base::UserError that names what is missing, what was not understood, or
// the kinds a phrase could mean.
std::string write_change_of(const std::string& phrase, const RemedyList& remedies);

// A whole [[set_up]] of these changes, named and described by the phrases.
std::string write_set_up_of(const std::vector<std::string>& phrases, const RemedyList& remedies);

}  // namespace leverwright::case_file
