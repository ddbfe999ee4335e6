// One sentence on a set-up of a judged comparison, with the words of the judgement.
#pragma once
#include <string>

namespace leverwright::study {

struct Comparison;

// "Better: friction -3.8 gf and down weight -5.5 gf (probably, 9 in 10)." For the base: where it stands.
std::string write_verdict(const Comparison& comparison, std::size_t set_up);

}  // namespace leverwright::study
