// One sentence a technician can act on.
#pragma once
#include <string>

namespace leverwright::study {

struct SetUpResult;

// "Better in friction (-2.6 +- 0.7 gf); worse in up weight; the rest cannot be told apart." For the base:
// where it stands.
std::string write_verdict(const SetUpResult& base_result, const SetUpResult& set_up, bool with_uncertainty);

}  // namespace leverwright::study
