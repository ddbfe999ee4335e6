// Numbers somebody else worked out ([stated]) held against the weights and lengths they must follow from.
#pragma once
#include <string>
#include <vector>

#include "models/case_file/case_description.h"

namespace leverwright::case_file {

struct Disagreement {
  std::string key;         // "stated.weight_ratio"
  double stated = 0;       // SI
  double computed = 0;     // SI
  double bench_sigma = 0;  // of `computed`, from the uncertainties of the inputs
  std::string text;        // the warning: what disagrees, by how much, what to do
};

// A stated number disagrees when it differs from the arithmetic by more than it was printed to (its own
// "+-"). The warning also says whether the bench's uncertainty alone could explain the difference.
std::vector<Disagreement> find_disagreements(const CaseDescription& description);

}  // namespace leverwright::case_file
