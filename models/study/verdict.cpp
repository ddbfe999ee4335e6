#include "models/study/verdict.h"

#include <fmt/format.h>

#include "models/judgement/sentences.h"
#include "models/study/compare.h"

namespace leverwright::study {

std::string write_verdict(const Comparison& c, std::size_t k) {
  const SetUpResult& s = c.set_ups[k];
  if (!s.weighing.ok) {
    std::string why = s.weighing.failure;
    if (!s.regulated.failures.empty())
      why = s.regulated.failures.front().requirement + ": " + s.regulated.failures.front().advice;
    return "Cannot be regulated. " + why + ".";
  }
  std::string lead;
  if (!s.regulated_ok && !s.regulated.failures.empty())
    lead = fmt::format("Not regulated to the specification ({}). ", s.regulated.failures.front().requirement);
  if (k == 0) return lead + "The base: every other set-up is compared with this one.";
  if (!c.judged.with_odds) return lead + "Without uncertainties nothing is judged.";
  return lead + judgement::move_words(c.question, c.judged.moves[k - 1]);
}

}  // namespace leverwright::study
