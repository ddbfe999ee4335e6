// Values of a case that nobody measured: they come out of part files that are invented, or borrowed from
// another piano, and must not pass for the user's own.
//
// On a real piano each carries an uncertainty as wide as parts of that kind differ, kDiffer times what the
// bench leaves when it is measured (the schema's usual uncertainty of the same key). Chosen by estimate, no
// source: jack centres of different makes lie 96 to 99 mm from the wippen centre where a rule reads 0.5 mm,
// hanging distances 15.5 to 18.5 mm. On a piano that is invented itself its part files are its parts, and
// stay as they are.
#pragma once
#include <map>
#include <string>

#include "models/case_file/case_description.h"

namespace leverwright::case_file {

inline constexpr double kDiffer = 3;

struct InventedValues {
  int count = 0;
  std::map<std::string, int> by_file;  // "wippen_replacement": 41
};
InventedValues count_invented(const CaseDescription& description);

// One sentence for every output: how many, from which files, what to do. "" when there is none.
std::string invented_words(const CaseDescription& description);

// Widens them where the piano is not invented itself.
void widen_invented(CaseDescription& description);

}  // namespace leverwright::case_file
